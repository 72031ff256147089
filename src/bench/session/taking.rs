//! What a message does to a session.

use super::{Effect, Home, Message, NewOpening, Said, Screen, Session, Step, batch, counting, practice, words};
use crate::bench::batch::page::BatchPage;

/// Takes a message; answers what is to be done.
pub fn update(session: &mut Session, message: Message) -> Vec<Effect> {
    let mut effects = take(session, message);
    effects.extend(counting::ask(session));
    practice::hold(session, effects)
}

fn take(session: &mut Session, message: Message) -> Vec<Effect> {
    match message {
        Message::Shown => Vec::new(),
        Message::Action(action) => session.act(action),
        Message::ShopLoaded(mut shop) => {
            counting::carry_over(&session.shop, &mut shop);
            let learns = matches!(session.screen(), Some(Screen::Learned(_)));
            session.shop = *shop;
            session.advised.forget();
            if learns {
                session.learned = None;
                return vec![Effect::Learn];
            }
            if let Some(Screen::FirstStart(_)) = session.screen() {
                session.screens.pop();
                let first = session.shop.openings.is_empty().then(|| NewOpening::new(session.world()));
                session.screens.extend(first.map(Screen::NewOpening));
                session.said = Some(Said::done(words::SHOP_MADE));
            }
            match session.screens.last_mut() {
                Some(Screen::Shop(list)) => list.clamp(list.shown(&session.shop.openings).len()),
                Some(Screen::Batch(_)) => {
                    session.opened = None;
                    return vec![batch::ask(&session.shop)];
                }
                Some(Screen::Tools(page)) => {
                    session.said = None;
                    let steps = page.saved(&session.shop.settings);
                    return session.apply(steps);
                }
                _ => {}
            }
            Vec::new()
        }
        Message::OpeningLoaded(opening) => {
            // What is wrong with its log stands on the screen all the time.
            let read_only = opening.read_only.clone().filter(|_| opening.state.trouble.is_none());
            session.said = opening.notices.first().cloned().or(read_only).map(Said::hint);
            session.opened = Some(*opening);
            session.advised.forget();
            if !BatchPage::arrive(session) {
                session.screens.truncate(1);
                session.screens.push(Screen::Home(Home));
            }
            Vec::new()
        }
        Message::Kept { opening, numbers } => session.kept(*opening, &numbers),
        Message::AllLoaded { openings, numbers } => {
            if let Some(Screen::Whole(page)) = session.screens.last_mut() {
                page.openings = Some(openings);
                if !numbers.is_empty() {
                    session.said = Some(Said::done(words::kept(&numbers)));
                }
            }
            Vec::new()
        }
        Message::Learned(learned) => {
            session.learned = Some(*learned);
            Vec::new()
        }
        Message::Batched(waiting) => {
            if let Some(Screen::Batch(page)) = session.screens.last_mut() {
                page.found(waiting);
            }
            Vec::new()
        }
        Message::Pasted(text) => session.pasted(&text),
        Message::Practice(answer) => {
            practice::answered(session, answer);
            Vec::new()
        }
        Message::Passes(found) => {
            counting::counted(&mut session.shop, found);
            Vec::new()
        }
        Message::Looked(answer) => {
            session.advised.take(&answer, &session.shop.settings);
            if let (Some(Screen::Plan(plan)), Some(opened)) = (session.screens.last_mut(), &session.opened)
                && answer.is_of(opened, &session.shop.settings)
            {
                plan.looked(*answer);
            }
            Vec::new()
        }
        Message::Printed(files) => {
            let steps = vec![Step::Leave, Step::Say(Said::done(words::printed(&files)))];
            session.apply(steps)
        }
        Message::PhotoSought { photo, found } => {
            if !found {
                session.said = Some(Said::hint(words::no_photo(&photo)));
            }
            Vec::new()
        }
        Message::Failed(why) => {
            match session.screens.last_mut() {
                Some(Screen::Tools(page)) => page.failed(),
                Some(Screen::NewOpening(new)) => new.keeping.failed(&new.form),
                Some(Screen::Note(note)) => note.keeping.failed(&note.form),
                Some(Screen::Record(record)) => record.failed(),
                Some(Screen::Altering(entry)) => entry.keeping.failed(&entry.form),
                Some(Screen::Survey(entry)) => entry.keeping.failed(&entry.form),
                Some(Screen::Blank(blank)) => blank.failed(),
                Some(Screen::Flush(entry)) => entry.keeping.failed(&entry.form),
                Some(Screen::Hinges(entry)) => entry.keeping.failed(&entry.form),
                Some(Screen::Swing(swing)) => swing.failed(),
                _ => {}
            }
            session.said = Some(Said::trouble(why));
            Vec::new()
        }
    }
}

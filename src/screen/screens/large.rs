//! The next thing to do, in letters that fill the screen: for arm's length and beyond.

use crate::bench::planning::PlanScreen;
use crate::bench::recording::{Job, RecordCut};
use crate::bench::sheets::Sheet;
use crate::bench::{Screen, Session, after_words, brief, next_words, sheet_words, words};
use crate::cut::words::Caution;
use crate::screen::drawings::BigText;
use crate::screen::parts::wrapped;
use crate::screen::theme::{Role, Theme};
use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::Line;
use ratatui::widgets::Clear;

/// What is said: large, and small beneath it.
pub fn said(session: &Session) -> (String, String) {
    let show = session.shop.show();
    let opened = session.opened.as_ref();
    let stage = || {
        let (opened, stage) = (opened?, opened?.state.stage());
        let advised = session.advised.brief(opened);
        let long = next_words::long(stage, session.advised.look(opened), opened, show);
        Some((brief::big(stage, advised.as_ref()), long))
    };
    let of_opening = || stage().unwrap_or_else(|| (words::PROGRAM.to_owned(), String::new()));
    match session.screen() {
        Some(Screen::Shop(list)) => list.chosen(&session.shop.openings).map_or_else(
            || ("n: new opening".to_owned(), String::new()),
            |listed| (brief::big(listed.summary.stage, listed.brief()), listed.summary.name.clone()),
        ),
        Some(Screen::Batch(page)) => page.batch.rows.get(page.at).map_or_else(
            || (crate::bench::batch::words::nothing(page.batch.tool), String::new()),
            |row| {
                (
                    sheet_words::large(&row.sheet, show),
                    format!("{}: {}", row.opening, sheet_words::trim(&row.sheet, show)),
                )
            },
        ),
        Some(Screen::Record(record)) => job(record, session),
        Some(Screen::Plan(plan)) => first_cut(plan, show).unwrap_or_else(of_opening),
        Some(Screen::Readings(entry)) => entry.station().map_or_else(of_opening, |station| {
            let leaves = opened.map_or(&[][..], |opened| opened.state.leaves.as_slice());
            let leaf = leaves.get(station.leaf).filter(|_| leaves.len() > 1);
            let leaf = leaf.map_or_else(String::new, |leaf| format!("{} ", leaf.what.leaf));
            let place = format!("station {} of {}", entry.at + 1, entry.stations.len());
            let entered = super::readings::entered(&entry.input, &session.shop.settings);
            (format!("{leaf}{}", station.words().replace(" edge", "")), format!("{place}. {entered}"))
        }),
        _ => of_opening(),
    }
}

fn job(record: &RecordCut, session: &Session) -> (String, String) {
    let show = session.shop.show();
    match (record.job(), &record.sheet) {
        (Some(Job::Trim(_)), Some(sheet)) => (sheet_words::large(sheet, show), sheet_words::trim(sheet, show)),
        (Some(Job::Trim(trim)), None) => (format!("{} {}", trim.leaf, trim.edge), words::NO_SET_UP.to_owned()),
        (Some(Job::Pack(pack)), _) => (
            format!("pack {}", crate::contract::hinges::small(pack.out, show)),
            format!("{}: hinge at {}", pack.leaf, pack.hinge.shown(show)),
        ),
        (None, _) => ("all done".to_owned(), String::new()),
    }
}

fn first_cut(plan: &PlanScreen, show: crate::fit::length::Show) -> Option<(String, String)> {
    let cut = plan.cuts().first()?;
    let [start, end] = cut.aim.map(|aim| crate::bench::rounds_words::removal(aim, show));
    let (low, high) = sheet_words::ends(cut.edge);
    let leaf = plan.problem.leaves.get(cut.leaf).map_or("", |leaf| leaf.id.as_str());
    Some((format!("{} {start} {end}", cut.edge), format!("leaf {leaf}: off the {low} corner, off the {high} corner")))
}

/// Which leaf the set-up is for, where cuts come before it.
fn which(session: &Session) -> Option<String> {
    let sheet = match session.screen()? {
        Screen::Record(record) => record.sheet.as_deref()?,
        Screen::Batch(page) => &page.batch.rows.get(page.at)?.sheet,
        _ => return None,
    };
    after_words::once_cut(sheet)
}

/// Draws it over everything.
pub fn draw(session: &Session, theme: Theme, frame: &mut Frame<'_>, area: Rect) {
    let (text, beneath) = said(session);
    frame.render_widget(Clear, area);
    let small = small(session, &beneath);
    let width = usize::from(area.width).saturating_sub(2);
    let lines: Vec<_> =
        small.iter().flat_map(|(role, text)| wrapped(text, width).into_iter().map(|line| (*role, line))).collect();
    let rows = u16::try_from(lines.len()).unwrap_or(u16::MAX).min(area.height.saturating_sub(2));
    let letters = Rect {
        x: area.x + 1,
        y: area.y + 1,
        width: area.width.saturating_sub(2),
        height: area.height.saturating_sub(rows + 2),
    };
    frame.render_widget(&BigText { text, role: Some(Role::Next), theme }, letters);
    for (y, (role, line)) in (area.bottom().saturating_sub(rows)..area.bottom()).zip(lines) {
        frame.render_widget(Line::styled(format!(" {line}"), theme.style(role)), Rect { y, height: 1, ..area });
    }
}

/// What stands under the letters: what they are of, cautions wherever they propose a cut, what closes them.
fn small(session: &Session, beneath: &str) -> Vec<(Role, String)> {
    let trouble = session.opened.as_ref().and_then(|opened| opened.state.trouble.as_ref());
    let mut lines: Vec<_> = which(session).map(|which| (Role::Title, which)).into_iter().collect();
    lines.push((Role::Title, beneath.to_owned()));
    match trouble {
        Some(trouble) => lines.push((Role::Caution, format!("! {trouble}"))),
        None => lines.extend(cautions(session).map(|all| (Role::Caution, Caution::in_fewest(&all)))),
    }
    let closes = match session.screen() {
        Some(Screen::Readings(_)) => "feelers and Enter as ever; z or Esc closes",
        _ => "any key closes",
    };
    lines.push((Role::Quiet, closes.to_owned()));
    lines
}

/// The cautions of what the letters propose: of a set-up its own; none where no cut is proposed.
fn cautions(session: &Session) -> Option<Vec<Caution>> {
    let of_sheet = |sheet: &Sheet| sheet.sheet.cautions.clone();
    let usual = || Caution::WHEREVER_CUT.to_vec();
    let of_opening = || {
        let opened = session.opened.as_ref()?;
        let advised = session.advised.brief(opened);
        brief::proposes_a_cut(opened.state.stage(), advised.as_ref()).then(usual)
    };
    match session.screen() {
        Some(Screen::Shop(list)) => {
            let listed = list.chosen(&session.shop.openings)?;
            brief::proposes_a_cut(listed.summary.stage, listed.brief()).then(usual)
        }
        Some(Screen::Batch(page)) => page.batch.rows.get(page.at).map(|row| of_sheet(&row.sheet)),
        Some(Screen::Record(record)) => match record.job()? {
            Job::Trim(_) => Some(record.sheet.as_deref().map_or_else(usual, of_sheet)),
            Job::Pack(_) => None,
        },
        Some(Screen::Plan(plan)) if !plan.cuts().is_empty() => Some(usual()),
        Some(Screen::Readings(entry)) if entry.station().is_some() => None,
        _ => of_opening(),
    }
}

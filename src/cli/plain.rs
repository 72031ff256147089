//! `fit OPENING --plain`: the whole of a round line by line, for screen readers and dumb terminals. It only
//! speaks for a session: what is asked, kept and proposed is the screen's own.

use super::plain_words::{help_lines, plan_lines};
use super::put;
use super::trouble::{Answer, Trouble};
use crate::bench::brief::{self, Brief, Thing};
use crate::bench::readings::{ReadingsEntry, key_of};
use crate::bench::{Action, Message, Screen, Session, Tone, gap_words, stations, words};
use crate::fit::length::Show;
use crate::fit::policy::Next;
use crate::shell::deal;
use crate::shell::runner::Runner;
use crate::shop::name::ENDING;
use crate::shop::replay::Stage;
use crate::shop::summary::Summary;
use clap::Args;
use std::io::{BufRead, Write};

/// One opening, line by line.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  evenreveal fit \"left door\" --plain\n\n\
An opening that is not there yet is described first, line by line, and in a new shop its three questions come \
before that.\n\n\
At each station: a feeler's number (it goes, the next one stops), a length such as 3/32 or 2.4mm, - before a \
length where the leaf laps the frame, none, skip, back, or ? for help. Every reading is kept at once, so \
stopping (Ctrl-D, or quit) loses nothing.")]
pub(super) struct FitArguments {
    /// The opening's name
    pub(super) opening: String,
    /// Line by line, without a screen: for screen readers
    #[arg(long, required = true)]
    plain: bool,
}

pub(super) struct Talk<'a> {
    pub(super) session: Session,
    runner: Runner,
    input: &'a mut dyn BufRead,
    out: &'a mut dyn Write,
    /// Was the walk round the leaves gone through to its end?
    pub(super) walked: bool,
    /// Was it said how to answer?
    helped: bool,
}

/// The user is done: end of input, or `quit`.
pub(super) struct Stop;

pub(super) enum End {
    Stop,
    Trouble(Trouble),
}

impl From<Trouble> for End {
    fn from(trouble: Trouble) -> Self {
        Self::Trouble(trouble)
    }
}

impl From<Stop> for End {
    fn from(_: Stop) -> Self {
        Self::Stop
    }
}

/// Goes through what is to be done next with one opening, until it fits or the user stops.
pub(super) fn fit(
    mut runner: Runner,
    name: &str,
    input: &mut dyn BufRead,
    out: &mut dyn Write,
) -> Result<Answer, Trouble> {
    let session = Session::new(runner.seen()?);
    let loaded = runner.run(crate::bench::Effect::LoadOpening(name.to_owned()));
    let mut talk = Talk { session, runner, input, out, walked: false, helped: false };
    match loaded {
        Some(loaded @ Message::OpeningLoaded(_)) => {
            deal(loaded, &mut talk.session, &mut talk.runner);
        }
        // What is not there yet is described here, too.
        Some(Message::Failed(why)) if talk.may_describe(name) => match talk.describe(name) {
            Ok(()) => {}
            Err(End::Stop) => return Err(Trouble::Input(why)),
            Err(End::Trouble(trouble)) => return Err(trouble),
        },
        Some(Message::Failed(why)) => return Err(Trouble::Input(why)),
        _ => return Err(Trouble::Input(format!("'{name}' cannot be opened"))),
    }
    if let Some(why) = talk.session.opened.as_ref().and_then(|opened| opened.read_only.clone()) {
        return Err(Trouble::Storage(words::read_only(&why)));
    }
    match talk.all() {
        Ok(()) | Err(End::Stop) => {
            talk.line("Everything said so far is kept.")?;
            Ok(Answer::Done)
        }
        Err(End::Trouble(trouble)) => Err(trouble),
    }
}

impl Talk<'_> {
    pub(super) fn line(&mut self, text: &str) -> Result<(), Trouble> {
        put(self.out, text)
    }

    pub(super) fn ask(&mut self, question: &str) -> Result<String, End> {
        self.line(question)?;
        self.out.flush().map_err(|error| Trouble::output(&error))?;
        let mut answer = String::new();
        // A line is short; whatever comes beyond is another answer.
        let read = std::io::Read::take(&mut *self.input, 400).read_line(&mut answer);
        match read {
            Ok(0) => Err(End::Stop),
            Ok(_) if matches!(answer.trim(), "quit" | "q") => Err(End::Stop),
            Ok(_) => Ok(answer.trim().to_owned()),
            Err(error) if error.kind() == std::io::ErrorKind::InvalidData => Ok(String::new()),
            Err(error) => Err(Trouble::Input(format!("the answer cannot be read: {error}")).into()),
        }
    }

    /// Does what a key would; says what went wrong, or was done.
    pub(super) fn act(&mut self, action: Action) -> Result<bool, End> {
        deal(Message::Action(action), &mut self.session, &mut self.runner);
        match self.session.said.clone() {
            Some(said) if said.tone == Tone::Trouble => {
                self.line(&format!("Not done: {}.", said.text))?;
                Ok(false)
            }
            _ => Ok(true),
        }
    }

    /// Is there no opening of that name, and can one be made?
    fn may_describe(&self, name: &str) -> bool {
        let shop = &self.session.shop;
        let there = |summary: &Summary| summary.name == name || summary.file.trim_end_matches(ENDING) == name;
        shop.read_only.is_none() && !shop.openings.iter().any(|listed| there(&listed.summary))
    }

    /// What to do next, as the list and the screen name it.
    fn brief(&self) -> Option<Brief> {
        self.session.opened.as_ref().and_then(|opened| self.session.advised.brief(opened))
    }

    pub(super) fn show(&self) -> Show {
        self.session.shop.show()
    }

    fn stage(&self) -> Stage {
        self.session.opened.as_ref().map_or(Stage::Describe, |opened| opened.state.stage())
    }

    fn all(&mut self) -> Result<(), End> {
        let name = self.session.opened.as_ref().map_or_else(String::new, |opened| opened.name.clone());
        self.home();
        self.line(&format!("{name}. Next: {}.", brief::line(self.stage(), self.brief().as_ref())))?;
        loop {
            match self.stage() {
                Stage::Read { .. } => self.readings()?,
                // A walk that was broken off is taken up again before anything is decided; where wood is missing
                // whatever else is read, that comes first.
                Stage::Decide { .. } if !self.walked && self.unread() > 0 && !self.is_short() => self.readings()?,
                Stage::Decide { .. } => self.plan()?,
                Stage::Cut { .. } => {
                    self.walked = false;
                    self.cuts()?;
                }
                // Doubt came up since, or the advice is another one now.
                stage @ (Stage::Fitted { .. } | Stage::Settled { .. } | Stage::Short { .. })
                    if !brief::is_over(stage, self.brief().as_ref()) =>
                {
                    self.line(&format!("Not over: {}.", brief::line(stage, self.brief().as_ref())))?;
                    if self.wants_reading() {
                        self.readings()?;
                    } else {
                        self.plan()?;
                    }
                    self.home();
                }
                Stage::Fitted { .. } => {
                    self.line("It fits: nothing is to be done.")?;
                    return Ok(());
                }
                Stage::Settled { .. } => {
                    self.line("It is as good as it gets: nothing is to be done.")?;
                    return Ok(());
                }
                Stage::Short { .. } => {
                    self.line("Wood is missing: cut nothing more. The plan says what would help.")?;
                    if !self.wood_added()? {
                        return Ok(());
                    }
                }
                other => {
                    self.line(&format!("This is not asked line by line: {}.", brief::line(other, None)))?;
                    return Ok(());
                }
            }
        }
    }

    fn is_short(&self) -> bool {
        matches!(self.brief(), Some(Brief { thing: Thing::Short, .. }))
    }

    fn wants_reading(&self) -> bool {
        let look = self.session.opened.as_ref().and_then(|opened| self.session.advised.look(opened));
        look.is_some_and(|look| matches!(look.unbound(), Next::Read(_)))
    }

    /// Back to the opening's own screen.
    pub(super) fn home(&mut self) {
        for _ in 0..4 {
            if !matches!(self.session.screen(), Some(Screen::Home(_) | Screen::Shop(_)) | None) {
                deal(Message::Action(Action::Back), &mut self.session, &mut self.runner);
            }
        }
    }

    fn entry(&self) -> Option<&ReadingsEntry> {
        match self.session.screen() {
            Some(Screen::Readings(entry)) => Some(entry),
            _ => None,
        }
    }

    fn unread(&self) -> usize {
        self.session.opened.as_ref().map_or(0, |opened| ReadingsEntry::new(opened).unread(opened))
    }

    fn help(&mut self) -> Result<(), End> {
        let lines = help_lines(&self.session.shop.settings.feelers, self.show());
        Ok(lines.iter().try_for_each(|line| self.line(line))?)
    }

    fn readings(&mut self) -> Result<(), End> {
        self.home();
        // A walk that was broken off goes on where it was.
        let rest = matches!(self.brief(), Some(Brief { thing: Thing::ReadRest(_), .. }));
        self.act(if rest { Action::AllReadings } else { Action::Readings })?;
        if let Some(entry) = self.entry() {
            let (round, count) = (entry.round, entry.stations.len());
            self.line(&format!("Readings of round {round}: {}.", words::counted(count, "station")))?;
        }
        if !std::mem::replace(&mut self.helped, true) {
            self.help()?;
        }
        loop {
            let Some(entry) = self.entry() else { return Err(Stop.into()) };
            let Some(station) = entry.station().cloned() else { break };
            let show = self.show();
            let opened = self.session.opened.as_ref();
            let leaves = opened.map_or(&[][..], |opened| opened.state.leaves.as_slice());
            let leaf = leaves.get(station.leaf).map_or("", |leaf| leaf.what.leaf.as_str());
            let of = if leaves.len() > 1 { format!("leaf {leaf}, ") } else { String::new() };
            let read = opened.and_then(|opened| entry.read_at(entry.at, opened));
            let again = entry.looked.is_some();
            let before = read.map_or_else(String::new, |read| {
                let keeps = if again { "" } else { "; empty leaves it so" };
                format!(" Read before: {}{keeps}.", gap_words::in_full(&read, show))
            });
            let question = format!(
                "Station {} of {}: {of}{}, {} from its {} end?{before}",
                entry.at + 1,
                entry.stations.len(),
                station.words(),
                stations::shown(station.at, show),
                if station.edge.is_upright() { "lower" } else { "left" }
            );
            let answer = self.ask(&question)?;
            if answer.is_empty() && read.is_some() && !again {
                self.act(Action::Down)?;
                continue;
            }
            self.take(&answer)?;
            self.surprised()?;
        }
        let unread = match (self.entry(), &self.session.opened) {
            (Some(entry), Some(opened)) => entry.unread(opened),
            _ => 0,
        };
        if unread > 0 {
            self.line(&format!("{} left out.", words::counted(unread, "station")))?;
        }
        self.home();
        self.walked = true;
        if matches!(self.stage(), Stage::Read { .. }) {
            self.line("Nothing was read.")?;
            return Err(Stop.into());
        }
        Ok(())
    }

    /// One answer at a station.
    fn take(&mut self, answer: &str) -> Result<(), End> {
        let count = self.session.shop.settings.feelers.len().min(26);
        match answer {
            "?" | "help" => self.help()?,
            "skip" => drop(self.act(Action::Skip)?),
            "back" => drop(self.act(Action::Up)?),
            "none" => {
                self.act(Action::NothingGoes)?;
                self.keep()?;
            }
            "" => self.line("Say a feeler's number, a length, skip, back or ?.")?,
            other if other.chars().all(|letter| letter.is_ascii_digit()) => {
                let place = other.parse::<usize>().ok().and_then(|number| number.checked_sub(1));
                match place.filter(|place| *place < count).and_then(key_of) {
                    Some(key) => {
                        self.act(Action::Type(key))?;
                        self.keep()?;
                    }
                    None => {
                        self.line(&format!("There are feelers 1 to {count}; write a whole length with its unit."))?;
                    }
                }
            }
            other if other.starts_with(|letter: char| letter.is_ascii_digit() || "-.".contains(letter)) => {
                for letter in other.chars() {
                    self.act(Action::Type(letter))?;
                }
                self.keep()?;
            }
            other => self.line(&format!("'{other}' is no feeler and no length; ? explains."))?,
        }
        Ok(())
    }

    fn keep(&mut self) -> Result<(), End> {
        if !self.act(Action::Enter)? {
            // What was typed is thrown away: the station is asked again.
            deal(Message::Action(Action::Back), &mut self.session, &mut self.runner);
        }
        Ok(())
    }

    /// A surprising reading is asked about.
    fn surprised(&mut self) -> Result<(), End> {
        while let Some(surprise) = self.entry().and_then(|entry| entry.asked.as_ref().map(|asked| asked.surprise)) {
            let show = self.show();
            let question = format!(
                "Check it: expected about {}, you read: {}. keep, again, or leave out?",
                surprise.expected.shown(show),
                gap_words::in_full(&surprise.read, show)
            );
            match self.ask(&question)?.as_str() {
                "keep" | "k" => drop(self.act(Action::KeepAnyway)?),
                "again" | "r" => drop(self.act(Action::Retake)?),
                "leave out" | "leave" | "x" => drop(self.act(Action::StrikeReading)?),
                _ => {}
            }
        }
        Ok(())
    }

    fn plan(&mut self) -> Result<(), End> {
        self.home();
        self.act(Action::Plan)?;
        let Some(Screen::Plan(plan)) = self.session.screen().cloned() else { return Err(Stop.into()) };
        for line in plan_lines(&plan, self.show()) {
            self.line(&line)?;
        }
        let Some(look) = plan.look() else { return Err(Stop.into()) };
        if matches!(look.advice.next, Next::Read(_)) && self.reread()? {
            return Ok(());
        }
        loop {
            match self
                .ask("Accept this plan? y, n, or other for the other choice (least wood, or even stiles)")?
                .as_str()
            {
                "y" | "yes" => break,
                "n" | "no" => return Err(Stop.into()),
                "other" => {
                    self.act(Action::Prefer)?;
                    if let Some(Screen::Plan(plan)) = self.session.screen().cloned() {
                        for line in plan_lines(&plan, self.show()) {
                            self.line(&line)?;
                        }
                    }
                }
                _ => {}
            }
        }
        self.act(Action::Accept)?;
        if matches!(self.session.screen(), Some(Screen::Plan(_))) {
            // It was not taken: the reason was a hint.
            let why = self.session.said.as_ref().map_or_else(String::new, |said| said.text.clone());
            self.line(&format!("Not accepted: {why}."))?;
            return Err(Stop.into());
        }
        Ok(())
    }

    /// Doubtful stations are read again before anything is decided, unless the user wants it otherwise.
    fn reread(&mut self) -> Result<bool, End> {
        loop {
            match self.ask("Read them again now? y, or n to decide without")?.as_str() {
                "y" | "yes" => break,
                "n" | "no" => return Ok(false),
                _ => {}
            }
        }
        self.readings()?;
        Ok(true)
    }
}

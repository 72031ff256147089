//! Runs effects on the shop's files.

use super::desk::Desk;
use super::worker::Worker;
use super::{here, printing};
use crate::bench::seen::PassesSeen;
use crate::bench::{Effect, Listed, Message, OpeningSeen, ShopSeen};
use crate::shop::event::Event;
use crate::shop::{Opening, Shop, ShopChoice, ShopError};
use std::path::PathBuf;
use std::time::Duration;

/// The shop, open, with the opening that is being worked on.
#[derive(Debug)]
pub struct Runner {
    shop: Shop,
    notice: Option<String>,
    opened: Option<Opening>,
    desk: Desk,
    worker: Option<Worker>,
    /// Answers that the worker owes.
    owed: usize,
}

impl Runner {
    /// Opens the shop.
    pub fn open(choice: &ShopChoice) -> Result<Self, ShopError> {
        let shop = Shop::open(&choice.dir, &choice.access(here::holder()))?;
        let desk = Desk::new(shop.shelf());
        Ok(Self { shop, notice: choice.notice.clone(), opened: None, desk, worker: None, owed: 0 })
    }

    /// From now on what may take long is done by a thread.
    pub fn aside(&mut self) {
        self.worker = Worker::start(here::desk(&self.shop));
    }

    /// Gives long work to the thread; the effect comes back if it is to be run here.
    pub fn give(&mut self, effect: Effect) -> Option<Effect> {
        let owes = match &effect {
            Effect::Passes(files) => files.len(),
            _ => 1,
        };
        let Some(worker) = &self.worker else { return Some(effect) };
        let back = worker.give(effect, self.shop.settings());
        if back.is_none() {
            self.owed += owes;
        }
        back
    }

    /// Is an answer owed?
    pub fn waits(&self) -> bool {
        self.owed > 0
    }

    /// An answer of the thread, if there is one within `wait`.
    pub fn answered(&mut self, wait: Duration) -> Option<Message> {
        let answer = self.worker.as_ref().filter(|_| self.owed > 0)?.answered(wait)?;
        let answers = match &answer {
            Message::Passes(found) => found.len(),
            _ => 1,
        };
        self.owed = self.owed.saturating_sub(answers);
        Some(answer)
    }

    /// The shop as it is now.
    pub fn seen(&self) -> Result<ShopSeen, ShopError> {
        let openings =
            self.shop.list()?.into_iter().map(|summary| Listed { summary, passes: PassesSeen::NotYet }).collect();
        let name = &self.shop.settings().name;
        let place = self.shop.dir().display().to_string();
        Ok(ShopSeen {
            place: if name.is_empty() { place } else { name.clone() },
            settings: self.shop.settings().clone(),
            is_new: self.shop.is_new(),
            openings,
            read_only: self.shop.read_only().map(ToString::to_string),
            notice: self.notice.clone(),
        })
    }

    /// What was typed and not kept in an earlier session.
    pub fn unfinished(&self) -> Result<String, ShopError> {
        self.shop.unfinished()
    }

    /// Keeps what is typed and not kept.
    pub fn keep_unfinished(&self, text: &str) -> Result<(), ShopError> {
        self.shop.keep_unfinished(text)
    }

    /// Keeps what cannot be read under another name; answers where.
    pub fn set_unfinished_aside(&self, text: &str) -> Result<PathBuf, ShopError> {
        self.shop.set_unfinished_aside(text)
    }

    /// Runs an effect; the answer to it, or none to leave the program.
    pub fn run(&mut self, effect: Effect) -> Option<Message> {
        let answer = match effect {
            Effect::Quit => return None,
            Effect::LoadShop => self.load_shop(),
            Effect::LoadOpening(name) => self.load_opening(&name),
            Effect::Keep { opening, events } => self.keep(&opening, events),
            Effect::LoadAll => self.all(Vec::new()),
            Effect::KeepIn { file, events } => self.keep_in(&file, events),
            Effect::Create { opening, events } => self.create(&opening, events),
            Effect::SaveSettings(settings) => {
                self.shop.save_settings(*settings).map_err(|error| error.to_string()).and_then(|()| self.load_shop())
            }
            Effect::Learn => Ok(Message::Learned(Box::new(self.desk.learn(self.shop.settings())))),
            Effect::Practice(ask) => Ok(super::desk::practice(ask)),
            Effect::Batch(files) => Ok(Message::Batched(self.desk.batch(&files, self.shop.settings()))),
            Effect::Passes(files) => Ok(Message::Passes(self.desk.passes(&files, self.shop.settings()))),
            Effect::ResetLearning => {
                let mut settings = self.shop.settings().clone();
                settings.learning_resets.push(here::now());
                self.shop.save_settings(settings).map_err(|error| error.to_string()).and_then(|()| self.load_shop())
            }
            Effect::Look(asked) => Ok(Message::Looked(Box::new(self.desk.look(&asked)))),
            Effect::SeekPhoto(photo) => {
                let found = crate::shop::photo::is_there(self.shop.dir(), &photo);
                Ok(Message::PhotoSought { photo, found })
            }
            Effect::Print { opening, file } => self.print(opening.as_deref(), &file),
        };
        Some(answer.unwrap_or_else(Message::Failed))
    }

    fn print(&self, opening: Option<&str>, file: &str) -> Result<Message, String> {
        let written = printing::print(&self.shop, opening, std::path::Path::new(file));
        let files = written.map_err(|error| error.to_string())?;
        // Where it is, whole: nobody knows the folder that the program was started in.
        let whole = |file: &PathBuf| std::path::absolute(file).unwrap_or_else(|_| file.clone());
        Ok(Message::Printed(files.iter().map(|file| whole(file).display().to_string()).collect()))
    }

    fn load_shop(&mut self) -> Result<Message, String> {
        self.opened = None;
        let seen = self.seen().map_err(|error| error.to_string())?;
        let sizes = Desk::sizes(seen.openings.iter().map(|listed| &listed.summary));
        self.desk.listed(&sizes);
        if let Some(worker) = &self.worker {
            worker.listed(sizes);
        }
        Ok(Message::ShopLoaded(Box::new(seen)))
    }

    fn load_opening(&mut self, name: &str) -> Result<Message, String> {
        let opening = self.shop.opening(name).map_err(|error| error.to_string())?;
        let seen = see(&opening);
        self.opened = Some(opening);
        Ok(Message::OpeningLoaded(Box::new(seen)))
    }

    fn keep(&mut self, name: &str, events: Vec<Event>) -> Result<Message, String> {
        let opening = self.opened.as_mut().filter(|opening| opening.name() == name);
        let opening = opening.ok_or_else(|| format!("'{name}' is not open"))?;
        let numbers = opening.enter(events, &here::now()).map_err(|error| error.to_string())?;
        Ok(Message::Kept { opening: Box::new(see(opening)), numbers })
    }

    fn all(&self, numbers: Vec<u64>) -> Result<Message, String> {
        let openings = self.shop.all().map_err(|error| error.to_string())?;
        Ok(Message::AllLoaded { openings, numbers })
    }

    fn keep_in(&mut self, file: &str, events: Vec<Event>) -> Result<Message, String> {
        let mut opening = self.shop.opening(file).map_err(|error| error.to_string())?;
        let numbers = opening.enter(events, &here::now()).map_err(|error| error.to_string())?;
        self.all(numbers)
    }

    fn create(&mut self, name: &str, events: Vec<Event>) -> Result<Message, String> {
        crate::shop::opening::check_batch(&[], &events).map_err(|error| error.to_string())?;
        let mut opening = self.shop.create_opening(name).map_err(|error| error.to_string())?;
        let numbers = opening.enter(events, &here::now()).map_err(|error| error.to_string())?;
        let seen = see(&opening);
        self.opened = Some(opening);
        Ok(Message::Kept { opening: Box::new(seen), numbers })
    }
}

/// An opening as a session sees it.
pub fn see(opening: &Opening) -> OpeningSeen {
    OpeningSeen {
        name: opening.name().to_owned(),
        records: opening.records().to_vec(),
        state: opening.state().clone(),
        notices: opening.notices().iter().map(ToString::to_string).collect(),
        read_only: opening.read_only().map(ToString::to_string),
    }
}

//! Runs effects on the shop's files.

use super::desk::Desk;
use crate::bench::{Effect, Listed, Message, OpeningSeen, ShopSeen};
use crate::cli::here;
use crate::shop::event::Event;
use crate::shop::{Opening, Shop, ShopChoice, ShopError};

/// The shop, open, with the opening that is being worked on.
#[derive(Debug)]
pub struct Runner {
    shop: Shop,
    notice: Option<String>,
    opened: Option<Opening>,
    desk: Desk,
}

impl Runner {
    /// Opens the shop.
    pub fn open(choice: &ShopChoice) -> Result<Self, ShopError> {
        let shop = Shop::open(&choice.dir, &choice.access(here::holder()))?;
        let desk = Desk::new(shop.shelf());
        Ok(Self { shop, notice: choice.notice.clone(), opened: None, desk })
    }

    /// The shop as it is now.
    pub fn seen(&self) -> Result<ShopSeen, ShopError> {
        let openings = self.shop.list()?.into_iter().map(|summary| Listed { summary, passes: None }).collect();
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
            Effect::Look(asked) => Ok(Message::Looked(Box::new(self.desk.look(&asked)))),
            Effect::Print { opening, file } => self.print(opening.as_deref(), &file),
        };
        Some(answer.unwrap_or_else(Message::Failed))
    }

    fn print(&self, opening: Option<&str>, file: &str) -> Result<Message, String> {
        let written = crate::cli::printing::print(&self.shop, opening, std::path::Path::new(file));
        let files = written.map_err(|error| error.to_string())?;
        Ok(Message::Printed(files.iter().map(|file| file.display().to_string()).collect()))
    }

    fn load_shop(&mut self) -> Result<Message, String> {
        self.opened = None;
        let seen = self.seen().map_err(|error| error.to_string())?;
        self.desk.listed(&Desk::sizes(seen.openings.iter().map(|listed| &listed.summary)));
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

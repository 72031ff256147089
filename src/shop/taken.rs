//! Readings one by one, as the estimate takes them: second looks beside first ones, kept and struck.

use super::event::{ReadingJudged, ReadingStored, Verdict};
use super::replay::{OpeningState, Round, StationRead};
use crate::fit::estimate::{Standing, TakenReading};
use crate::fit::reading::Reading;

/// A reading as it was taken.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StationTaken {
    /// Number of the event it came with.
    pub n: u64,
    /// When that was kept.
    pub when: String,
    /// Gap line, reading, and how it stands.
    pub taken: TakenReading,
}

impl Round {
    /// Takes in one reading of event `n` on gap line `gap`: in the place of the station's earlier ones, or
    /// beside them.
    pub(super) fn take(&mut self, (n, when): (u64, &str), gap: usize, reading: Reading, stored: &ReadingStored) {
        if !stored.again {
            self.taken.retain(|old| old.taken.gap != gap || old.taken.reading.at != reading.at);
        }
        let standing = if stored.kept { Standing::KeptByUser } else { Standing::Plain };
        self.taken.push(StationTaken { n, when: when.to_owned(), taken: TakenReading { gap, reading, standing } });
        self.show_latest(gap, reading);
    }

    /// Puts the station's latest reading that is not struck into the readings along the line.
    fn show_latest(&mut self, gap: usize, station: Reading) {
        let here = |one: &&StationTaken| {
            one.taken.gap == gap && one.taken.reading.at == station.at && one.taken.standing != Standing::Struck
        };
        let latest = self.taken.iter().rev().find(here).map(|one| (one.n, one.taken.reading));
        let Some(line) = self.readings.get_mut(gap) else { return };
        line.retain(|old| old.reading.at != station.at);
        if let Some((n, reading)) = latest {
            let place = line.partition_point(|old| old.reading.at < station.at);
            line.insert(place, StationRead { n, reading });
        }
    }

    /// How often the station at `at` of gap line `gap` was read and not struck.
    pub fn times_read(&self, gap: usize, at: crate::fit::length::Length) -> usize {
        let here = |one: &&StationTaken| {
            one.taken.gap == gap && one.taken.reading.at == at && one.taken.standing != Standing::Struck
        };
        self.taken.iter().filter(here).count()
    }
}

impl OpeningState {
    /// Round and place in it of the reading that `judged` speaks of; `None` if none that counts.
    pub fn taken_at(&self, judged: &ReadingJudged) -> Option<(usize, usize)> {
        let gap = self.gap_between(&judged.between)?;
        let is_it =
            |one: &StationTaken| one.n == judged.reading && one.taken.gap == gap && one.taken.reading.at == judged.at;
        let mut rounds = self.rounds.iter().enumerate();
        rounds.find_map(|(round, one)| one.taken.iter().position(is_it).map(|place| (round, place)))
    }

    /// A reading that no longer counts has nothing to be judged: that is no fault.
    pub(super) fn judge(&mut self, judged: &ReadingJudged) {
        let Some((round, place)) = self.taken_at(judged) else { return };
        let Some(round) = self.rounds.get_mut(round) else { return };
        let Some(one) = round.taken.get_mut(place) else { return };
        one.taken.standing = match judged.verdict {
            Verdict::Kept => Standing::KeptByUser,
            Verdict::Struck => Standing::Struck,
        };
        let TakenReading { gap, reading, .. } = one.taken;
        round.show_latest(gap, reading);
    }
}

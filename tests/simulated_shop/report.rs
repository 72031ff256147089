//! Many seeds, and the table.

use super::hands::{Plain, hands, perfect, reach};
use super::tool::{Ended, Outcome, Shop, fit};
use super::truth::{TOLERANCE, Truth};
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use std::fmt::Write as _;

fn rng(seed: u64, stream: u64) -> ChaCha8Rng {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    rng.set_stream(stream);
    rng
}

/// The tool on each seed.
pub fn tool(seeds: std::ops::Range<u64>, shop: &Shop) -> Vec<Outcome> {
    seeds
        .map(|seed| {
            let mut truth = Truth::new(&mut rng(seed, 0));
            let reach = reach(&truth);
            fit(&mut truth, shop, reach, &mut rng(seed, 1))
        })
        .collect()
}

/// A comparison on each seed.
pub fn plain(seeds: std::ops::Range<u64>, how: fn(&mut Truth, &mut ChaCha8Rng) -> Plain) -> Vec<Plain> {
    seeds.map(|seed| how(&mut Truth::new(&mut rng(seed, 0)), &mut rng(seed, 1))).collect()
}

pub fn all_plain(seeds: std::ops::Range<u64>) -> [(&'static str, Vec<Plain>); 2] {
    [("hands", plain(seeds.clone(), hands)), ("perfect knowledge", plain(seeds, perfect))]
}

pub fn quantile<T: Copy + PartialOrd>(list: impl Iterator<Item = T>, share: f64) -> Option<T> {
    let mut list: Vec<T> = list.collect();
    list.sort_by(|a, b| a.partial_cmp(b).expect("no NaN"));
    list.get(((list.len() as f64 - 1.0).max(0.0) * share).round() as usize).copied()
}

/// A share in per cent with its count.
#[derive(Clone, Copy, Debug)]
pub struct Share {
    pub of: usize,
    pub yes: usize,
}

impl Share {
    pub fn of<T>(list: &[T], test: impl Fn(&T) -> bool) -> Self {
        Self { of: list.len(), yes: list.iter().filter(|one| test(one)).count() }
    }
    pub fn value(self) -> f64 {
        if self.of == 0 { f64::NAN } else { self.yes as f64 / self.of as f64 }
    }
    pub fn text(self) -> String {
        format!("{:.2} % ({} of {})", 100.0 * self.value(), self.yes, self.of)
    }
}

/// Figures of the tool, those the targets are about.
pub struct Figures {
    pub rounds: [usize; 2],
    pub within: Share,
    pub within_possible: Share,
    pub wide: Share,
    pub fitted_true: Share,
    pub forecast: Share,
    pub caught: Share,
    pub caught_in_time: Share,
    pub questioned: Share,
}

pub fn figures(list: &[Outcome]) -> Figures {
    let possible: Vec<&Outcome> = list.iter().filter(|one| one.reach <= TOLERANCE).collect();
    let fitted: Vec<&Outcome> = list.iter().filter(|one| one.end == Ended::Fitted).collect();
    let forecasts: Vec<(usize, usize)> = fitted.iter().flat_map(|one| one.forecast.iter().copied()).collect();
    let sum = |pick: &dyn Fn(&Outcome) -> usize| list.iter().map(pick).sum::<usize>();
    let rounds = |share| quantile(list.iter().map(|one| one.rounds), share).unwrap_or(0);
    Figures {
        rounds: [rounds(0.5), rounds(0.9)],
        within: Share::of(list, |one| one.worst <= TOLERANCE),
        within_possible: Share::of(&possible, |one| one.worst <= TOLERANCE),
        wide: Share::of(&possible, |one| one.wide > TOLERANCE),
        fitted_true: Share::of(&fitted, |one| one.worst <= TOLERANCE),
        forecast: Share::of(&forecasts, |(said, was)| said.abs_diff(*was) <= 1),
        caught: Share { of: sum(&|one| one.wrong[1]), yes: sum(&|one| one.wrong[3]) },
        caught_in_time: Share { of: sum(&|one| one.wrong[1]), yes: sum(&|one| one.wrong[2]) },
        questioned: Share { of: sum(&|one| one.good[0]), yes: sum(&|one| one.good[1]) },
    }
}

/// The tool's rows.
pub fn tool_table(list: &[Outcome]) -> String {
    let f = figures(list);
    let mut out = String::new();
    let mut row = |name: &str, value: String| writeln!(out, "  {name:<58} {value}").expect("a string");
    let ends = |end: Ended| Share::of(list, |one| one.end == end).text();
    let thousandths = |share| 1000.0 * quantile(list.iter().map(|one| one.worst), share).unwrap_or(f64::NAN);
    let mean = |pick: &dyn Fn(&Outcome) -> usize| list.iter().map(pick).sum::<usize>() as f64 / list.len() as f64;
    row("rounds, median / 90th percentile", format!("{} / {}", f.rounds[0], f.rounds[1]));
    row("rounds, mean", format!("{:.2}", mean(&|one| one.rounds)));
    row(
        "cuts, median (mean saw + mean plane)",
        format!(
            "{} ({:.1} + {:.1})",
            quantile(list.iter().map(|one| one.saw_cuts + one.plane_cuts), 0.5).unwrap_or(0),
            mean(&|one| one.saw_cuts),
            mean(&|one| one.plane_cuts)
        ),
    );
    row(
        "readings per opening, mean (second looks asked for by a list)",
        format!("{:.1} ({:.1})", mean(&|one| one.readings), mean(&|one| one.confirming)),
    );
    row("within tolerance, all", f.within.text());
    row("within tolerance, where trimming can do it at all", f.within_possible.text());
    row("wide by more than 1/64, where trimming can do it at all", f.wide.text());
    let roomy: Vec<&Outcome> = list.iter().filter(|one| one.reach <= 0.5 * TOLERANCE).collect();
    let beyond = list.iter().filter(|one| one.reach > TOLERANCE).count();
    let marginal = list.len() - roomy.len() - beyond;
    row("beyond trimming from the start / best trim uses over half", format!("{beyond} / {marginal}"));
    row("  the rest: within tolerance", Share::of(&roomy, |one| one.worst <= TOLERANCE).text());
    row("  the rest: wide by more than 1/64", Share::of(&roomy, |one| one.wide > TOLERANCE).text());
    row("wide by more than 1/64, all", Share::of(list, |one| one.wide > TOLERANCE).text());
    row(
        "worst miss, median / 90th percentile (in)",
        format!("{:.4} / {:.4}", thousandths(0.5) / 1000.0, thousandths(0.9) / 1000.0),
    );
    row("said fitted", ends(Ended::Fitted));
    row("  of these truly fitted", f.fitted_true.text());
    row("said trimming cannot do it", ends(Ended::Short));
    let short: Vec<&Outcome> = list.iter().filter(|one| one.end == Ended::Short).collect();
    row("  of these truly beyond trimming from the start", Share::of(&short, |one| one.reach > TOLERANCE).text());
    row("said as good as it gets", ends(Ended::GoodAsItGets));
    row("gave up", ends(Ended::GaveUp));
    let notes: std::collections::BTreeSet<&str> =
        list.iter().map(|one| one.note.as_str()).filter(|note| !note.is_empty()).collect();
    row("  because", format!("{notes:?}"));
    row("'n passes remain' within one", f.forecast.text());
    let held: [usize; 2] = [0, 1].map(|which| list.iter().map(|one| one.held[which]).sum());
    row("95 % intervals of the gaps that held the truth", Share { yes: held[0], of: held[1] }.text());
    row("wrong readings that matter: asked about before the next cut", f.caught_in_time.text());
    row("wrong readings that matter: ever asked about", f.caught.text());
    row("good readings questioned", f.questioned.text());
    let missed: Vec<_> = list.iter().flat_map(|one| one.missed.iter().copied()).collect();
    let of = |first: bool, times: usize| {
        missed.iter().filter(|(round, _, read)| (*round == 1) == first && (*read).min(3) == times).count()
    };
    let text = |first| format!("{} / {} / {}", of(first, 1), of(first, 2), of(first, 3));
    row("missed in round 1, station read once / twice / more", text(true));
    row("missed later, station read once / twice / more", text(false));
    out
}

pub fn plain_table(list: &[Plain]) -> String {
    let q = |share| quantile(list.iter().map(|one| one.worst), share).unwrap_or(f64::NAN);
    let rounds = |share| quantile(list.iter().map(|one| one.rounds), share).unwrap_or(0);
    let cuts = quantile(list.iter().map(|one| one.saw_cuts + one.plane_cuts), 0.5).unwrap_or(0);
    format!(
        "  rounds {} / {}; cuts {}; within {}; wide {}; worst miss {:.4} / {:.4}\n",
        rounds(0.5),
        rounds(0.9),
        cuts,
        Share::of(list, |one| one.worst <= TOLERANCE).text(),
        Share::of(list, |one| one.wide > TOLERANCE).text(),
        q(0.5),
        q(0.9)
    )
}

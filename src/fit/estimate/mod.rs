//! The estimate carried between rounds: a linear Gaussian filter on the gap lines.
//!
//! Nothing is forgotten: each round's pose and each cut's removal is a number of its own in one
//! growing [`Gaussian`], so later readings also sharpen what the last cut is thought to have taken.
//! Equal to weighted least squares over all rounds at once (`tests/estimator.rs` holds it to 1e-9).
//!
//! ```
//! # use evenreveal::fit::{estimate::*, length::Length, opening::*, reading::*};
//! # let leaf = Leaf { id: "A".into(), width: Length::ratio(11, 1), height: Length::ratio(26, 1), hinge: None,
//! #     may_cut: EdgeSet::ALL, motion: Motion::Free };
//! # let gaps: Vec<GapLine> = Edge::ALL.into_iter().map(|edge| GapLine { between: [Facing::Frame,
//! #     Facing::Leaf { leaf: 0, edge }], target: Length::ratio(3, 32), offset: Length::ZERO, readings: vec![] }).collect();
//! let mut estimate = Estimate::begin(&[leaf], &gaps, Spreads::default()).unwrap();
//! let reading = Reading { at: Length::ratio(1, 1), value: Value::Gap(Length::ratio(1, 16)) };
//! let surprise = estimate.observe(0, &reading).unwrap();
//! assert!(!surprise.asks(), "nothing is known before the first reading");
//! assert!((estimate.gap_at(0, reading.at).unwrap().mean.0 - 0.0625).abs() < 0.001);
//! ```

mod altered;
pub mod gaussian;
mod layout;
pub mod review;
pub mod rounds;
pub mod spreads;

pub use altered::Altered;
pub use gaussian::{Affine, Gaussian, Innovation};
pub use review::{Doubtful, Review};
pub use rounds::{
    CutMade, CutTaken, Method, Round, RoundShown, Standing, StaysHung, TakenReading, history, history_with, replay,
    replay_with,
};
pub use spreads::{Belief, Spreads};

use super::length::{Inches, Length};
use super::opening::{Edge, Facing, FitProblem, GapLine, Leaf};
use super::reading::{Reading, Value};
use layout::{Body, Line};

/// How sure a reading must be wrong, in standard deviations, before the user is asked.
pub const ASKS_ABOVE: f64 = 3.0;

/// Why an estimate cannot be made or asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum EstimateError {
    /// A leaf without width or height.
    #[error("leaf {} has no size; give its width and height", leaf + 1)]
    NoSize {
        /// Place in the list of leaves.
        leaf: usize,
    },
    /// A gap line or cut names a leaf that is not there.
    #[error("there is no leaf {} in this opening", leaf + 1)]
    NoSuchLeaf {
        /// Place in the list of leaves.
        leaf: usize,
    },
    /// A gap line between the frame and the frame.
    #[error("gap line {} touches no leaf", gap + 1)]
    NoLeafInGap {
        /// Place in the list of gap lines.
        gap: usize,
    },
    /// A reading names a gap line that is not there.
    #[error("there is no gap line {} in this opening", gap + 1)]
    NoSuchGap {
        /// Place in the list of gap lines.
        gap: usize,
    },
}

/// A reading against what was expected before it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Surprise {
    /// What the estimate expected there, with its uncertainty (without the reading's own).
    pub expected: Belief,
    /// What was read.
    pub read: Inches,
    /// Difference over its standard deviation, signed.
    pub ratio: f64,
}

impl Surprise {
    /// Should the user be asked to look again?
    pub fn asks(&self) -> bool {
        self.ratio.abs() > ASKS_ABOVE
    }
}

/// One observation kept for review.
#[derive(Clone, Debug, PartialEq)]
struct Kept {
    round: usize,
    gap: usize,
    at: Length,
    read: f64,
    variance: f64,
    row: Affine,
    standing: Standing,
}

/// One cut kept.
#[derive(Clone, Copy, Debug, PartialEq)]
struct KeptCut {
    made: CutMade,
    round: usize,
    /// Index of the removal at the lower or left corner; the other corner is the next one.
    first: usize,
    /// A leaf was altered before anything told what it took.
    lost: bool,
}

/// What is believed of the opening after all rounds so far.
#[derive(Clone, Debug, PartialEq)]
pub struct Estimate {
    leaves: Vec<Leaf>,
    gaps: Vec<GapLine>,
    bodies: Vec<Body>,
    lines: Vec<Line>,
    spreads: Spreads,
    belief: Gaussian,
    tape: usize,
    plane: usize,
    /// First pose number of each round so far.
    poses: Vec<usize>,
    cuts: Vec<KeptCut>,
    kept: Vec<Kept>,
}

impl Estimate {
    /// The estimate before the first reading, standing in round 1. Readings inside `gaps` are not
    /// taken in: observe them. Nothing is known of the gaps but [`Spreads::gap`] about the target.
    pub fn begin(leaves: &[Leaf], gaps: &[GapLine], spreads: Spreads) -> Result<Self, EstimateError> {
        Self::begin_with(leaves, gaps, spreads, &[])
    }

    /// The same with gaps known from tape or survey: per gap line the gap expected at both ends of
    /// the first-named leaf's edge (leaf centred), each with its uncertainty; `None` where unknown.
    pub fn begin_with(
        leaves: &[Leaf],
        gaps: &[GapLine],
        spreads: Spreads,
        known: &[Option<[Belief; 2]>],
    ) -> Result<Self, EstimateError> {
        let bodies = layout::bodies(leaves)?;
        let lines = layout::lines(&bodies, gaps)?;
        let mut belief = Gaussian::new();
        for (gap, line) in lines.iter().enumerate() {
            let wide = Belief { mean: Inches(line.target), sd: spreads.gap };
            for end in known.get(gap).copied().flatten().unwrap_or([wide, wide]) {
                belief.join(end.mean.0, end.sd.0.powi(2));
            }
            belief.join(0.0, spreads.bow.0.powi(2));
        }
        let tape = belief.join(spreads.tape.mean, spreads.tape.sd.powi(2));
        let plane = belief.join(spreads.plane.mean, spreads.plane.sd.powi(2));
        let mut estimate = Self {
            leaves: leaves.to_vec(),
            gaps: gaps.iter().map(|gap| GapLine { readings: Vec::new(), ..gap.clone() }).collect(),
            bodies,
            lines,
            spreads,
            belief,
            tape,
            plane,
            poses: Vec::new(),
            cuts: Vec::new(),
            kept: Vec::new(),
        };
        estimate.new_round();
        Ok(estimate)
    }

    /// The leaves go back into the opening, each in a pose of which nothing is known.
    pub fn new_round(&mut self) {
        self.new_round_after(&[]);
    }

    /// The same, but a leaf that stayed on its hinges keeps its pose: the pose of the round before, plus
    /// what the known change of its axes does (linear for the small turns of a fit), plus its noise.
    pub fn new_round_after(&mut self, hung: &[StaysHung]) {
        let before = self.poses.last().copied();
        let mut kept = vec![None; self.bodies.len()];
        for stays in hung {
            let (Some(leaf), Some(body)) = (self.leaves.get(stays.leaf), self.bodies.get(stays.leaf)) else { continue };
            let Some((_, rows)) = layout::hung_rows(leaf, body.lever()) else { continue };
            let axes = stays.axes.map(|axis| self.belief.join(axis.mean.0, axis.sd.0.powi(2)));
            if let Some(place) = kept.get_mut(stays.leaf) {
                *place = Some((rows, axes));
            }
        }
        let first = self.belief.len();
        let variance = self.spreads.pose.0.powi(2);
        for (leaf, kept) in kept.into_iter().enumerate() {
            for part in 0..3 {
                match (before, kept) {
                    (Some(before), Some((rows, axes))) => {
                        let mut pose = Affine::of(before + 3 * leaf + part);
                        for (row, axis) in rows.iter().zip(axes) {
                            pose.add(axis, row[part]);
                        }
                        self.belief.join_affine(&pose, 0.0);
                    }
                    _ => {
                        self.belief.join(0.0, variance);
                    }
                }
            }
        }
        self.poses.push(first);
    }

    /// The round the estimate stands in, from 1.
    pub fn round(&self) -> usize {
        self.poses.len()
    }

    /// What a reading would say against the estimate, without taking it in.
    pub fn surprise(&self, gap: usize, reading: &Reading) -> Result<Surprise, EstimateError> {
        let row = self.row(gap, reading.at.inches())?;
        let (mean, variance) = self.belief.project(&row);
        let read = reading.mean_inches();
        let innovation = self.belief.innovation(&row, read, self.reading_variance(reading));
        let expected = Belief { mean: Inches(mean), sd: Inches(variance.max(0.0).sqrt()) };
        Ok(Surprise { expected, read: Inches(read), ratio: innovation.ratio() })
    }

    /// Takes in a reading of the present round; says how it sat with what was expected.
    pub fn observe(&mut self, gap: usize, reading: &Reading) -> Result<Surprise, EstimateError> {
        self.observe_as(gap, reading, Standing::Plain)
    }

    /// The same for a reading that was asked about: a kept one is not asked about again; a struck
    /// one is remembered but not used.
    pub fn observe_as(&mut self, gap: usize, reading: &Reading, standing: Standing) -> Result<Surprise, EstimateError> {
        let surprise = self.surprise(gap, reading)?;
        let row = self.row(gap, reading.at.inches())?;
        let variance = self.reading_variance(reading);
        if standing != Standing::Struck {
            self.belief.update(&row, surprise.read.0, variance);
        }
        let round = self.round();
        self.kept.push(Kept { round, gap, at: reading.at, read: surprise.read.0, variance, row, standing });
        Ok(surprise)
    }

    /// Takes in a cut made after the readings of the present round: what it was meant to take, by
    /// which method. What it did take becomes part of the estimate.
    pub fn cut(&mut self, made: &CutMade) -> Result<(), EstimateError> {
        if self.leaves.get(made.leaf).is_none() {
            return Err(EstimateError::NoSuchLeaf { leaf: made.leaf });
        }
        let first = spreads::join_cut(&mut self.belief, made, &self.spreads, self.tape, self.plane);
        let round = self.round();
        self.cuts.push(KeptCut { made: *made, round, first, lost: false });
        Ok(())
    }

    /// The gap at a station as the leaves sit in the present round, cuts made since included.
    pub fn gap_at(&self, gap: usize, at: Length) -> Result<Belief, EstimateError> {
        let (mean, variance) = self.belief.project(&self.row(gap, at.inches())?);
        Ok(Belief { mean: Inches(mean), sd: Inches(variance.max(0.0).sqrt()) })
    }

    /// Tape factor: real thickness under pressure over what the shop measured.
    pub fn tape(&self) -> (f64, f64) {
        self.number(self.tape)
    }

    /// Plane factor: what a stroke takes over what the shop believes it takes.
    pub fn plane(&self) -> (f64, f64) {
        self.number(self.plane)
    }

    /// What each cut so far is thought to have taken, in order.
    pub fn taken(&self) -> Vec<CutTaken> {
        let one = |cut: &KeptCut| CutTaken {
            made: cut.made,
            round: cut.round,
            start: self.believed(cut.first),
            end: self.believed(cut.first + 1),
            lost: cut.lost,
        };
        self.cuts.iter().map(one).collect()
    }

    /// The error of each saw cut so far: what it took beyond what was meant (tape allowed for), mean of
    /// both ends. Cuts of which nobody will know what they took are left out.
    pub fn saw_errors(&self) -> Vec<Belief> {
        let saws = self.cuts.iter().filter(|cut| cut.made.method == Method::Saw && !cut.lost);
        saws.map(|cut| {
            let row = spreads::saw_error(&cut.made, cut.first, self.tape);
            let (mean, variance) = self.belief.project(&row);
            Belief { mean: Inches(mean), sd: Inches(variance.max(0.0).sqrt()) }
        })
        .collect()
    }

    /// The leaves.
    pub fn leaves(&self) -> &[Leaf] {
        &self.leaves
    }

    /// The gap lines, without readings.
    pub fn gap_lines(&self) -> &[GapLine] {
        &self.gaps
    }

    /// What is assumed of reading and cutting.
    pub fn spreads(&self) -> &Spreads {
        &self.spreads
    }

    /// The stations that a line is planned at: those read in any round (struck ones too, since the
    /// place is still there) since it began, in order along the edge.
    pub fn stations(&self, gap: usize) -> Vec<Length> {
        let from = self.lines.get(gap).map_or(0, |line| line.read_from);
        let read = self.kept.iter().skip(from).filter(|kept| kept.gap == gap);
        let mut stations: Vec<Length> = read.map(|kept| kept.at).collect();
        stations.sort_unstable();
        stations.dedup();
        stations
    }

    /// The problem to plan from: the estimated gaps at every station, as exact readings.
    pub fn problem(&self, tolerance: Length, prefer: super::opening::Prefer) -> FitProblem {
        let mut gaps = self.gaps.clone();
        for (gap, line) in gaps.iter_mut().enumerate() {
            for at in self.stations(gap) {
                let mean = self.gap_at(gap, at).map_or(f64::NAN, |belief| belief.mean.0);
                if let Some(value) = Length::from_inches_near(mean) {
                    line.readings.push(Reading { at, value: Value::Gap(value) });
                }
            }
        }
        FitProblem { leaves: self.leaves.clone(), gaps, tolerance, prefer }
    }

    /// Every gap as an affine function of the numbers, leaves as they sit in the present round.
    fn row(&self, gap: usize, s: f64) -> Result<Affine, EstimateError> {
        let line = self.lines.get(gap).ok_or(EstimateError::NoSuchGap { gap })?;
        let mut row = Affine::default();
        for (place, weight) in layout::shape(line, s).into_iter().enumerate() {
            row.add(line.first + place, weight);
        }
        for (leaf, edge, along) in layout::sides(line, s) {
            let (Some(body), Some(pose)) = (self.bodies.get(leaf), self.poses.last()) else { continue };
            for (place, weight) in body.answer(edge, along).into_iter().enumerate() {
                row.add(pose + 3 * leaf + place, weight);
            }
            let share = along / if edge.is_upright() { body.height } else { body.width };
            let cuts = self.cuts.iter().skip(line.cut_from);
            for cut in cuts.filter(|cut| cut.made.leaf == leaf && cut.made.edge == edge) {
                row.add(cut.first, 1.0 - share);
                row.add(cut.first + 1, share);
            }
        }
        Ok(row)
    }

    fn reading_variance(&self, reading: &Reading) -> f64 {
        let hand = match reading.value {
            Value::Lap(_) => self.spreads.lap.0,
            Value::Gap(_) | Value::GoNoGo { .. } => self.spreads.hand.0,
        };
        hand.powi(2) + reading.interval_sd_inches().powi(2)
    }

    fn believed(&self, index: usize) -> Belief {
        let (mean, sd) = self.number(index);
        Belief { mean: Inches(mean), sd: Inches(sd) }
    }

    fn number(&self, index: usize) -> (f64, f64) {
        let (mean, variance) = self.belief.project(&Affine::of(index));
        (mean, variance.max(0.0).sqrt())
    }

    /// Gap lines that touch an edge of a leaf.
    pub fn lines_of(&self, leaf: usize, edge: Edge) -> Vec<usize> {
        let touches = |line: &Line| line.between.contains(&Facing::Leaf { leaf, edge });
        self.lines.iter().enumerate().filter(|(_, line)| touches(line)).map(|(gap, _)| gap).collect()
    }
}

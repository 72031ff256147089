//! Have the blanks of an opening wood enough for what its survey found?

use super::Missing;
use super::sizes;
use super::told::{Told, Weight};
use crate::before::spare::{Asked, OversizeLeaf, Short};
use crate::before::words::Finding;
use crate::fit::estimate::Spreads;
use crate::fit::length::{Inches, Length, Show, Unit};
use crate::fit::opening::{Edge, EdgeSet, Facing, GapLine};
use crate::shop::OpeningState;
use crate::shop::facing::{Named, pair};
use crate::shop::settings::Settings;

/// What lacks in the blanks of an opening.
#[derive(Clone, Debug, PartialEq)]
pub struct OpeningShort {
    /// Short names of its leaves, in the order of the places in `short`.
    pub leaves: Vec<String>,
    /// What lacks.
    pub short: Short,
    /// Sides of the opening too hollow (above zero) or too round for a straight edge, with by how much at mid.
    pub bowed: Vec<(Edge, Inches)>,
}

/// Allowance of a leaf of which nobody said yet how it is made: common practice, no published source.
const USUAL: (i64, i64) = (1, 16);

/// What lacks; `None` where the blanks are enough or nothing can be told. The sizes are reckoned from the reveals
/// wanted when all is done, and so is what they must fit.
pub fn short(state: &OpeningState, settings: &Settings) -> Result<Option<OpeningShort>, Missing> {
    let survey = sizes::sound(state)?;
    let ids = state.leaf_ids();
    let leaf = |id: &&str| {
        let build = state.making.build(id);
        Ok(OversizeLeaf {
            id: (*id).to_owned(),
            finished: sizes::finished_size(state, &survey, id)?,
            allowance: build.map_or(Length::ratio(USUAL.0, USUAL.1), |build| build.allowance),
            trimmed: build.map_or(EdgeSet::ALL, |build| build.trimmed),
        })
    };
    let leaves: Vec<OversizeLeaf> = ids.iter().map(leaf).collect::<Result<_, Missing>>()?;
    let side = |side: Named<'_>| match side {
        Named::Frame => Some(Facing::Frame),
        Named::Leaf { id, edge } => ids.iter().position(|other| *other == id).map(|leaf| Facing::Leaf { leaf, edge }),
    };
    let line = |gap: &crate::shop::event::GapWanted| {
        let [one, other] = pair(&gap.between).ok()?;
        let target = state.making.finished(&gap.between).unwrap_or(gap.target);
        let between = [side(one)?, side(other)?];
        Some(GapLine { between, target, offset: gap.offset, readings: Vec::new() })
    };
    let Some(gaps) = state.gaps.iter().map(line).collect::<Option<Vec<_>>>() else { return Ok(None) };
    let asked = Asked {
        shape: &survey.shape,
        leaves: &leaves,
        gaps: &gaps,
        spread: Inches(settings.risk_k * Spreads::default().saw_common.get()),
        tolerance: state.tolerance.unwrap_or(settings.tolerance),
        step: step(settings.show),
    };
    // Gap lines that make no problem, or a solver that failed its own check, tell nothing of the wood.
    let short = asked.short().unwrap_or_default();
    // The best straight edge leaves half of a bow each way.
    let most = 2.0 * asked.tolerance.inches();
    let bowed = Edge::ALL.into_iter().zip(survey.shape.bows);
    let bowed = bowed.filter(|(_, bow)| bow.get().abs() > most + 1e-6).collect();
    Ok(short.map(|short| OpeningShort { leaves: leaves.into_iter().map(|leaf| leaf.id).collect(), short, bowed }))
}

/// Allowances are proposed in steps of this.
fn step(show: Show) -> Length {
    match show.unit() {
        Unit::Inch => Length::ratio(1, 64),
        Unit::Millimetre => Length::ratio(5, 254),
    }
}

/// The same in lines.
pub fn told(lacking: &OpeningShort, show: Show) -> Vec<Told> {
    let say = |text: String| Told { weight: Weight::Caution, text };
    let several = lacking.leaves.len() > 1;
    let name = |leaf: usize, edge: Edge| {
        let id = lacking.leaves.get(leaf).filter(|_| several);
        id.map_or_else(|| format!("{edge} edge"), |id| format!("{edge} edge of {id}"))
    };
    let short = &lacking.short;
    let mut lines = Vec::new();
    for (place, lack) in short.lacks.iter().enumerate() {
        let needs = Inches(lack.has.inches() + lack.by.get());
        let needs = up(needs, show);
        let or = if place == 0 { "!" } else { "! or" };
        lines.push(say(format!(
            "{or} {}: {} to spare, the opening needs {} there",
            name(lack.leaf, lack.edge),
            lack.has.sized(show),
            needs.sized(show)
        )));
    }
    match (short.allowance, short.unlock.as_slice()) {
        (Some(allowance), _) if short.lacks.is_empty() => lines.push(say(format!(
            "! too little to spare for this opening: {} on each trimmed edge would do",
            allowance.sized(show)
        ))),
        (Some(allowance), _) => {
            lines.push(say(format!("! {} on each trimmed edge would do", allowance.sized(show))));
        }
        (None, []) => {
            let sides: Vec<_> = lacking.bowed.iter().map(|&(edge, bow)| Finding::Bow(edge, bow).says(show)).collect();
            let why = if sides.is_empty() {
                "edges that are not trimmed must be".to_owned()
            } else {
                format!("{}, too much for a straight edge", sides.join(", "))
            };
            lines.push(say(format!(
                "! trimming alone cannot make it fit this opening, whatever it has to spare: {why}"
            )));
        }
        (None, unlock) => {
            let edges: Vec<String> = unlock.iter().map(|&(leaf, edge)| name(leaf, edge)).collect();
            lines.push(say(format!(
                "! the edges trimmed cannot make it fit this opening, whatever they have to spare; trim also the {}",
                edges.join(" or the ")
            )));
        }
    }
    lines
}

/// Up to the next step: less would not do.
fn up(length: Inches, show: Show) -> Length {
    let step = step(show);
    let steps = (length.get() / step.inches() - 1e-6).ceil().max(0.0);
    step.checked_scale(steps as i64, 1).unwrap_or_else(|| length.length())
}

//! The plan that was accepted. It stands until its round is over or another one is accepted: every screen, page and
//! command shows its cuts and no others, and says where the advice would differ now.

use super::rounds::{Choice, Look};
use super::words;
use crate::fit::estimate::{Estimate, Method};
use crate::fit::hung::MOST_STOCK;
use crate::fit::length::{Inches, Length, Show};
use crate::fit::opening::Edge;
use crate::fit::plan::HingePack;
use crate::fit::policy::accepted::{CutGiven, PlanGiven, advise_given};
use crate::fit::policy::{Advice, AdviceError, CutAdvice, Next, Policy};
use crate::shop::OpeningState;
use crate::shop::event::{PlanAccepted, TrimMeant};
use crate::shop::reckoned::{By, WHOLE};
use crate::shop::replay::{Round, Said};

/// Packs within this of each other are one.
const SAME_PACK: f64 = 1e-4;

/// What is known of the plan that stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Accepted {
    /// Number of its event.
    pub n: u64,
    /// The choice it was made with.
    pub choice: Choice,
    /// What the same choice would advise now.
    pub now: Box<Advice>,
    /// Its cuts, less what was taken in this round: without the edges that are finished.
    pub now_left: Vec<TrimMeant>,
    /// Does that differ, where anything is still to be done, by more than the plane may go past a line?
    pub differs: bool,
    /// Were gaps read after it was accepted?
    pub read_since: bool,
    /// Did any wood come off in its round? Then another plan waits for new readings.
    pub is_cut: bool,
    /// Its cuts that are done: leaf (place in the list) and edge.
    pub done: Vec<(usize, Edge)>,
}

impl Accepted {
    /// Is this cut of it done?
    pub fn is_done(&self, cut: &CutAdvice) -> bool {
        self.done.contains(&(cut.leaf, cut.edge))
    }
}

/// The plan accepted last in round `round`.
pub(super) fn of_round(state: &OpeningState, round: u32) -> Option<&Said<PlanAccepted>> {
    state.round(round)?.plan.as_ref()
}

/// Number of the event of the plan that stands in round `round`: one that has anything to cut or to pack.
pub fn standing(state: &OpeningState, round: u32) -> Option<u64> {
    of_round(state, round).filter(|plan| !plan.what.trims.is_empty() || !plan.what.packs.is_empty()).map(|plan| plan.n)
}

/// The choice that `plan` was made with, and that asks for it again.
pub(super) fn choice(plan: &PlanAccepted) -> Choice {
    Choice { prefer: Some(plan.prefer), every_edge: plan.every_edge, anew: false }
}

/// `fresh` as the accepted plan has it, where that has anything to cut or to pack.
pub(super) fn stands(
    state: &OpeningState,
    round: u32,
    fresh: &Advice,
    estimate: &Estimate,
    policy: &Policy,
) -> Result<Option<(Advice, Accepted)>, AdviceError> {
    let Some((round, plan)) = state.round(round).and_then(|round| Some((round, round.plan.as_ref()?))) else {
        return Ok(None);
    };
    let given = given(state, &plan.what);
    if given.cuts.is_empty() && given.packs.is_empty() && given.raised.is_empty() {
        return Ok(None);
    }
    let advice = advise_given(&given, fresh, estimate, policy)?;
    let done = done(state, round);
    let accepted = Accepted {
        n: plan.n,
        choice: choice(&plan.what),
        now_left: round.rest_of(&trims(state, cuts_of(fresh))),
        differs: differs(&given, fresh, &done, policy),
        now: Box::new(fresh.clone()),
        read_since: round.taken.iter().any(|taken| taken.n > plan.n),
        is_cut: !round.cuts.is_empty(),
        done,
    };
    Ok(Some((advice, accepted)))
}

fn place(state: &OpeningState, id: &str) -> Option<usize> {
    state.leaves.iter().position(|leaf| leaf.what.leaf == id)
}

fn done(state: &OpeningState, round: &Round) -> Vec<(usize, Edge)> {
    let over = round.cuts.iter().filter(|cut| !cut.what.more).map(|cut| &cut.what.intended);
    over.filter_map(|cut| Some((place(state, &cut.leaf)?, cut.edge))).collect()
}

/// What the event says, as the model takes it; a leaf that is not described is left out.
fn given(state: &OpeningState, plan: &PlanAccepted) -> PlanGiven {
    let mut given = PlanGiven::default();
    for (number, trim) in plan.trims.iter().enumerate() {
        let Some(leaf) = place(state, &trim.leaf) else { continue };
        let same = |line: &&TrimMeant| line.leaf == trim.leaf && line.edge == trim.edge;
        let line = plan.lines.iter().find(same).unwrap_or(trim);
        let means = plan.means.get(number).map(|word| if word == "saw" { Method::Saw } else { Method::Plane });
        let reckoned = trim.reckoned.as_ref();
        let otherwise = reckoned.map_or([trim.start, trim.end], |reckoned| reckoned.otherwise);
        let share = |thousandths: u32| f64::from(thousandths) / f64::from(WHOLE);
        given.cuts.push(CutGiven {
            leaf,
            edge: trim.edge,
            method: reckoned.map(|reckoned| method_of(reckoned.by)).or(means),
            line: inches([line.start, line.end]),
            aim: inches([trim.start, trim.end]),
            aim_otherwise: inches(otherwise),
            factors: reckoned.map(|reckoned| [share(reckoned.plane), share(reckoned.tape)]),
        });
    }
    for pack in &plan.packs {
        let Some(leaf) = place(state, &pack.leaf) else { continue };
        if !pack.up.is_zero() {
            given.raised.push((leaf, Inches(pack.up.inches())));
        }
        if !pack.out.is_zero() {
            let out = Inches(pack.out.inches());
            given.packs.push((leaf, HingePack { hinge: pack.hinge, out, counts: [0; MOST_STOCK] }));
        }
    }
    given
}

fn method_of(by: By) -> Method {
    match by {
        By::Saw => Method::Saw,
        By::Plane => Method::Plane,
    }
}

fn inches(ends: [Length; 2]) -> [Inches; 2] {
    ends.map(|end| Inches(end.inches()))
}

fn cuts_of(fresh: &Advice) -> &[CutAdvice] {
    match fresh.next {
        Next::Cut(_) | Next::Read(_) | Next::Pack(_) => &fresh.cuts,
        Next::Fitted | Next::Short | Next::AsGoodAsItGets => &[],
    }
}

fn trims(state: &OpeningState, cuts: &[CutAdvice]) -> Vec<TrimMeant> {
    let trim = |cut: &CutAdvice| {
        let leaf = state.leaves.get(cut.leaf)?.what.leaf.clone();
        let [start, end] = cut.aim.map(Inches::length);
        Some(TrimMeant { leaf, edge: cut.edge, start, end, reckoned: None })
    };
    cuts.iter().filter_map(trim).collect()
}

/// Would other edges be cut now, or other hinges packed, or one of them by an amount that tells? What is off is off:
/// edges that are finished are not compared; what is wrong with them the next readings tell.
fn differs(given: &PlanGiven, fresh: &Advice, done: &[(usize, Edge)], policy: &Policy) -> bool {
    let cuts: Vec<&CutAdvice> = cuts_of(fresh).iter().filter(|cut| !done.contains(&(cut.leaf, cut.edge))).collect();
    let wanted: Vec<&CutGiven> = given.cuts.iter().filter(|cut| !done.contains(&(cut.leaf, cut.edge))).collect();
    // By the means of the accepted cut: the other one only goes less deep or deeper.
    let alike = |cut: &&CutGiven| {
        let same = cuts.iter().find(|now| now.leaf == cut.leaf && now.edge == cut.edge);
        same.is_some_and(|now| {
            let aim = if cut.method.is_some_and(|method| method != now.method) { now.aim_otherwise } else { now.aim };
            aim.iter().zip(&cut.aim).all(|(now, then)| (now.0 - then.0).abs() <= policy.spare().0)
        })
    };
    let waits = matches!(fresh.next, Next::Pack(_)) && wanted.is_empty();
    let cut_alike = waits || wanted.len() == cuts.len() && wanted.iter().all(alike);
    let plan = fresh.shown();
    let packs = plan.leaves.iter().enumerate().flat_map(|(leaf, part)| part.packs.iter().map(move |pack| (leaf, pack)));
    let packs: Vec<_> = packs.collect();
    let packed = |(leaf, pack): &(usize, HingePack)| {
        packs
            .iter()
            .any(|(place, now)| place == leaf && now.hinge == pack.hinge && (now.out.0 - pack.out.0).abs() <= SAME_PACK)
    };
    let raised = |leaf: usize| given.raised.iter().find(|(place, _)| *place == leaf).map_or(0.0, |(_, by)| by.0);
    let raised_alike =
        plan.leaves.iter().enumerate().all(|(leaf, part)| (part.raise.0 - raised(leaf)).abs() <= SAME_PACK);
    !(cut_alike && packs.len() == given.packs.len() && given.packs.iter().all(packed) && raised_alike)
}

/// Edges that are named one by one; more are counted.
const MOST_NAMED: usize = 3;

/// That a plan stands, how much of it is done, and what would be advised now instead, with what to do about it.
/// Nothing where no plan stands.
pub fn line(look: &Look, show: Show) -> Option<String> {
    let accepted = look.accepted.as_ref()?;
    let all = look.cuts();
    let done = all.iter().filter(|cut| accepted.is_done(cut)).count();
    let part = if done > 0 { format!(", {done} of {} done", words::counted(all.len(), "cut")) } else { String::new() };
    let stands = format!("ACCEPTED (event {}): this plan stands{part}.", accepted.n);
    let asks = if let Next::Read(asks) = &accepted.now.next { asks.len() } else { 0 };
    Some(if accepted.differs {
        let since = if accepted.read_since { "with the gaps read since" } else { "worked out anew" };
        // Once wood is off, no other plan of these readings is accepted.
        let what = if accepted.is_cut { "read the gaps again (r) for a new plan" } else { "accept it there (a)" };
        format!(
            "{stands} DIFFERS NOW: {since}, it would be {}. Look at that (n) before the next cut; {what}, or keep to \
             this one.",
            instead(accepted, show)
        )
    } else if asks > 0 {
        format!("{stands} {} to be read again before it (r).", were(asks))
    } else {
        stands
    })
}

fn were(stations: usize) -> String {
    if stations == 1 { "1 station was".to_owned() } else { format!("{stations} stations were") }
}

/// What would be done instead: `cut A left (bottom 0.026, top 0.017)`, with what is left to take.
fn instead(accepted: &Accepted, show: Show) -> String {
    match accepted.now.next {
        Next::Fitted => return "no cut: it fits".to_owned(),
        Next::AsGoodAsItGets => return "no cut: it is as good as it gets".to_owned(),
        Next::Short => return "no cut: wood is missing".to_owned(),
        Next::Pack(_) => return "a hinge packed first".to_owned(),
        Next::Cut(_) | Next::Read(_) => {}
    }
    let cuts = &accepted.now_left;
    if cuts.is_empty() && accepted.now.cuts.is_empty() {
        return "no cut before some stations are read again".to_owned();
    }
    if cuts.is_empty() {
        return "no further cut in this round".to_owned();
    }
    let mut named: Vec<String> = cuts.iter().take(MOST_NAMED).map(|trim| words::trim(trim, show)).collect();
    if cuts.len() > MOST_NAMED {
        named.push(format!("{} more", cuts.len() - MOST_NAMED));
    }
    format!("cut {}", named.join(", "))
}

//! A plan whose cuts and packs are given: with those that the planner chose itself, it leaves what the planner's own
//! plan leaves, on the openings of `tests/data/plans` (every fifth of the loose ones, every one of the hung ones).

#[path = "common/outside.rs"]
#[allow(dead_code)]
mod outside;

use evenreveal::contract::to_problem;
use evenreveal::fit::given::{GivenLeaf, plan_given};
use evenreveal::fit::plan::{Options, Plan, Verdict, plan};

/// An inch that no feeler tells from another.
const SAME: f64 = 1e-6;

fn given(plan: &Plan) -> Vec<GivenLeaf> {
    let leaf = |leaf: &evenreveal::fit::plan::LeafPlan| GivenLeaf {
        trims: leaf.trims.clone(),
        // Of which pieces they are made is found again.
        packs: leaf.packs.iter().map(|pack| evenreveal::fit::plan::HingePack { counts: [0; 8], ..*pack }).collect(),
        raise: leaf.raise,
    };
    plan.leaves.iter().map(leaf).collect()
}

fn agree(file: &str, every: usize) -> (usize, usize) {
    let (mut cut, mut packed) = (0, 0);
    for case in outside::file(file)["cases"].as_array().unwrap().iter().step_by(every) {
        let problem = to_problem(&case["problem"]).unwrap().problem;
        let own = plan(&problem, Options::default()).unwrap();
        // What fits as it sits is not moved by the planner.
        if own.verdict == Verdict::Fitted {
            continue;
        }
        let again = plan_given(&problem, &given(&own)).unwrap();
        assert!((own.now.0 - again.now.0).abs() < SAME, "now: {}", case["problem"]);
        assert!((own.worst_after.0 - again.worst_after.0).abs() < SAME, "worst: {}", case["problem"]);
        assert!((own.wood.0 - again.wood.0).abs() < SAME, "wood: {}", case["problem"]);
        for (own, again) in own.leaves.iter().zip(&again.leaves) {
            assert_eq!(own.packs, again.packs, "{}", case["problem"]);
            assert_eq!(own.raise, again.raise);
            assert_eq!(own.trims, again.trims);
            cut += usize::from(!own.trims.is_empty());
            packed += usize::from(!own.packs.is_empty());
        }
    }
    (cut, packed)
}

#[test]
fn the_planners_own_cuts_leave_what_its_plan_leaves() {
    assert!(agree("plans.json", 5).0 >= 30);
}

#[test]
fn the_planners_own_packs_do_what_its_plan_says() {
    assert!(agree("hung.json", 1).1 >= 10);
}

#[test]
fn a_cut_that_is_left_out_leaves_more() {
    let mut worse = 0;
    for case in outside::file("plans.json")["cases"].as_array().unwrap().iter().step_by(5) {
        let problem = to_problem(&case["problem"]).unwrap().problem;
        let own = plan(&problem, Options::default()).unwrap();
        let none = plan_given(&problem, &[]).unwrap();
        assert!(none.leaves.iter().all(|leaf| leaf.trims.is_empty()));
        assert!(none.worst_after.0 >= own.worst_after.0 - SAME || own.verdict.word() == "fitted");
        worse += usize::from(none.worst_after.0 > own.worst_after.0 + SAME);
    }
    assert!(worse >= 30);
}

//! The filter against published figures, against least squares over all rounds at once, and against
//! simulated truth.

use evenreveal::fit::estimate::spreads::Factor;
use evenreveal::fit::estimate::{
    Affine, Belief, CutMade, Estimate, EstimateError, Gaussian, Method, Round, Spreads, Standing, TakenReading,
    history, replay,
};
use evenreveal::fit::learn::{Trend, learn};
use evenreveal::fit::length::{Inches, Length};
use evenreveal::fit::opening::{Edge, EdgeSet, Facing, GapLine, Leaf, Motion};
use evenreveal::fit::reading::{Reading, Value};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, StandardNormal};

/// kalmanfilter.net, example 5 (height of a building): published inputs and estimates.
#[test]
fn scalar_case_of_the_filter() {
    let inputs = [48.54, 47.11, 55.01, 55.15, 49.89, 40.85, 46.72, 50.05, 51.27, 49.95];
    let published = [49.69, 48.47, 50.57, 51.68, 51.33, 49.62, 49.21, 49.31, 49.53, 49.57];
    let mut belief = Gaussian::new();
    let height = belief.join(60.0, 225.0);
    for (input, estimate) in inputs.into_iter().zip(published) {
        belief.update(&Affine::of(height), input, 25.0);
        let (mean, _) = belief.project(&Affine::of(height));
        assert!((mean - estimate).abs() < 0.0051, "{mean} against {estimate}");
    }
}

/// NIST StRD, Norris: certified intercept, slope and residual standard deviation (published).
#[test]
fn norris_regression() {
    let text = include_str!("data/nist_norris.csv");
    let mut trend = Trend::begin((0.0, 1e8), (1.0, 1e4));
    let mut points = 0;
    for line in text.lines().filter(|line| !line.starts_with('#')) {
        let cells: Vec<f64> = line.split(',').filter_map(|cell| cell.trim().parse().ok()).collect();
        if let [y, x] = cells[..] {
            trend.observe(x, y, 1.0);
            points += 1;
        }
    }
    assert_eq!(points, 36);
    let (intercept, slope) = trend.line();
    assert!((intercept + 0.262_323_073_774_029).abs() < 1e-7, "{intercept}");
    assert!((slope - 1.002_116_818_020_45).abs() < 1e-9, "{slope}");
    let sd = trend.residual_sd().unwrap();
    assert!((sd - 0.884_796_396_144_373).abs() < 1e-9, "{sd}");
}

fn leaf(id: &str, width: i64, height: i64) -> Leaf {
    Leaf {
        id: id.into(),
        width: Length::ratio(width, 1),
        height: Length::ratio(height, 1),
        hinge: None,
        may_cut: EdgeSet::ALL,
        motion: Motion::Free,
    }
}

fn line(between: [Facing; 2], offset: Length) -> GapLine {
    GapLine { between, target: Length::ratio(3, 32), offset, readings: vec![] }
}

fn edge(leaf: usize, edge: Edge) -> Facing {
    Facing::Leaf { leaf, edge }
}

/// A pair of doors: seven gap lines, the meeting stiles facing each other, the right one set 1/4 up.
fn pair() -> (Vec<Leaf>, Vec<GapLine>) {
    let up = Length::ratio(1, 4);
    let gaps = vec![
        line([Facing::Frame, edge(0, Edge::Left)], Length::ZERO),
        line([edge(0, Edge::Right), edge(1, Edge::Left)], up),
        line([edge(1, Edge::Right), Facing::Frame], Length::ZERO),
        line([Facing::Frame, edge(0, Edge::Bottom)], Length::ZERO),
        line([Facing::Frame, edge(1, Edge::Bottom)], Length::ZERO),
        line([edge(0, Edge::Top), Facing::Frame], Length::ZERO),
        line([edge(1, Edge::Top), Facing::Frame], Length::ZERO),
    ];
    (vec![leaf("A", 11, 26), leaf("B", 12, 25)], gaps)
}

fn single() -> (Vec<Leaf>, Vec<GapLine>) {
    let gaps = vec![
        line([Facing::Frame, edge(0, Edge::Left)], Length::ZERO),
        line([edge(0, Edge::Right), Facing::Frame], Length::ZERO),
        line([Facing::Frame, edge(0, Edge::Bottom)], Length::ZERO),
        line([edge(0, Edge::Top), Facing::Frame], Length::ZERO),
    ];
    (vec![leaf("A", 11, 26)], gaps)
}

fn normal(rng: &mut ChaCha8Rng) -> f64 {
    StandardNormal.sample(rng)
}

/// Truth drawn from the estimate's own assumptions, and its rounds: a Gaussian world.
struct World {
    shape: Vec<f64>,
    poses: Vec<Vec<f64>>,
    cuts: Vec<Vec<[f64; 2]>>,
    rounds: Vec<Round>,
    /// What a stroke takes over what the shop believes.
    plane: f64,
}

fn side_answer(leaf: &Leaf, edge: Edge, s: f64) -> [f64; 3] {
    // Written out from the design notes, apart from the crate's own: right, up, turn (in inches at
    // the longer half).
    let (w, h) = (leaf.width.inches(), leaf.height.inches());
    let lever = w.max(h) / 2.0;
    match edge {
        Edge::Left => [1.0, 0.0, -(s - h / 2.0) / lever],
        Edge::Right => [-1.0, 0.0, (s - h / 2.0) / lever],
        Edge::Bottom => [0.0, 1.0, (s - w / 2.0) / lever],
        Edge::Top => [0.0, -1.0, -(s - w / 2.0) / lever],
    }
}

fn on_line(leaves: &[Leaf], gap: &GapLine) -> f64 {
    gap.between
        .iter()
        .find_map(|facing| match *facing {
            Facing::Leaf { leaf, edge } => Some(leaves[leaf].edge_length(edge).inches()),
            Facing::Frame => None,
        })
        .unwrap()
}

/// (leaf, edge, distance along it) for the leaf edges at station `s` of a line.
fn at_station(gap: &GapLine, s: f64) -> Vec<(usize, Edge, f64)> {
    let mut list = vec![];
    for facing in gap.between {
        if let Facing::Leaf { leaf, edge } = facing {
            list.push((leaf, edge, if list.is_empty() { s } else { s - gap.offset.inches() }));
        }
    }
    list
}

impl World {
    fn gap(&self, leaves: &[Leaf], gaps: &[GapLine], gap: usize, s: f64, round: usize, cuts_until: usize) -> f64 {
        let t = s / on_line(leaves, &gaps[gap]);
        let shape = &self.shape[3 * gap..3 * gap + 3];
        let mut value = shape[0] * (1.0 - t) + shape[1] * t + shape[2] * 4.0 * t * (1.0 - t);
        for (leaf, edge, along) in at_station(&gaps[gap], s) {
            let answer = side_answer(&leaves[leaf], edge, along);
            value += (0..3).map(|k| answer[k] * self.poses[round][3 * leaf + k]).sum::<f64>();
            let share = along / leaves[leaf].edge_length(edge).inches();
            for r in 0..cuts_until {
                for (cut, took) in self.rounds[r].cuts.iter().zip(&self.cuts[r]) {
                    if cut.leaf == leaf && cut.edge == edge {
                        value += took[0] * (1.0 - share) + took[1] * share;
                    }
                }
            }
        }
        value
    }
}

/// Stations a quarter inch grid can hold, so that lengths are exact.
fn stations(length: f64) -> [Length; 3] {
    [Length::ratio(1, 1), Length::ratio((length * 2.0) as i64, 4), Length::ratio(length as i64 - 1, 1)]
}

fn world(leaves: &[Leaf], gaps: &[GapLine], spreads: &Spreads, rng: &mut ChaCha8Rng) -> World {
    let mut shape = vec![];
    for gap in gaps {
        shape.push(gap.target.inches() + spreads.gap.0 * normal(rng));
        shape.push(gap.target.inches() + spreads.gap.0 * normal(rng));
        shape.push(spreads.bow.0 * normal(rng));
    }
    let tape = spreads.tape.mean + spreads.tape.sd * normal(rng);
    let plane = spreads.plane.mean + spreads.plane.sd * normal(rng);
    let mut world = World { shape, poses: vec![], cuts: vec![], rounds: vec![], plane };
    for round in 0..3 {
        world.poses.push((0..3 * leaves.len()).map(|_| spreads.pose.0 * normal(rng)).collect());
        let mut readings = vec![];
        for gap in 0..gaps.len() {
            for at in stations(on_line(leaves, &gaps[gap])) {
                let sd = spreads.hand.0;
                let felt = world.gap(leaves, gaps, gap, at.inches(), round, round) + sd * normal(rng);
                let value = Value::Gap(Length::from_inches_near(felt).unwrap());
                readings.push(TakenReading { gap, reading: Reading { at, value }, standing: Standing::Plain });
            }
        }
        let mut cuts = vec![];
        let mut took = vec![];
        for (number, edge) in [Edge::Left, Edge::Top].into_iter().enumerate() {
            let method = if (round + number) % 2 == 0 { Method::Saw } else { Method::Plane };
            let meant: [f64; 2] = [rng.random_range(0.02..0.08), rng.random_range(0.02..0.08)];
            let leaf = (round + number) % leaves.len();
            cuts.push(CutMade { leaf, edge, start: Inches(meant[0]), end: Inches(meant[1]), method, allowed: 1.0 });
            let common = spreads.saw_common.0 * normal(rng);
            let low = meant[0].min(meant[1]);
            took.push(meant.map(|m| match method {
                Method::Saw => low + tape * (m - low) + common + spreads.saw_end.0 * normal(rng),
                Method::Plane => plane * m + spreads.plane_end.0 * normal(rng),
            }));
        }
        world.rounds.push(Round { readings, cuts, ..Round::default() });
        world.cuts.push(took);
    }
    world
}

/// Least squares by Householder reflections over dense rows `[coefficients | right side]`.
// Rows and columns are walked together, as the method is written.
#[allow(clippy::needless_range_loop)]
fn least_squares(mut rows: Vec<Vec<f64>>, n: usize) -> Vec<f64> {
    let m = rows.len();
    for k in 0..n {
        let norm = (k..m).map(|i| rows[i][k] * rows[i][k]).sum::<f64>().sqrt();
        let alpha = if rows[k][k] > 0.0 { -norm } else { norm };
        let mut v: Vec<f64> = (k..m).map(|i| rows[i][k]).collect();
        v[0] -= alpha;
        let size: f64 = v.iter().map(|x| x * x).sum();
        if size == 0.0 {
            continue;
        }
        for j in k..=n {
            let along: f64 = (k..m).map(|i| v[i - k] * rows[i][j]).sum::<f64>() * 2.0 / size;
            for i in k..m {
                rows[i][j] -= along * v[i - k];
            }
        }
    }
    let mut x = vec![0.0; n];
    for k in (0..n).rev() {
        let rest: f64 = (k + 1..n).map(|j| rows[k][j] * x[j]).sum();
        x[k] = (rows[k][n] - rest) / rows[k][k];
    }
    x
}

/// All rounds at once: shape, tape, plane, poses, cuts as one dense problem. Returns the unknowns in
/// that order.
fn batch(leaves: &[Leaf], gaps: &[GapLine], spreads: &Spreads, rounds: &[Round]) -> Vec<f64> {
    let shape = 3 * gaps.len();
    let (tape, plane) = (shape, shape + 1);
    let pose = |round: usize| shape + 2 + 3 * leaves.len() * round;
    let first_cut = pose(rounds.len());
    let mut count = first_cut;
    let mut cuts = vec![];
    for (r, round) in rounds.iter().enumerate() {
        for cut in &round.cuts {
            cuts.push((r, *cut, count));
            count += 2;
        }
    }
    let n = count;
    let mut rows: Vec<Vec<f64>> = vec![];
    let mut add = |terms: &[(usize, f64)], right: f64, sd: f64| {
        let mut row = vec![0.0; n + 1];
        for &(index, weight) in terms {
            row[index] += weight / sd;
        }
        row[n] = right / sd;
        rows.push(row);
    };
    for (g, gap) in gaps.iter().enumerate() {
        add(&[(3 * g, 1.0)], gap.target.inches(), spreads.gap.0);
        add(&[(3 * g + 1, 1.0)], gap.target.inches(), spreads.gap.0);
        add(&[(3 * g + 2, 1.0)], 0.0, spreads.bow.0);
    }
    add(&[(tape, 1.0)], spreads.tape.mean, spreads.tape.sd);
    add(&[(plane, 1.0)], spreads.plane.mean, spreads.plane.sd);
    for index in pose(0)..first_cut {
        add(&[(index, 1.0)], 0.0, spreads.pose.0);
    }
    for &(_, cut, at) in &cuts {
        let meant = [cut.start.0, cut.end.0];
        match cut.method {
            Method::Plane => {
                add(&[(at, 1.0), (plane, -meant[0])], 0.0, spreads.plane_end.0);
                add(&[(at + 1, 1.0), (plane, -meant[1])], 0.0, spreads.plane_end.0);
            }
            Method::Saw => {
                // Errors e0, e1 with common part: their sum and difference are independent.
                let low = meant[0].min(meant[1]);
                let (a, b) = (meant[0] - low, meant[1] - low);
                let both = (2.0 * (2.0 * spreads.saw_common.0.powi(2) + spreads.saw_end.0.powi(2))).sqrt();
                let apart = 2.0_f64.sqrt() * spreads.saw_end.0;
                add(&[(at, 1.0), (at + 1, 1.0), (tape, -a - b)], 2.0 * low, both);
                add(&[(at, 1.0), (at + 1, -1.0), (tape, -a + b)], 0.0, apart);
            }
        }
    }
    for (r, round) in rounds.iter().enumerate() {
        for taken in round.readings.iter().filter(|taken| taken.standing != Standing::Struck) {
            let (gap, s) = (&gaps[taken.gap], taken.reading.at.inches());
            let t = s / on_line(leaves, gap);
            let g = 3 * taken.gap;
            let mut terms = vec![(g, 1.0 - t), (g + 1, t), (g + 2, 4.0 * t * (1.0 - t))];
            for (leaf, edge, along) in at_station(gap, s) {
                for (k, weight) in side_answer(&leaves[leaf], edge, along).into_iter().enumerate() {
                    terms.push((pose(r) + 3 * leaf + k, weight));
                }
                let share = along / leaves[leaf].edge_length(edge).inches();
                for &(when, cut, at) in cuts.iter().filter(|(_, cut, _)| cut.leaf == leaf && cut.edge == edge) {
                    let _ = cut;
                    if when < r {
                        terms.push((at, 1.0 - share));
                        terms.push((at + 1, share));
                    }
                }
            }
            add(&terms, taken.reading.mean_inches(), spreads.hand.0.hypot(taken.reading.interval_sd_inches()));
        }
    }
    least_squares(rows, n)
}

#[test]
fn filter_equals_least_squares_over_all_rounds() {
    let mut rng = ChaCha8Rng::seed_from_u64(11);
    let spreads = Spreads::default();
    for (leaves, gaps) in [single(), pair()] {
        for _ in 0..10 {
            let mut world = world(&leaves, &gaps, &spreads, &mut rng);
            // One reading struck and one edge unread in a round: both sides must leave them out.
            world.rounds[1].readings[4].standing = Standing::Struck;
            world.rounds[2].readings.retain(|taken| taken.gap != 1);
            let estimate = replay(&leaves, &gaps, spreads, &world.rounds).unwrap();
            let all = batch(&leaves, &gaps, &spreads, &world.rounds);
            let n = all.len();
            assert!((estimate.tape().0 - all[3 * gaps.len()]).abs() < 1e-9);
            assert!((estimate.plane().0 - all[3 * gaps.len() + 1]).abs() < 1e-9);
            let taken = estimate.taken();
            for (place, cut) in taken.iter().enumerate() {
                let at = n - 2 * taken.len() + 2 * place;
                assert!((cut.start.mean.0 - all[at]).abs() < 1e-9, "cut {place}");
                assert!((cut.end.mean.0 - all[at + 1]).abs() < 1e-9, "cut {place}");
            }
            let said = World {
                shape: all[..3 * gaps.len()].to_vec(),
                poses: (0..3)
                    .map(|r| {
                        let first = 3 * gaps.len() + 2 + 3 * leaves.len() * r;
                        all[first..first + 3 * leaves.len()].to_vec()
                    })
                    .collect(),
                cuts: (0..3)
                    .map(|r| {
                        let first = n - 2 * taken.len() + 4 * r;
                        vec![[all[first], all[first + 1]], [all[first + 2], all[first + 3]]]
                    })
                    .collect(),
                rounds: world.rounds.clone(),
                plane: world.plane,
            };
            for gap in 0..gaps.len() {
                for at in stations(on_line(&leaves, &gaps[gap])) {
                    let ours = estimate.gap_at(gap, at).unwrap().mean.0;
                    let theirs = said.gap(&leaves, &gaps, gap, at.inches(), 2, 3);
                    assert!((ours - theirs).abs() < 1e-9, "gap {gap}: {ours} {theirs}");
                }
            }
        }
    }
}

#[test]
fn ninety_five_per_cent_intervals_hold_the_truth() {
    let mut rng = ChaCha8Rng::seed_from_u64(23);
    let spreads = Spreads { gap: Inches(0.1), pose: Inches(0.1), ..Spreads::default() };
    let (leaves, gaps) = single();
    let (mut gap_hits, mut cut_hits, mut plane_hits) = ((0, 0), (0, 0), (0, 0));
    let hit = |count: &mut (usize, usize), belief: (f64, f64), truth: f64| {
        count.1 += 1;
        count.0 += usize::from((belief.0 - truth).abs() <= 1.959_964 * belief.1);
    };
    for _ in 0..600 {
        let world = world(&leaves, &gaps, &spreads, &mut rng);
        let estimate = replay(&leaves, &gaps, spreads, &world.rounds).unwrap();
        // Before the last cut is seen, and with it: both are asked for.
        for gap in 0..gaps.len() {
            let at = stations(on_line(&leaves, &gaps[gap]))[rng.random_range(0..3)];
            let belief = estimate.gap_at(gap, at).unwrap();
            hit(&mut gap_hits, (belief.mean.0, belief.sd.0), world.gap(&leaves, &gaps, gap, at.inches(), 2, 3));
        }
        for (cut, took) in estimate.taken().iter().zip(world.cuts.iter().flatten()) {
            hit(&mut cut_hits, (cut.start.mean.0, cut.start.sd.0), took[0]);
            hit(&mut cut_hits, (cut.end.mean.0, cut.end.sd.0), took[1]);
        }
        hit(&mut plane_hits, estimate.plane(), world.plane);
    }
    for (name, (yes, of)) in [("gaps", gap_hits), ("cuts", cut_hits), ("plane", plane_hits)] {
        let share = yes as f64 / of as f64;
        println!("{name}: {yes} of {of} = {share:.4}");
        assert!((0.93..=0.97).contains(&share), "{name}: {share}");
    }
}

#[test]
fn a_wrong_reading_stands_out_and_striking_it_restores_the_rest() {
    let mut rng = ChaCha8Rng::seed_from_u64(5);
    let spreads = Spreads::default();
    let (leaves, gaps) = single();
    let mut caught = 0;
    for _ in 0..40 {
        let mut world = world(&leaves, &gaps, &spreads, &mut rng);
        let honest = world.rounds[2].readings[1];
        let wrong = honest.reading.mean_inches() + 1.0 / 16.0;
        world.rounds[2].readings[1].reading.value = Value::Gap(Length::from_inches_near(wrong).unwrap());
        let estimate = replay(&leaves, &gaps, spreads, &world.rounds).unwrap();
        let reviews = estimate.review();
        let worst = reviews.iter().max_by(|a, b| a.wrong.total_cmp(&b.wrong)).unwrap();
        if (worst.round, worst.gap, worst.at) == (3, honest.gap, honest.reading.at) {
            caught += 1;
            assert!(worst.ratio > 3.0);
            assert!((worst.expected.mean.0 - honest.reading.mean_inches()).abs() < 5.0 * worst.expected.sd.0 + 0.016);
        }
        world.rounds[2].readings[1].standing = Standing::Struck;
        let struck = replay(&leaves, &gaps, spreads, &world.rounds).unwrap();
        world.rounds[2].readings.remove(1);
        let without = replay(&leaves, &gaps, spreads, &world.rounds).unwrap();
        assert_eq!(struck.gap_at(0, Length::ratio(5, 1)), without.gap_at(0, Length::ratio(5, 1)));
        assert_eq!(struck.review().len(), without.review().len(), "a struck reading is not judged");
    }
    assert!(caught >= 38, "{caught} of 40");
}

#[test]
fn a_reading_against_the_tape_is_a_surprise() {
    let (leaves, gaps) = single();
    let tape = Belief { mean: Inches(0.094), sd: Inches(0.02) };
    let spreads = Spreads { pose: Inches(0.001), ..Spreads::default() };
    let mut estimate = Estimate::begin_with(&leaves, &gaps, spreads, &[Some([tape, tape])]).unwrap();
    let at = Length::ratio(1, 1);
    let fair = Reading { at, value: Value::Gap(Length::ratio(1, 8)) };
    let odd = Reading { at, value: Value::Gap(Length::ratio(1, 4)) };
    assert!(!estimate.surprise(0, &fair).unwrap().asks());
    assert!(estimate.observe(0, &odd).unwrap().asks());
}

#[test]
fn history_falls_and_tells_what_cuts_took() {
    let (leaves, gaps) = single();
    let reading = |gap: usize, at: Length, value: f64| TakenReading {
        gap,
        reading: Reading { at, value: Value::Gap(Length::from_inches_near(value).unwrap()) },
        standing: Standing::Plain,
    };
    let round = |left: f64, cuts: Vec<CutMade>| Round {
        readings: (0..4)
            .flat_map(|gap| {
                let value = if gap == 0 { left } else { 3.0 / 32.0 };
                stations(on_line(&single().0, &single().1[gap])).map(|at| reading(gap, at, value))
            })
            .collect(),
        cuts,
        ..Round::default()
    };
    let cut = CutMade {
        leaf: 0,
        edge: Edge::Left,
        start: Inches(0.05),
        end: Inches(0.05),
        method: Method::Saw,
        allowed: 1.0,
    };
    let rounds = [round(0.03, vec![cut]), round(0.09, vec![])];
    let shown = history(&leaves, &gaps, Spreads::default(), &rounds).unwrap();
    let miss: Vec<f64> = shown.iter().map(|round| round.moved.unwrap().0).collect();
    assert!(miss[0] > 0.025 && miss[1] < 0.005, "{miss:?}");
    assert!(shown[0].as_it_sat.unwrap().0 > 0.05);
    let took = shown[0].cuts[0];
    assert!((took.start.mean.0 - 0.06).abs() < 0.004, "{took:?}");
    assert!(took.start.sd.0 < 0.006);
    assert!(shown[1].cuts.is_empty());
}

#[test]
fn the_shop_learns_its_plane_and_never_from_nothing() {
    let mut rng = ChaCha8Rng::seed_from_u64(3);
    let prior = Spreads::default();
    let (leaves, gaps) = single();
    let real = Spreads { plane: Factor { mean: 1.2, sd: 1e-9 }, ..prior };
    let openings: Vec<Estimate> = (0..6)
        .map(|_| replay(&leaves, &gaps, prior, &world(&leaves, &gaps, &real, &mut rng).rounds).unwrap())
        .collect();
    let learning = learn(&prior, &openings);
    assert!((learning.plane.posterior.mean - 1.2).abs() < 0.05, "{:?}", learning.plane);
    assert!(learning.plane.posterior.sd < 0.05);
    assert_eq!(learning.plane.cuts, 18);
    assert_eq!(learning.saw.cuts, 18);
    assert!((learning.saw.posterior.0 - 0.008).abs() < 0.004, "{:?}", learning.saw);
    let reset = learn(&prior, &[]);
    assert_eq!(reset.spreads(prior), prior);
    assert_eq!(reset.plane.cuts, 0);
}

#[test]
fn what_cannot_be_is_refused() {
    let (leaves, gaps) = single();
    let frame_only = [line([Facing::Frame, Facing::Frame], Length::ZERO)];
    assert_eq!(Estimate::begin(&leaves, &frame_only, Spreads::default()), Err(EstimateError::NoLeafInGap { gap: 0 }));
    let missing = [line([Facing::Frame, edge(3, Edge::Top)], Length::ZERO)];
    assert_eq!(Estimate::begin(&leaves, &missing, Spreads::default()), Err(EstimateError::NoSuchLeaf { leaf: 3 }));
    let flat = [leaf("A", 0, 26)];
    assert_eq!(Estimate::begin(&flat, &gaps, Spreads::default()), Err(EstimateError::NoSize { leaf: 0 }));
    let mut estimate = Estimate::begin(&leaves, &gaps, Spreads::default()).unwrap();
    let reading = Reading { at: Length::ratio(1, 1), value: Value::Gap(Length::ratio(1, 16)) };
    assert_eq!(estimate.observe(9, &reading), Err(EstimateError::NoSuchGap { gap: 9 }));
}

//! The cut's geometry against an exact construction: turn the leaf's polygon on to fence and pads,
//! cut it with the blade's line, measure what is gone.

use evenreveal::cut::geometry::{Bearing, rip_removal};
use evenreveal::cut::job::{Adjoining, Construction, CutJob, End, Kit, Method, NoContact, Straight};
use evenreveal::cut::picture::picture;
use evenreveal::cut::setup::{Setup, propose_with};
use evenreveal::cut::taken::{Actual, taken};
use evenreveal::cut::tools::{Measured, Saw, ShimStock, Sled, starting_planes};
use evenreveal::fit::length::{Inches, Length, Show};
use evenreveal::fit::opening::Edge;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

type P = (f64, f64);

fn turn((x, y): P, angle: f64) -> P {
    (x * angle.cos() - y * angle.sin(), x * angle.sin() + y * angle.cos())
}

/// The smallest turn about the origin that lifts every point of the pads on to or above `y = 0`,
/// found by bisection on the polygons themselves.
fn rest(pads: &[Vec<P>]) -> f64 {
    let clear = |angle: f64| pads.iter().flatten().all(|&p| turn(p, angle).1 >= 0.0);
    let (mut low, mut high) = (0.0, 0.5);
    if clear(0.0) {
        return 0.0;
    }
    assert!(clear(high), "the pad is far too thick for this test");
    for _ in 0..100 {
        let middle = f64::midpoint(low, high);
        if clear(middle) { high = middle } else { low = middle }
    }
    high
}

/// Clips a polygon to the side of the line through `a` with unit normal `n` where `(p − a)·n ≤ 0`.
fn clip(polygon: &[P], a: P, n: P) -> Vec<P> {
    let side = |p: P| (p.0 - a.0) * n.0 + (p.1 - a.1) * n.1;
    let mut out = Vec::new();
    for (i, &p) in polygon.iter().enumerate() {
        let q = polygon[(i + 1) % polygon.len()];
        let (s, t) = (side(p), side(q));
        if s <= 0.0 {
            out.push(p);
        }
        if (s < 0.0 && t > 0.0) || (s > 0.0 && t < 0.0) {
            let k = s / (s - t);
            out.push((p.0 + k * (q.0 - p.0), p.1 + k * (q.1 - p.1)));
        }
    }
    out
}

/// Largest y of a polygon on the upright line at x, by its sides.
fn top_at(polygon: &[P], x: f64) -> f64 {
    let mut top = f64::NEG_INFINITY;
    for (i, &p) in polygon.iter().enumerate() {
        let q = polygon[(i + 1) % polygon.len()];
        let (low, high) = (p.0.min(q.0), p.0.max(q.0));
        if (low - 1e-9..=high + 1e-9).contains(&x) {
            let y = if (high - low) < 1e-9 { p.1.max(q.1) } else { p.1 + (x - p.0) / (q.0 - p.0) * (q.1 - p.1) };
            top = top.max(y);
        }
    }
    top
}

fn pad_polygon(at: f64, length: f64, thickness: f64) -> Vec<P> {
    vec![(at, 0.0), (at + length, 0.0), (at + length, -thickness), (at, -thickness)]
}

/// Removal by construction at both ends, from the pivot: turn, cut at `y = fence`, turn back, measure.
fn constructed(near: f64, far: f64, length: f64, pads: &[Vec<P>], fence: f64) -> (f64, f64) {
    let angle = rest(pads);
    let leaf = [(0.0, 0.0), (length, 0.0), (length, far), (0.0, near)];
    let on_fence: Vec<P> = leaf.iter().map(|&p| turn(p, angle)).collect();
    let kept: Vec<P> = clip(&on_fence, (0.0, fence), (0.0, 1.0)).into_iter().map(|p| turn(p, -angle)).collect();
    (near - top_at(&kept, 0.0), far - top_at(&kept, length))
}

#[test]
fn rip_removal_agrees_with_the_polygon_construction() {
    let mut rng = ChaCha8Rng::seed_from_u64(3);
    for case in 0..3000 {
        let length = rng.random_range(8.0..60.0);
        let near: f64 = rng.random_range(4.0..30.0);
        let far = near + rng.random_range(-0.25..0.25);
        let mut pads = Vec::new();
        let mut bearings = Vec::new();
        for _ in 0..rng.random_range(0..4) {
            let (at, thickness) = (rng.random_range(1.0..length - 0.5), rng.random_range(0.001..0.15));
            pads.push(pad_polygon(at, 0.5, thickness));
            bearings.push(Bearing { at: Inches(at), thickness: Inches(thickness) });
        }
        // A blade line that cuts both ends: below the lower of the two corners on the fence.
        let angle = rest(&pads);
        let low = turn((0.0, near), angle).1.min(turn((length, far), angle).1);
        let fence = low - rng.random_range(0.0..0.1);
        let wanted = constructed(near, far, length, &pads, fence);
        let pivot = if case % 2 == 0 { End::Start } else { End::End };
        let (start, end) = if pivot == End::Start { (near, far) } else { (far, near) };
        let got = rip_removal(Inches(start), Inches(end), Inches(length), pivot, &bearings, Inches(fence));
        let got = if pivot == End::Start { got } else { (got.1, got.0) };
        assert!(
            (got.0.get() - wanted.0).abs() < 1e-6 && (got.1.get() - wanted.1).abs() < 1e-6,
            "case {case}: {got:?} against {wanted:?}"
        );
    }
}

fn shop() -> (Vec<ShimStock>, Vec<Saw>, Vec<Sled>) {
    let stock = |name: &str, ten_thousandths| ShimStock {
        name: name.to_owned(),
        thickness: Length::ratio(ten_thousandths, 10_000),
        measured: Measured::Single,
    };
    let saw = Saw {
        name: "saw".to_owned(),
        fence_before: Length::ratio(40, 1),
        fence_behind: Length::ratio(40, 1),
        kerf: Length::ratio(1, 4),
        finest_move: Length::ratio(1, 128),
        measured: true,
    };
    let sled = Sled { name: "sled".to_owned(), fence: Length::ratio(48, 1), measured: true };
    (vec![stock("tape", 52), stock("card", 118), stock("ID card", 299)], vec![saw], vec![sled])
}

fn random_job(rng: &mut ChaCha8Rng, edge: Edge) -> CutJob {
    let length = rng.random_range(14.0..36.0);
    let width: f64 = rng.random_range(7.0..13.0);
    let (a, b): (f64, f64) = (rng.random_range(0.0..0.12), rng.random_range(0.0..0.12));
    let adjoining = |out: f64| Adjoining { length: Inches(width), out_of_square: Some(Inches(out)) };
    let out = rng.random_range(-0.1..0.1);
    CutJob {
        edge,
        length: Inches(length),
        start: Inches(a),
        end: Inches(b + 0.001),
        width_start: Inches(width),
        width_end: Inches(width + rng.random_range(-0.25..0.25)),
        widths_known: true,
        adjoining: [adjoining(out), adjoining(-out)],
        hinge: None,
        construction: Construction::Framed,
        no_contact: Vec::new(),
        straight: Edge::ALL.map(|edge| Straight { edge, bow: Inches(0.0) }).to_vec(),
        doubted: Vec::new(),
        lead: None,
        marks_every: None,
    }
}

/// The whole rip set-up, read off the sheet as a cabinetmaker would, built as polygons.
#[test]
fn rip_set_ups_remove_what_they_say() {
    let mut rng = ChaCha8Rng::seed_from_u64(5);
    let (stock, saws, sleds) = shop();
    let planes = starting_planes();
    let kit = Kit::new(&stock, &saws, &sleds, &planes, Show::default());
    let (mut seen, mut by_the_rule) = (0, 0);
    for case in 0..400 {
        let job = random_job(&mut rng, if case % 2 == 0 { Edge::Right } else { Edge::Top });
        let sheet = propose_with(&job, &kit, Method::Rip).unwrap();
        let Setup::Rip(rip) = &sheet.setup else { continue };
        seen += 1;
        let pads: Vec<Vec<P>> =
            rip.pads.iter().map(|pad| pad_polygon(pad.at.inches(), pad.length.get(), pad.thickness.inches())).collect();
        let (near, far) = (job.width(rip.pivot), job.width(rip.pivot.other()));
        let length = job.length.get();
        let angle = rest(&pads);
        // The blade kisses the highest corner, then the fence moves by what the sheet says.
        let kiss = turn((0.0, near), angle).1.max(turn((length, far), angle).1);
        let removed = constructed(near, far, length, &pads, kiss - rip.fence_move.value.inches());
        let (start, end) = if rip.pivot == End::Start { removed } else { (removed.1, removed.0) };
        let missed = (start - job.start.get(), end - job.end.get());
        // Where the blade misses the wood the polygon loses nothing, the line would "add".
        for (got, said, removed) in
            [(missed.0, rip.fence_move.error_start.get(), start), (missed.1, rip.fence_move.error_end.get(), end)]
        {
            assert!(
                (got - said).abs() < 1e-6 || (removed.abs() < 1e-9 && said < got),
                "case {case}: {got} said {said}"
            );
        }
        assert!(rip.fence_move.worst().get() <= kit.limits.rounding.get() + 1e-12);
        if let Some(absolute) = rip.fence_absolute {
            by_the_rule += 1;
            let by_rule = constructed(near, far, length, &pads, absolute.value.inches());
            let by_rule = if rip.pivot == End::Start { by_rule } else { (by_rule.1, by_rule.0) };
            for (removed, wanted, said) in
                [(by_rule.0, job.start.get(), absolute.error_start), (by_rule.1, job.end.get(), absolute.error_end)]
            {
                // Nothing checks this setting as a kiss checks the move: it takes less, never more.
                assert!(removed - wanted <= 1e-6, "case {case}: {removed} over {wanted}");
                assert!((removed - wanted - said.get()).abs() < 1e-6 || removed < 1e-9, "case {case}: {removed}");
            }
        }
        // Whoever cuts the leaf again starts from these widths.
        let after = [job.width_start.get() - start, job.width_end.get() - end];
        for (after, said) in after.iter().zip(rip.width_after) {
            assert!((after - said.get()).abs() < 1e-6 || start.min(end) < 1e-9);
        }
        // Simulated with true numbers, the sheet's own errors come back.
        let (a, b) = taken(&sheet, Actual::default());
        assert!((a.get() - start).abs() < 1e-6 && (b.get() - end).abs() < 1e-6);
        // Pads: in the outer half, on the leaf, on the ruler, never one over the other.
        let last = rip.pads.last().map(|pad| pad.at.inches());
        assert!(last.is_none_or(|at| at >= length / 2.0 && at + 0.5 <= length + 1e-9), "{rip:?}");
        for pair in rip.pads.windows(2) {
            assert!(pair[1].at.inches() >= pair[0].at.inches() + pair[0].length.get() - 1e-12);
        }
        for pad in &rip.pads {
            assert_eq!((pad.at.inches() * 16.0).fract(), 0.0);
            let pile: f64 = pad.layers.iter().map(|layer| layer.each.inches() * f64::from(layer.count)).sum();
            assert!((pile - pad.thickness.inches()).abs() < 1e-12);
        }
    }
    assert!(seen > 300, "only {seen} of 400 had a rip set-up");
    assert!(by_the_rule > 60, "only {by_the_rule} could be set by the rule");
}

/// The sled by construction: the adjoining edge on the fence, blade upright.
#[test]
fn sled_set_ups_remove_what_they_say() {
    let mut rng = ChaCha8Rng::seed_from_u64(7);
    let (stock, saws, sleds) = shop();
    let planes = starting_planes();
    let kit = Kit::new(&stock, &saws, &sleds, &planes, Show::default());
    let (mut seen, mut padded, mut by_the_rule) = (0, 0, 0);
    for case in 0..400 {
        let mut job = random_job(&mut rng, [Edge::Top, Edge::Bottom, Edge::Left, Edge::Right][case % 4]);
        job.length = Inches(rng.random_range(8.0..14.0));
        let heights = [Inches(rng.random_range(14.0..36.0)); 2];
        job.adjoining[0].length = heights[0];
        job.adjoining[1].length = heights[1];
        let sheet = propose_with(&job, &kit, Method::Sled).unwrap();
        let Setup::Sled(sled) = &sheet.setup else { continue };
        seen += 1;
        padded += usize::from(!sled.pads.is_empty());
        let index = usize::from(sled.at == End::End);
        let (height, out) = (job.adjoining[index].length.get(), job.adjoining[index].out_of_square.unwrap().get());
        let length = job.length.get();
        let pads: Vec<Vec<P>> = sled
            .pads
            .iter()
            .map(|pad| pad_polygon(pad.at.inches(), pad.length.get(), pad.thickness.inches()))
            .collect();
        let angle = rest(&pads);
        let leaf = [(0.0, 0.0), (height, 0.0), (height + out, length), (0.0, length)];
        let on_fence: Vec<P> = leaf.iter().map(|&p| turn(p, angle)).collect();
        let kiss = on_fence.iter().map(|p| p.0).fold(f64::MIN, f64::max);
        let blade = kiss - sled.stop_move.value.inches();
        let kept: Vec<P> = clip(&on_fence, (blade, 0.0), (1.0, 0.0)).into_iter().map(|p| turn(p, -angle)).collect();
        // Measured along the edge on the fence: swap the axes and reuse the same ruler.
        let kept: Vec<P> = kept.into_iter().map(|(u, v)| (v, u)).collect();
        let removed = (height - top_at(&kept, 0.0), height + out - top_at(&kept, length));
        let (start, end) = if sled.at == End::Start { removed } else { (removed.1, removed.0) };
        for (got, said, removed) in [
            (start - job.start.get(), sled.stop_move.error_start.get(), start),
            (end - job.end.get(), sled.stop_move.error_end.get(), end),
        ] {
            assert!(
                (got - said).abs() < 1e-6 || (removed.abs() < 1e-9 && said < got),
                "case {case}: {got} said {said}"
            );
        }
        assert!(sled.stop_move.worst().get() <= kit.limits.rounding.get() + 1e-12);
        if let Some(absolute) = sled.stop_absolute {
            by_the_rule += 1;
            let kept = clip(&on_fence, (absolute.value.inches(), 0.0), (1.0, 0.0));
            let kept: Vec<P> = kept.into_iter().map(|p| turn(p, -angle)).map(|(u, v)| (v, u)).collect();
            let removed = (height - top_at(&kept, 0.0), height + out - top_at(&kept, length));
            let (start, end) = if sled.at == End::Start { removed } else { (removed.1, removed.0) };
            for (removed, wanted, said) in
                [(start, job.start.get(), absolute.error_start), (end, job.end.get(), absolute.error_end)]
            {
                assert!(removed - wanted <= 1e-6, "case {case}: {removed} over {wanted}");
                assert!((removed - wanted - said.get()).abs() < 1e-6 || removed < 1e-9, "case {case}: {removed}");
            }
        }
        for pad in &sled.pads {
            assert!(pad.at.inches() + 0.5 <= height && pad.at.inches() >= (height - 0.2) / 2.0);
        }
    }
    assert!(seen > 250 && padded > 100, "{seen} sled set-ups, {padded} with a pad");
    assert!(by_the_rule > 60, "only {by_the_rule} could be set by the rule");
}

#[test]
fn pads_keep_off_the_stretches_without_wood() {
    let mut rng = ChaCha8Rng::seed_from_u64(9);
    let (stock, saws, sleds) = shop();
    let planes = starting_planes();
    let kit = Kit::new(&stock, &saws, &sleds, &planes, Show::default());
    let mut seen = 0;
    for _ in 0..300 {
        let mut job = random_job(&mut rng, Edge::Right);
        let length = job.length.get();
        let from = rng.random_range(1.0..length - 4.0);
        let to = from + rng.random_range(0.5..f64::min(10.0, length - from - 1.0));
        job.no_contact = vec![NoContact { edge: Edge::Left, from: Inches(from), to: Inches(to) }];
        let sheet = propose_with(&job, &kit, Method::Rip).unwrap();
        let Setup::Rip(rip) = &sheet.setup else { continue };
        for pad in &rip.pads {
            seen += 1;
            let (a, b) = (pad.at.inches(), pad.at.inches() + pad.length.get());
            let (a, b) = if rip.pivot == End::Start { (a, b) } else { (length - b, length - a) };
            assert!(b <= from + 1e-9 || a >= to - 1e-9, "pad {a}..{b} over {from}..{to}");
        }
    }
    assert!(seen > 150, "{seen}");
}

/// The drawing holds the same geometry: pads and pivot on the fence, blade where the waste begins.
#[test]
fn the_drawing_stands_on_its_fence() {
    let mut rng = ChaCha8Rng::seed_from_u64(11);
    let (stock, saws, sleds) = shop();
    let planes = starting_planes();
    let kit = Kit::new(&stock, &saws, &sleds, &planes, Show::default());
    for case in 0..200 {
        let job = random_job(&mut rng, Edge::Right);
        let sheet = propose_with(&job, &kit, Method::Rip).unwrap();
        let Setup::Rip(rip) = &sheet.setup else { continue };
        let drawn = picture(&job, &sheet, if case % 2 == 0 { 1.0 } else { 8.0 });
        let lowest = drawn.leaf.iter().chain(drawn.pads.iter().flatten()).map(|p| p.y).fold(f64::MAX, f64::min);
        assert!(lowest.abs() < 1e-9, "{lowest}");
        for pad in &drawn.pads {
            let touch = pad.iter().map(|p| p.y).fold(f64::MAX, f64::min);
            assert!(touch.abs() < 1e-9, "every pad touches the fence: {touch}");
        }
        // The blade's line is parallel to the fence; true to scale it stands at the set distance.
        assert!(
            (drawn.blade[0].y - drawn.blade[1].y).abs() < 1e-9 || rip.fence_move.error_start.get() < -job.start.get()
        );
        if case % 2 == 0 && (drawn.blade[0].y - drawn.blade[1].y).abs() < 1e-9 {
            assert!((drawn.blade[0].y - rip.fence_distance().get()).abs() < 1e-9);
        }
        // The lower end of an upright edge is drawn at the left.
        let pivot_x = drawn.leaf[0].x;
        assert!((pivot_x < 1.0) == (rip.pivot == End::Start));
    }
}

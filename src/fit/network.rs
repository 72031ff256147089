//! The gap network: every reading as an affine function of poses and trims.
//!
//! At a station the gap is `now + motion of the bodies + wood taken off their edges`. A leaf shifted
//! right by `u`, up by `v` and turned anticlockwise by `θ` about its centre changes its gaps by
//! `+u − θ(y−yc)` at its left edge, `−u + θ(y−yc)` at its right, `+v + θ(x−xc)` at its bottom and
//! `−v − θ(x−xc)` at its top (first order in `θ`). A trim of `t₀` at the lower or left corner and
//! `t₁` at the other opens the gap by `t₀(1−s/L) + t₁·s/L`. A gap between two leaves feels both.
//!
//! Inside the solver the turn is scaled to inches at the leaf's corner, so that all coefficients are
//! of one size. A hung leaf has other numbers in place of its pose: out at its lowest hinge, raised,
//! out at its highest hinge ([`super::hung`]), bounded where screws reach only so far.

mod checks;

pub use super::fault::ProblemFault;
use super::hung::{Hung, Way};
use super::length::Length;
use super::lp::{Objective, Programme};
use super::opening::{Edge, FitProblem, Leaf, Motion};
use super::reading::Value;
use checks::{check_leaves, facing, limit, same_pair};

/// Most leaves in one opening.
pub const MOST_LEAVES: usize = 64;
/// Most gap lines in one opening.
pub const MOST_GAPS: usize = 256;
/// Most readings along one gap line.
pub const MOST_READINGS: usize = 64;

/// A leaf's numbers as the solver needs them.
#[derive(Clone, Debug)]
pub struct LeafFrame {
    /// Width, in.
    pub width: f64,
    /// Height, in.
    pub height: f64,
    /// Half the diagonal, in: the turn times this is the motion of a corner.
    pub arm: f64,
    /// Its hinges, where it hangs on them.
    pub hung: Option<Hung>,
}

/// One station with its affine map.
#[derive(Clone, Debug)]
pub struct StationRow {
    /// Which gap line.
    pub gap: usize,
    /// Along the first-named leaf's edge.
    pub at: Length,
    /// Gap as read, in.
    pub now: f64,
    /// The reveal wanted there, in.
    pub target: f64,
    /// Change of the gap per unit of each unknown.
    pub terms: Vec<(Unknown, f64)>,
}

/// Something a plan may change.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unknown {
    /// Shift right, shift up, turn (scaled to inches at the corner); of a hung leaf out at the lowest
    /// hinge, raised, out at the highest hinge.
    Pose {
        /// Which leaf.
        leaf: usize,
        /// 0 right, 1 up, 2 turn.
        axis: usize,
    },
    /// Removal at the lower or left (0) or the other (1) corner.
    Trim {
        /// Which leaf.
        leaf: usize,
        /// Which edge.
        edge: Edge,
        /// 0 or 1.
        end: usize,
    },
}

/// All stations of an opening.
#[derive(Clone, Debug)]
pub struct Network {
    /// The leaves' numbers.
    pub leaves: Vec<LeafFrame>,
    /// The stations, gap line by gap line, in the order they were read.
    pub stations: Vec<StationRow>,
}

/// Which column of a programme is what.
#[derive(Clone, Copy, Debug)]
pub struct Layout {
    leaves: usize,
    stations: usize,
}

impl Layout {
    /// The pair of columns (positive and negative part) of a pose number.
    pub fn pose(leaf: usize, axis: usize) -> (usize, usize) {
        (6 * leaf + 2 * axis, 6 * leaf + 2 * axis + 1)
    }

    /// The column of a removal.
    pub fn trim(self, leaf: usize, edge: Edge, end: usize) -> usize {
        6 * self.leaves + 8 * leaf + 2 * edge as usize + end
    }

    /// The three columns of a station: miss above, miss below, slack under the worst.
    pub fn station(self, station: usize) -> [usize; 3] {
        let first = 14 * self.leaves + 3 * station;
        [first, first + 1, first + 2]
    }

    /// The worst miss (beyond the base of the programme).
    pub fn worst(self) -> usize {
        14 * self.leaves + 3 * self.stations
    }

    /// The even reveal or the strip, where there is one.
    pub fn extra(self) -> usize {
        self.worst() + 1
    }

    /// Four columns of a leaf: left over right, right over left, top over bottom, bottom over top.
    pub fn uneven(self, leaf: usize) -> [usize; 4] {
        let first = self.worst() + 2 + 4 * leaf;
        [first, first + 1, first + 2, first + 3]
    }

    /// The column of what is left of a screw's reach: `way` 0 for the positive part, 1 for the other.
    fn spare(self, leaf: usize, axis: usize, way: usize) -> usize {
        self.worst() + 2 + 4 * self.leaves + 6 * leaf + 2 * axis + way
    }

    fn columns(self) -> usize {
        self.worst() + 2 + 10 * self.leaves
    }

    /// Minimise the worst miss.
    pub fn least_worst(self) -> Objective {
        vec![(self.worst(), 1.0)]
    }

    /// Minimise the sum of the misses.
    pub fn least_sum(self) -> Objective {
        (0..self.stations).flat_map(|j| self.station(j).into_iter().take(2).map(|column| (column, 1.0))).collect()
    }
}

impl Network {
    /// Checks a problem and builds its map.
    pub fn new(problem: &FitProblem) -> Result<Self, ProblemFault> {
        check_leaves(problem)?;
        limit("gap lines", problem.gaps.len(), MOST_GAPS)?;
        let leaves: Vec<LeafFrame> = problem
            .leaves
            .iter()
            .map(|leaf| {
                let (width, height) = (leaf.width.inches(), leaf.height.inches());
                Ok(LeafFrame { width, height, arm: width.hypot(height) / 2.0, hung: Hung::of(leaf)? })
            })
            .collect::<Result<_, ProblemFault>>()?;
        let mut stations = Vec::new();
        for (gap, line) in problem.gaps.iter().enumerate() {
            let sides = facing(problem, gap, line)?;
            if let Some(earlier) =
                problem.gaps.iter().take(gap).position(|other| same_pair(other.between, line.between))
            {
                return Err(ProblemFault::SameGapTwice { gap, earlier });
            }
            if line.target.is_negative() {
                return Err(ProblemFault::Target { gap });
            }
            limit("readings on one gap line", line.readings.len(), MOST_READINGS)?;
            for (reading, read) in line.readings.iter().enumerate() {
                if let Value::GoNoGo { goes, stops } = read.value
                    && stops <= goes
                {
                    return Err(ProblemFault::StopsNotAboveGoes { gap, reading });
                }
                let mut terms = Vec::with_capacity(10);
                for (place, &(leaf, edge)) in sides.iter().enumerate() {
                    let along = if place == 0 { Some(read.at) } else { read.at.checked_sub(line.offset) };
                    let owner = &problem.leaves[leaf];
                    let length = owner.edge_length(edge);
                    let Some(along) = along.filter(|s| !s.is_negative() && *s <= length) else {
                        return Err(ProblemFault::OutsideEdge {
                            gap,
                            reading,
                            leaf: owner.id.clone(),
                            edge,
                            length: length.shown_with_error(super::length::Show::DecimalInch(3)),
                        });
                    };
                    push_terms(&mut terms, leaf, edge, along.inches(), &leaves[leaf]);
                }
                let now = read.mean_inches();
                stations.push(StationRow { gap, at: read.at, now, target: line.target.inches(), terms });
            }
        }
        Ok(Self { leaves, stations })
    }

    /// Misses as the leaves sit, in.
    pub fn misses(&self) -> Vec<f64> {
        self.stations.iter().map(|station| station.now - station.target).collect()
    }

    /// Was anything read along this edge?
    pub fn is_read(&self, leaf: usize, edge: Edge) -> bool {
        let unknown = |end| Unknown::Trim { leaf, edge, end };
        self.stations.iter().any(|row| row.terms.iter().any(|&(u, _)| u == unknown(0) || u == unknown(1)))
    }

    /// The columns of this network's programmes.
    pub fn layout(&self) -> Layout {
        Layout { leaves: self.leaves.len(), stations: self.stations.len() }
    }

    /// The programme of the misses: at each station `miss + map = above − below` and
    /// `above + below + slack = base + worst`. `extra` is how one more unknown (an even reveal, a
    /// strip) changes each station.
    pub fn programme(&self, misses: &[f64], base: f64, extra: &[f64], uneven: bool) -> Programme {
        let layout = self.layout();
        let count = self.stations.len();
        let mut columns = vec![Vec::new(); layout.columns()];
        let mut rhs = Vec::with_capacity(2 * count);
        let mut start = Vec::with_capacity(2 * count);
        let mut readers = Vec::with_capacity(2 * count);
        for (row, (station, &miss)) in self.stations.iter().zip(misses).enumerate() {
            for &(unknown, coefficient) in &station.terms {
                match unknown {
                    Unknown::Pose { leaf, axis } => {
                        let (plus, minus) = Layout::pose(leaf, axis);
                        columns[plus].push((row, coefficient));
                        columns[minus].push((row, -coefficient));
                    }
                    Unknown::Trim { leaf, edge, end } => {
                        columns[layout.trim(leaf, edge, end)].push((row, coefficient));
                    }
                }
            }
            if let Some(&coefficient) = extra.get(row)
                && coefficient != 0.0
            {
                columns[layout.extra()].push((row, coefficient));
            }
            let [above, below, slack] = layout.station(row);
            columns[above].extend([(row, -1.0), (count + row, 1.0)]);
            columns[below].extend([(row, 1.0), (count + row, 1.0)]);
            columns[slack].push((count + row, 1.0));
            columns[layout.worst()].push((count + row, -1.0));
            rhs.push(-miss);
            start.push(if miss >= 0.0 { above } else { below });
            readers.push(vec![(below, 0.5), (above, -0.5)]);
        }
        let mut farthest = (0, base);
        for (row, miss) in misses.iter().enumerate() {
            if miss.abs() > farthest.1 {
                farthest = (row, miss.abs());
            }
        }
        for row in 0..count {
            let slack = layout.station(row)[2];
            rhs.push(base);
            start.push(if row == farthest.0 && farthest.1 > base { layout.worst() } else { slack });
            readers.push(vec![(slack, 1.0)]);
        }
        if uneven {
            for leaf in 0..self.leaves.len() {
                let over = layout.uneven(leaf);
                for (pair, more, less) in [(0, Edge::Left, Edge::Right), (1, Edge::Top, Edge::Bottom)] {
                    let row = rhs.len();
                    for end in 0..2 {
                        columns[layout.trim(leaf, more, end)].push((row, 0.5));
                        columns[layout.trim(leaf, less, end)].push((row, -0.5));
                    }
                    columns[over[2 * pair]].push((row, -1.0));
                    columns[over[2 * pair + 1]].push((row, 1.0));
                    rhs.push(0.0);
                    start.push(over[2 * pair + 1]);
                    readers.push(vec![(over[2 * pair + 1], 1.0)]);
                }
            }
        }
        for (leaf, axis, least, most) in self.ranges() {
            let (plus, minus) = Layout::pose(leaf, axis);
            for (way, column, reach) in [(0, plus, most), (1, minus, -least)] {
                let (row, spare) = (rhs.len(), layout.spare(leaf, axis, way));
                columns[column].push((row, 1.0));
                columns[spare].push((row, 1.0));
                rhs.push(reach.max(0.0));
                start.push(spare);
                readers.push(vec![(spare, 1.0)]);
            }
        }
        Programme { columns, rhs, start, readers }
    }

    /// The axes of hung leaves that screws set anywhere within limits: leaf, axis, limits in inches.
    fn ranges(&self) -> impl Iterator<Item = (usize, usize, f64, f64)> + '_ {
        let of = |(leaf, frame): (usize, &LeafFrame)| {
            let ways = frame.hung.iter().flat_map(|hung| hung.ways.iter().enumerate());
            let ranges = ways.filter_map(move |(axis, way)| match *way {
                Way::Range(least, most) => Some((leaf, axis, least, most)),
                Way::Locked | Way::Steps(_) => None,
            });
            ranges.collect::<Vec<_>>()
        };
        self.leaves.iter().enumerate().flat_map(of)
    }

    /// The misses when hung leaves are set so (axes in inches, one triple for each leaf).
    pub fn shifted(&self, misses: &[f64], axes: &[[f64; 3]]) -> Vec<f64> {
        let change = |station: &StationRow| -> f64 {
            let term = |&(unknown, coefficient): &(Unknown, f64)| match unknown {
                Unknown::Pose { leaf, axis } => {
                    coefficient * axes.get(leaf).and_then(|axes| axes.get(axis)).copied().unwrap_or(0.0)
                }
                Unknown::Trim { .. } => 0.0,
            };
            station.terms.iter().map(term).sum()
        };
        self.stations.iter().zip(misses).map(|(station, miss)| miss + change(station)).collect()
    }

    /// Columns that are open whatever is cut: the stations' own, the worst miss, and the poses of
    /// the leaves that are free to move.
    pub fn always_open(&self, problem: &FitProblem) -> Vec<bool> {
        let layout = self.layout();
        let mut open = vec![false; layout.columns()];
        for (leaf, described) in problem.leaves.iter().enumerate() {
            if described.motion == Motion::Free {
                open[6 * leaf..6 * leaf + 6].fill(true);
            }
        }
        open[layout.station(0)[0]..=layout.worst()].fill(true);
        open[layout.extra() + 1..].fill(true);
        for (leaf, axis, _, _) in self.ranges() {
            let (plus, minus) = Layout::pose(leaf, axis);
            (open[plus], open[minus]) = (true, true);
        }
        open
    }
}

fn push_terms(terms: &mut Vec<(Unknown, f64)>, leaf: usize, edge: Edge, along: f64, frame: &LeafFrame) {
    let (length, sign, shift, turning) = match edge {
        Edge::Left => (frame.height, 1.0, 0, -1.0),
        Edge::Right => (frame.height, -1.0, 0, 1.0),
        Edge::Bottom => (frame.width, 1.0, 1, 1.0),
        Edge::Top => (frame.width, -1.0, 1, -1.0),
    };
    let share = along / length;
    let turned = turning * (along - length / 2.0);
    match &frame.hung {
        None => {
            terms.push((Unknown::Pose { leaf, axis: shift }, sign));
            terms.push((Unknown::Pose { leaf, axis: 2 }, turned / frame.arm));
        }
        Some(hung) => {
            for (axis, pose) in hung.frame.jacobian().iter().enumerate() {
                let coefficient = sign * pose[shift] + turned * pose[2];
                if coefficient != 0.0 {
                    terms.push((Unknown::Pose { leaf, axis }, coefficient));
                }
            }
        }
    }
    terms.push((Unknown::Trim { leaf, edge, end: 0 }, 1.0 - share));
    terms.push((Unknown::Trim { leaf, edge, end: 1 }, share));
}

/// Length of a leaf's edge in inches.
pub fn edge_inches(leaf: &Leaf, edge: Edge) -> f64 {
    leaf.edge_length(edge).inches()
}

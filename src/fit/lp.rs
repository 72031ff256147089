//! Linear programmes of our size behind one small trait, every answer checked on the original rows.
//!
//! A programme is `A·x = b, x ≥ 0` with a feasible start, minimised for several objectives one after
//! the other: each later one only among the optima of those before it (no slack between the stages).
//! [`Certified`] asks the small simplex of [`super::simplex`] and believes it only when its own
//! primal and dual residuals are within [`CERTIFICATE`]; else it asks the library (microlp).

use super::simplex::Tableau;
use microlp::{ComparisonOp, OptimizationDirection, Problem, SolveOptions};

/// Largest residual, negative value or duality gap of an answer that is believed.
pub const CERTIFICATE: f64 = 1e-9;
/// What the library's stages may give back of an earlier objective, since it has no exact stages.
pub const STAGE_SLACK: f64 = 1e-10;

/// An objective: the columns it weighs.
pub type Objective = Vec<(usize, f64)>;

/// `A·x = b, x ≥ 0`.
#[derive(Clone, Debug, Default)]
pub struct Programme {
    /// `A`, column by column: (row, coefficient).
    pub columns: Vec<Vec<(usize, f64)>>,
    /// `b`.
    pub rhs: Vec<f64>,
    /// A feasible basis: one column for each row.
    pub start: Vec<usize>,
    /// For each row, columns whose weighted sum is that row's unit vector: they read off the row's
    /// multiplier.
    pub readers: Vec<Vec<(usize, f64)>>,
}

/// An answer.
#[derive(Clone, Debug)]
pub struct Answer {
    /// Values of all columns.
    pub x: Vec<f64>,
    /// Values of the objectives that were reached.
    pub values: Vec<f64>,
    /// Reduced costs of all columns (also of those not allowed) at the first objective's optimum;
    /// a negative one would lower it. Empty when the solver has none.
    pub first_costs: Vec<f64>,
    /// Stopped after the first objective, since it was above what was asked.
    pub stopped: bool,
}

/// Why a solver has no answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum LpError {
    /// Nothing satisfies the rows.
    #[error("the rows contradict each other")]
    Infeasible,
    /// An objective falls without end.
    #[error("an objective falls without end")]
    Unbounded,
    /// Too many steps, or a number that is not one.
    #[error("the arithmetic broke down")]
    Breakdown,
    /// The answer failed its check on the original rows.
    #[error("the answer failed its check")]
    Uncertified,
}

/// Something that solves programmes.
pub trait LexSolver {
    /// Minimises `objectives` in turn over the columns that are `allowed`; if the first one stays
    /// above `stop_above`, the rest are not tried.
    fn solve(&self, allowed: &[bool], objectives: &[Objective], stop_above: f64) -> Result<Answer, LpError>;
}

impl Programme {
    /// Value of an objective at `x`.
    pub fn value(objective: &Objective, x: &[f64]) -> f64 {
        objective.iter().map(|&(column, weight)| weight * x.get(column).copied().unwrap_or(0.0)).sum()
    }

    /// Largest violation of the rows and of `x ≥ 0`.
    pub fn residual(&self, x: &[f64]) -> f64 {
        let mut rows: Vec<f64> = self.rhs.iter().map(|b| -b).collect();
        let mut worst = 0.0_f64;
        for (column, &value) in self.columns.iter().zip(x) {
            worst = worst.max(-value);
            if !value.is_finite() {
                return f64::INFINITY;
            }
            for &(row, coefficient) in column {
                rows[row] += coefficient * value;
            }
        }
        rows.iter().fold(worst, |worst, row| worst.max(row.abs()))
    }

    /// How far `costs` (claimed reduced costs of `objective`) are from proving that `x` is optimal
    /// over the columns that are `open`: the largest negative reduced cost or the duality gap.
    pub fn optimality_gap(&self, objective: &Objective, costs: &[f64], x: &[f64], open: &[bool]) -> f64 {
        let mut weights = vec![0.0; self.columns.len()];
        for &(column, weight) in objective {
            weights[column] += weight;
        }
        let multipliers: Vec<f64> = self
            .readers
            .iter()
            .map(|reader| reader.iter().map(|&(column, share)| share * (weights[column] - costs[column])).sum())
            .collect();
        let mut worst = 0.0_f64;
        for (index, column) in self.columns.iter().enumerate() {
            if open[index] {
                let priced: f64 = column.iter().map(|&(row, coefficient)| multipliers[row] * coefficient).sum();
                worst = worst.max(priced - weights[index]);
            }
        }
        let dual: f64 = multipliers.iter().zip(&self.rhs).map(|(y, b)| y * b).sum();
        let gap = (Self::value(objective, x) - dual).abs();
        if gap.is_finite() { worst.max(gap) } else { f64::INFINITY }
    }
}

/// The small simplex with its certificate, the library behind it.
#[derive(Debug)]
pub struct Certified {
    programme: Programme,
    root: Option<Tableau>,
}

impl Certified {
    /// Takes a programme; `allowed` are columns that every later call will allow too, so that the
    /// first objective can be brought down on them once.
    pub fn new(programme: Programme, allowed: &[bool], first: &Objective) -> Self {
        let mut root = Tableau::new(&programme).ok();
        if let Some(tableau) = root.as_mut() {
            tableau.open_only(allowed);
            if tableau.minimise(first).is_err() {
                root = None;
            }
        }
        Self { programme, root }
    }

    /// The programme.
    pub fn programme(&self) -> &Programme {
        &self.programme
    }

    /// The small simplex without the library behind it; none if its certificate fails.
    pub fn by_simplex_alone(&self, allowed: &[bool], objectives: &[Objective], stop_above: f64) -> Option<Answer> {
        self.by_simplex(self.root.as_ref()?, allowed, objectives, stop_above).ok()
    }

    fn by_simplex(
        &self,
        root: &Tableau,
        allowed: &[bool],
        objectives: &[Objective],
        stop_above: f64,
    ) -> Result<Answer, LpError> {
        let mut tableau = root.clone();
        tableau.open_only(allowed);
        let mut answer = Answer { x: Vec::new(), values: Vec::new(), first_costs: Vec::new(), stopped: false };
        for (stage, objective) in objectives.iter().enumerate() {
            if stage > 0 && tableau.is_settled() {
                break;
            }
            let costs = tableau.minimise(objective)?;
            let x = tableau.values();
            let open = tableau.open();
            if self.programme.residual(&x) > CERTIFICATE
                || self.programme.optimality_gap(objective, &costs, &x, open) > CERTIFICATE
            {
                return Err(LpError::Uncertified);
            }
            let value = Programme::value(objective, &x);
            tableau.close_costly(&costs);
            answer.x = x;
            answer.values.push(value);
            if stage == 0 {
                answer.first_costs = costs;
                if value > stop_above {
                    answer.stopped = true;
                    return Ok(answer);
                }
            }
        }
        // Stages that were not needed since nothing was left to choose.
        for objective in objectives.iter().skip(answer.values.len()) {
            answer.values.push(Programme::value(objective, &answer.x));
        }
        Ok(answer)
    }
}

impl LexSolver for Certified {
    fn solve(&self, allowed: &[bool], objectives: &[Objective], stop_above: f64) -> Result<Answer, LpError> {
        if let Some(root) = &self.root
            && let Ok(answer) = self.by_simplex(root, allowed, objectives, stop_above)
        {
            return Ok(answer);
        }
        Library { programme: &self.programme }.solve(allowed, objectives, stop_above)
    }
}

/// The library alone: the fallback, and the second opinion in tests.
#[derive(Debug)]
pub struct Library<'p> {
    /// What to solve.
    pub programme: &'p Programme,
}

impl LexSolver for Library<'_> {
    fn solve(&self, allowed: &[bool], objectives: &[Objective], stop_above: f64) -> Result<Answer, LpError> {
        let mut answer = Answer { x: Vec::new(), values: Vec::new(), first_costs: Vec::new(), stopped: false };
        for stage in 0..objectives.len() {
            let x = self.stage(allowed, objectives, stage, &answer.values)?;
            let Some(objective) = objectives.get(stage) else { break };
            let value = Programme::value(objective, &x);
            answer.x = x;
            answer.values.push(value);
            if stage == 0 && value > stop_above {
                answer.stopped = true;
                break;
            }
        }
        Ok(answer)
    }
}

impl Library<'_> {
    fn stage(
        &self,
        allowed: &[bool],
        objectives: &[Objective],
        stage: usize,
        before: &[f64],
    ) -> Result<Vec<f64>, LpError> {
        let columns = &self.programme.columns;
        let mut weights = vec![0.0; columns.len()];
        for &(column, weight) in objectives.get(stage).into_iter().flatten() {
            weights[column] += weight;
        }
        let mut problem = Problem::new(OptimizationDirection::Minimize);
        let mut rows = vec![Vec::new(); self.programme.rhs.len()];
        let mut variables = Vec::with_capacity(columns.len());
        for (index, column) in columns.iter().enumerate() {
            let most = if allowed.get(index).copied().unwrap_or(false) { f64::INFINITY } else { 0.0 };
            let variable = problem.add_var(weights[index], (0.0, most));
            variables.push(variable);
            for &(row, coefficient) in column {
                rows[row].push((variable, coefficient));
            }
        }
        for (row, &b) in rows.into_iter().zip(&self.programme.rhs) {
            problem.add_constraint(row, ComparisonOp::Eq, b);
        }
        for (objective, &value) in objectives.iter().zip(before) {
            let row: Vec<_> = objective.iter().map(|&(column, weight)| (variables[column], weight)).collect();
            if !row.is_empty() {
                problem.add_constraint(row, ComparisonOp::Le, value + STAGE_SLACK);
            }
        }
        let mut options = SolveOptions::default();
        options.tolerances.feasibility = CERTIFICATE;
        let outcome = problem.solve_with(options).map_err(|error| match error {
            microlp::Error::Infeasible => LpError::Infeasible,
            microlp::Error::Unbounded => LpError::Unbounded,
            _ => LpError::Breakdown,
        })?;
        let solution = outcome.into_solution().map_err(|_| LpError::Breakdown)?;
        let x: Vec<f64> = variables.iter().map(|&variable| solution.var_value(variable)).collect();
        if self.programme.residual(&x) > 10.0 * CERTIFICATE {
            return Err(LpError::Uncertified);
        }
        Ok(x)
    }
}

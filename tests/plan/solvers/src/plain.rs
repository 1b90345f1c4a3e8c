//! Each solver with the plainest model: one yes-or-no for each candidate.

use std::ops::ControlFlow;

use trunnion_plan::picks::Problem;

fn costs(problem: &Problem) -> Vec<Vec<u64>> {
    let (column, weight) = problem.levels[0][0];
    problem.picks.iter().map(|it| it.iter().map(|one| one.figures[column] * weight).collect()).collect()
}

pub fn microlp(problem: &Problem) -> Option<u64> {
    use microlp::{ComparisonOp, OptimizationDirection};
    let costs = costs(problem);
    let mut program = microlp::Problem::new(OptimizationDirection::Minimize);
    let x: Vec<Vec<_>> =
        costs.iter().map(|row| row.iter().map(|it| program.add_binary_var(*it as f64)).collect()).collect();
    for row in &x {
        program.add_constraint(row.iter().map(|it| (*it, 1.0)), ComparisonOp::Eq, 1.0);
    }
    for never in &problem.never {
        let set: std::collections::BTreeSet<_> = never.iter().collect();
        let most = set.len() as f64 - 1.0;
        program.add_constraint(set.iter().map(|it| (x[it.0][it.1], 1.0)), ComparisonOp::Le, most);
    }
    for limit in &problem.limits {
        let uses = limit.uses.iter().map(|it| (x[it.0][it.1], it.2 as f64));
        program.add_constraint(uses, ComparisonOp::Le, limit.most as f64);
    }
    let solution = program.solve().ok()?.into_solution().ok()?;
    Some(solution.objective().round() as u64)
}

pub fn pumpkin(problem: &Problem) -> Option<u64> {
    use pumpkin_conflict_resolvers::resolvers::ResolutionResolver;
    use pumpkin_solver::Solver;
    use pumpkin_solver::core::DefaultBrancher;
    use pumpkin_solver::core::optimisation::OptimisationDirection;
    use pumpkin_solver::core::optimisation::linear_sat_unsat::LinearSatUnsat;
    use pumpkin_solver::core::results::{OptimisationResult, ProblemSolution, SolutionReference};
    use pumpkin_solver::core::termination::Indefinite;
    use pumpkin_solver::core::variables::TransformableVariable;
    let costs = costs(problem);
    let mut solver = Solver::default();
    let tag = solver.new_constraint_tag();
    let x: Vec<Vec<_>> =
        costs.iter().map(|row| row.iter().map(|_| solver.new_bounded_integer(0, 1)).collect()).collect();
    for row in &x {
        solver.add_constraint(pumpkin_constraints::equals(row.clone(), 1, tag)).post();
    }
    for never in &problem.never {
        let set: std::collections::BTreeSet<_> = never.iter().collect();
        let all: Vec<_> = set.iter().map(|it| x[it.0][it.1]).collect();
        let most = all.len() as i32 - 1;
        solver.add_constraint(pumpkin_constraints::less_than_or_equals(all, most, tag)).post();
    }
    for limit in &problem.limits {
        let uses: Vec<_> =
            (limit.uses.iter().filter(|it| it.2 > 0)).map(|it| x[it.0][it.1].scaled(it.2 as i32)).collect();
        if !uses.is_empty() {
            solver
                .add_constraint(pumpkin_constraints::less_than_or_equals(uses, limit.most as i32, tag))
                .post();
        }
    }
    let largest: u64 = costs.iter().filter_map(|it| it.iter().max()).sum();
    let goal = solver.new_bounded_integer(0, largest as i32);
    let mut terms: Vec<_> = (x.iter().flatten().zip(costs.iter().flatten()))
        .filter(|it| *it.1 > 0)
        .map(|(it, cost)| it.scaled(*cost as i32))
        .collect();
    terms.push(goal.scaled(-1));
    solver.add_constraint(pumpkin_constraints::equals(terms, 0, tag)).post();
    let mut brancher = solver.default_brancher();
    let callback = |_: &Solver, _: SolutionReference, _: &DefaultBrancher, _: &ResolutionResolver| {
        ControlFlow::<()>::Continue(())
    };
    let result = solver.optimise(
        &mut brancher,
        &mut Indefinite,
        &mut ResolutionResolver::default(),
        LinearSatUnsat::new(OptimisationDirection::Minimise, goal, callback),
    );
    match result {
        OptimisationResult::Optimal(it) => Some(it.get_integer_value(goal) as u64),
        _ => None,
    }
}

pub fn batsat(problem: &Problem) -> Option<u64> {
    use rustsat::encodings::pb::{BoundUpper, BoundUpperIncremental, DynamicPolyWatchdog};
    use rustsat::instances::{BasicVarManager, ManageVars};
    use rustsat::solvers::{Solve, SolveIncremental, SolverResult};
    use rustsat::types::{Clause, Lit, TernaryVal};
    let costs = costs(problem);
    let mut solver = rustsat_batsat::BasicSolver::default();
    let mut vars = BasicVarManager::default();
    let x: Vec<Vec<Lit>> =
        costs.iter().map(|row| row.iter().map(|_| vars.new_var().pos_lit()).collect()).collect();
    for row in &x {
        solver.add_clause(row.iter().copied().collect::<Clause>()).ok()?;
        for (nth, one) in row.iter().enumerate() {
            for other in &row[nth + 1..] {
                solver.add_clause([!*one, !*other].into_iter().collect::<Clause>()).ok()?;
            }
        }
    }
    for never in &problem.never {
        solver.add_clause(never.iter().map(|it| !x[it.0][it.1]).collect::<Clause>()).ok()?;
    }
    for limit in &problem.limits {
        let uses: Vec<(Lit, usize)> =
            limit.uses.iter().filter(|it| it.2 > 0).map(|it| (x[it.0][it.1], it.2 as usize)).collect();
        if uses.iter().map(|it| it.1).sum::<usize>() > limit.most as usize {
            let most = limit.most as usize;
            let mut sum: DynamicPolyWatchdog = uses.into_iter().collect();
            sum.encode_ub(most..=most, &mut solver, &mut vars).ok()?;
            for lit in sum.enforce_ub(most).ok()? {
                solver.add_clause(std::iter::once(lit).collect::<Clause>()).ok()?;
            }
        }
    }
    let terms: Vec<(Lit, usize)> = (x.iter().flatten().zip(costs.iter().flatten()))
        .filter(|it| *it.1 > 0)
        .map(|(lit, cost)| (*lit, *cost as usize))
        .collect();
    let mut goal: DynamicPolyWatchdog = terms.into_iter().collect();
    let mut known = None;
    let mut bound: Vec<Lit> = Vec::new();
    while solver.solve_assumps(&bound).ok()? == SolverResult::Sat {
        let mut sum = 0;
        for (row, costs) in x.iter().zip(&costs) {
            for (lit, cost) in row.iter().zip(costs) {
                if solver.lit_val(*lit).ok()? == TernaryVal::True {
                    sum += cost;
                }
            }
        }
        known = Some(sum);
        if sum == 0 {
            break;
        }
        let most = sum as usize - 1;
        goal.encode_ub_change(most..=most, &mut solver, &mut vars).ok()?;
        bound = goal.enforce_ub(most).ok()?;
    }
    known
}

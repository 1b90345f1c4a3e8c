//! What the next best choice would be.

use super::problem::{Problem, Solution};
use super::solve::{Equals, Found, best};
use super::task::Task;

/// For each pick the best choice in which that pick takes another candidate than in `best`; nothing where no
/// other is possible, and for all that were not searched before `go_on` said to stop.
///
/// # Panics
/// As [`solve`](super::solve), and if `best` does not name a candidate for every pick.
pub fn alternatives(problem: &Problem, known: &Solution, go_on: &dyn Fn() -> bool) -> Vec<Option<Solution>> {
    let whole = Task::of(problem);
    let all: Vec<usize> = (0..whole.names.len()).collect();
    (known.picked.iter().enumerate())
        .map(|(pick, taken)| {
            let mut kept: Vec<Vec<bool>> = whole.names.iter().map(|it| vec![true; it.len()]).collect();
            kept[pick][*taken] = false;
            match best(whole.keep(&all, &kept), Equals::First, go_on) {
                Found::Picked(it) => {
                    Some(problem.worth(it.into_values().take(problem.picks.len()).collect()))
                }
                Found::Impossible | Found::Stopped => None,
            }
        })
        .collect()
}

//! One candidate for each pick, so that all constraints hold and the preference is best.
//!
//! This is the search alone. It knows picks, candidates and whole numbers; what they stand for is the
//! business of whoever states the problem.

mod alternative;
mod contradiction;
mod hitting;
mod problem;
mod program;
mod reduce;
mod solve;
mod task;

pub use alternative::alternatives;
pub use contradiction::{Grounds, contradiction, irreducible};
pub use problem::{Candidate, Limit, Measure, Outcome, Problem, Solution};
pub use solve::solve;

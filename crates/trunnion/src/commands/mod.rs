//! One file for each command.

pub mod calc;
pub mod check;
pub mod dates;
pub mod doubts;
pub mod explain;
pub mod new;
pub mod next;
pub mod plan;
pub mod readings;
pub mod tidy;

//! What is shown: verdicts with their places, tables, papers. It decides nothing.

pub mod dates;
pub mod doubts;
pub mod gates;
pub mod handbook;
pub mod library;
pub mod money;
pub mod next;
pub mod placed;
pub mod plan;
pub mod readings;
pub mod record;
pub mod sarif;
pub mod summary;
pub mod ways;
pub mod writing;

//! From verdicts to work: the chain of places that change, what to ask, what to measure.

pub mod chain;
pub mod next;

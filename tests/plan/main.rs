//! The planner against reference libraries and exhaustive search.

mod networks;

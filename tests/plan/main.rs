//! The planner against reference libraries and exhaustive search.

mod change_overs;
mod easy_van;
mod loom;
mod money;
mod mutated;
mod networks;
mod order;
mod picks;
mod routes;
mod small_routes;
mod specs;
mod steinlib;
mod tried;

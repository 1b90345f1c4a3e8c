//! The checks: each in one file, three-valued, with its reasons and its ways out.
//!
//! A check only judges. It mends nothing, prints nothing, ranks nothing.
//! Adding one is adding a file beside the others and a line in [`list`].

mod against;
mod as_built;
pub mod awaited;
pub mod basis;
pub mod bill;
mod bolting;
mod brakes;
pub mod bus;
pub mod calendar;
mod chain;
pub mod check;
pub mod checks;
mod circuit_names;
pub mod ctx;
mod driveline;
mod driver;
mod fluids;
pub mod frames;
mod joined;
pub mod list;
pub mod loads;
mod masses;
mod mounts;
pub mod naming;
mod pack;
pub mod purse;
pub mod readings;
mod rolling;
mod routes;
pub mod run;
mod seen;
mod settings;
mod spigot;
pub mod sum;
#[cfg(test)]
pub mod testing;
pub mod wiring;
pub mod works;

pub use check::Check;
pub use run::{check_workspace, verdicts_of};

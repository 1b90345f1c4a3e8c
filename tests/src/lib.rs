//! Wide tests of the workspace, by theme; see the folders beside this file.

pub mod change_overs;
pub mod generated;
pub mod loaded;

//! Wide tests of the workspace, by theme; see the folders beside this file.

pub mod generated;
pub mod loaded;

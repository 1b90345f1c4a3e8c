//! The program as it is called: what it prints, what it writes, how it ends.
#![allow(missing_docs, reason = "a test has no readers but its own")]

mod bad_input;
mod calc;
mod commands;
mod folder;
mod plan;
mod schema;
mod showing;
mod strange_files;

use folder::Folder;

/// One clash, one open point, one clear verdict.
const SMALL: &str = include_str!("small.trunnion");

/// A folder with that specification.
fn small(name: &str) -> Folder {
    let folder = Folder::new(name);
    folder.write("small.trunnion", SMALL);
    folder
}

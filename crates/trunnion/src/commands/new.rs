//! `trunnion new DIR`

use std::fs;
use std::io::Write;
use std::path::Path;

use crate::{CLEAR, Failure, write};

const START: &str = include_str!("new.trunnion");

pub fn run(dir: &Path, out: &mut Vec<u8>) -> Result<u8, Failure> {
    let file = dir.join("conversion.trunnion");
    // A link that leads nowhere is something that is there, too.
    if fs::symlink_metadata(&file).is_ok() {
        return Err(Failure(format!("`{}` is there already; nothing was written", file.display())));
    }
    fs::create_dir_all(dir).map_err(|it| Failure(format!("cannot make `{}`: {it}", dir.display())))?;
    write::whole(&file, START).map_err(|it| Failure(format!("cannot write `{}`: {it}", file.display())))?;
    writeln!(out, "Wrote {}.", file.display())?;
    writeln!(
        out,
        "Change it to what you have, then: trunnion check {0}    trunnion next {0}",
        dir.display()
    )?;
    Ok(CLEAR)
}

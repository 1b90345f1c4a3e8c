//! `trunnion explain`

use std::io::Write;

use trunnion_check::list::{CHECKS, find};

use crate::{CLEAR, Failure};

#[derive(clap::Args)]
pub struct Options {
    /// The name of a check, a handbook function, a kind or a measure; none lists the checks
    name: Option<String>,
}

pub fn run(options: &Options, out: &mut Vec<u8>) -> Result<u8, Failure> {
    let Some(name) = &options.name else {
        for check in CHECKS {
            writeln!(out, "{:<18} {}", check.name, check.decides())?;
        }
        return Ok(CLEAR);
    };
    if let Some(check) = find(name) {
        writeln!(out, "{}", check.page().trim_end())?;
        return Ok(CLEAR);
    }
    if let Some(page) = trunnion_report::library::page(name) {
        writeln!(out, "{}", page.trim_end())?;
        return Ok(CLEAR);
    }
    let names = CHECKS.iter().map(|it| it.name.to_owned()).chain(trunnion_report::library::names());
    let names: Vec<String> = names.collect();
    let near = trunnion_model::name::nearest(name, names.iter().map(String::as_str));
    let hint =
        near.map_or_else(|| "`trunnion explain` lists the checks".to_owned(), |it| format!("`{it}` is one"));
    Err(Failure(format!("nothing is called `{name}`; {hint}")))
}

//! `trunnion explain`

use std::io::Write;

use trunnion_report::{handbook, library, writing};

use trunnion_check::list::{CHECKS, find};

use crate::{CLEAR, Failure};

#[derive(clap::Args)]
pub struct Options {
    /// The name of a check, a handbook function, a kind, a measure, or something said of the
    /// writing; none lists them
    name: Option<String>,
}

pub fn run(options: &Options, out: &mut Vec<u8>) -> Result<u8, Failure> {
    let Some(name) = &options.name else {
        return list(out);
    };
    if let Some(check) = find(name) {
        writeln!(out, "{}", check.page().trim_end())?;
        return Ok(CLEAR);
    }
    let page = handbook::page(name).or_else(|| library::page(name)).or_else(|| writing::page(name));
    if let Some(page) = page {
        writeln!(out, "{}", page.trim_end())?;
        return Ok(CLEAR);
    }
    let mut names = library::names();
    names.extend(CHECKS.iter().map(|it| it.name.to_owned()));
    names.extend(handbook::groups().iter().flat_map(|it| &it.1).map(|it| it.name.to_owned()));
    names.extend(writing::TOLD.iter().map(|it| it.name.to_owned()));
    let near = trunnion_model::name::nearest(name, names.iter().map(String::as_str));
    let hint =
        near.map_or_else(|| "`trunnion explain` lists the names".to_owned(), |it| format!("`{it}` is one"));
    Err(Failure(format!("nothing is called `{name}`; {hint}")))
}

/// Everything that has a page: checks, functions by group, kinds, what is said of the writing.
fn list(out: &mut Vec<u8>) -> Result<u8, Failure> {
    writeln!(out, "Checks\n")?;
    for check in CHECKS {
        writeln!(out, "  {:<24} {}", check.name, check.decides())?;
    }
    writeln!(out, "\nHandbook functions")?;
    for (group, functions) in handbook::groups() {
        writeln!(out, "\n  {group}")?;
        for it in functions {
            writeln!(out, "    {:<26} {}", it.name, it.title)?;
        }
    }
    writeln!(out, "\nKinds\n")?;
    for (name, title) in library::kinds() {
        writeln!(out, "  {name:<24} {title}")?;
    }
    writeln!(out, "\nSaid of the writing\n")?;
    for it in writing::TOLD {
        let first = it.means.split_inclusive(". ").next().unwrap_or(it.means);
        writeln!(out, "  {:<24} {}", it.name, first.trim_end())?;
    }
    writeln!(out, "\nMeasures, too, have a page: `trunnion explain mass`.")?;
    Ok(CLEAR)
}

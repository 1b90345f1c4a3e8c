//! `trunnion plan`

use std::io::{BufRead, IsTerminal, Write};
use std::path::PathBuf;

use trunnion_model::name::Id;
use trunnion_model::world::conversion;
use trunnion_plan::conversions;
use trunnion_plan::plan::preference::Preference;
use trunnion_plan::plan::{Plan, plan};

use crate::{CLASH, CLEAR, Failure, Format, load, show, write};

#[derive(clap::Args)]
pub struct Options {
    /// A file or folder with a conversion
    path: PathBuf,
    /// What counts first: some of cost, wait, mass, effort in order, or weights for each unit of the
    /// budget's money, day, kilogram and hour, as `cost=1,wait=20,effort=15`
    #[arg(long, value_name = "ORDER", value_parser = Preference::read)]
    prefer: Option<Preference>,
    /// Which of its ways is planned; else the first
    #[arg(long, value_name = "NAME")]
    way: Option<String>,
    /// Show only what would change in the file
    #[arg(long)]
    diff: bool,
    /// Write the plan into the file, after showing what changes
    #[arg(long)]
    write: bool,
    /// Write without asking
    #[arg(long, requires = "write")]
    yes: bool,
    /// How the answer is given
    #[arg(long, value_enum, default_value = "text")]
    format: Format,
}

pub fn run(options: &Options, out: &mut Vec<u8>) -> Result<u8, Failure> {
    if options.format == Format::Sarif {
        return Err(Failure("a plan is given as text or json".to_owned()));
    }
    let mut loaded = load::load(std::slice::from_ref(&options.path))?;
    let all = conversions(&loaded.host, &loaded.asked);
    if all.is_empty() {
        return Err(Failure(format!("no conversion in {}", options.path.display())));
    }
    let (mut records, mut code) = (Vec::new(), CLEAR);
    for nth in 0..all.len() {
        // A plan that was written may have moved what stands after it.
        let Some(id) = conversions(&loaded.host, &loaded.asked).get(nth).copied() else { break };
        let title = id.shown(loaded.host.db());
        let way = way(&loaded, id, options.way.as_deref())?;
        let made = plan(&mut loaded.host, id, way, options.prefer.as_ref(), &progress());
        let Some(made) = made else {
            return Err(Failure(format!("{title}: its recipient is not known, so nothing can be planned")));
        };
        if !made.is_whole() {
            code = CLASH;
        }
        if options.format == Format::Json {
            records.push(trunnion_report::plan::record(&loaded.host, &made));
        } else if options.diff || options.write {
            out.extend(show::plain(&trunnion_report::plan::difference(&made)).bytes());
        } else {
            out.extend(show::plain(&trunnion_report::plan::page(&loaded.host, &made)).bytes());
        }
        if options.write && made.before != made.after {
            written(&mut loaded, &made, options.yes, out)?;
        }
    }
    if options.format == Format::Json {
        serde_json::to_writer_pretty(&mut *out, &records)?;
        out.push(b'\n');
    }
    Ok(code)
}

/// The way of that name, or the first.
fn way(loaded: &load::Loaded, id: Id, name: Option<&str>) -> Result<Option<u32>, Failure> {
    let ways = conversion(loaded.host.db(), id).map(|it| it.ways.as_slice()).unwrap_or_default();
    let names = || ways.iter().map(|it| it.name.value.as_str()).collect::<Vec<_>>().join(", ");
    match name {
        None => Ok((!ways.is_empty()).then_some(0)),
        Some(name) => match ways.iter().position(|it| it.name.value == name) {
            Some(at) => Ok(Some(at as u32)),
            None if ways.is_empty() => Err(Failure("it has no ways".to_owned())),
            None => Err(Failure(format!("no way `{name}`; there are {}", names()))),
        },
    }
}

/// Writes the plan, where somebody is there to ask after a yes.
fn written(loaded: &mut load::Loaded, made: &Plan, yes: bool, out: &mut Vec<u8>) -> Result<(), Failure> {
    if !yes && std::io::stdin().is_terminal() {
        // What is asked about must be seen first.
        let mut terminal = std::io::stderr();
        terminal.write_all(out)?;
        out.clear();
        write!(terminal, "Write this into {}? [y/N] ", made.path)?;
        terminal.flush()?;
        let mut answer = String::new();
        std::io::stdin().lock().read_line(&mut answer)?;
        if !matches!(answer.trim(), "y" | "Y" | "yes") {
            out.extend_from_slice(b"Nothing was written.\n");
            return Ok(());
        }
    }
    let file = loaded.file(&made.path);
    // What somebody else wrote in the meantime is not written over.
    if load::text(&file).as_deref() != Some(made.before.as_str()) {
        return Err(Failure(format!("{} was changed in the meantime; nothing was written", made.path)));
    }
    write::whole(&file, &made.after)?;
    loaded.host.set_file(&made.path, &made.after);
    writeln!(out, "Written into {}.", made.path)?;
    Ok(())
}

/// Shows on a terminal how far it is; interrupting the program ends it.
fn progress() -> impl Fn(usize) -> bool {
    let shown = std::io::stderr().is_terminal();
    move |judged| {
        if shown && judged > 0 && judged % 16 == 0 {
            let _ = write!(std::io::stderr(), "\r{judged} proposals judged\r");
        }
        true
    }
}

//! `trunnion check`

use std::path::PathBuf;

use trunnion_check::run::verdicts_of;
use trunnion_model::verdict::{Gate, Outcome, Verdict};
use trunnion_report::summary::Summary;

use crate::{CLASH, CLEAR, Failure, Format, load, show};

#[derive(clap::Args)]
pub struct Options {
    /// Files or folders; the current folder where none is given
    paths: Vec<PathBuf>,
    /// Show the clear verdicts too, with their margins
    #[arg(long)]
    all: bool,
    /// Show every open point, not only the first few
    #[arg(long)]
    opens: bool,
    /// How to answer
    #[arg(long, value_enum, default_value = "text")]
    format: Format,
    /// Fail also while anything is open
    #[arg(long)]
    strict: bool,
    /// Fail while anything is open for this gate
    #[arg(long, value_parser = gate)]
    gate: Vec<Gate>,
}

fn gate(word: &str) -> Result<Gate, String> {
    Gate::from_word(&word.replace('-', " "))
        .ok_or_else(|| "a gate is buying, no-return, power or road".to_owned())
}

pub fn run(options: &Options, out: &mut Vec<u8>, colour: bool) -> Result<u8, Failure> {
    let loaded = load::load(&options.paths)?;
    let db = loaded.host.db();
    let workspace = loaded.host.workspace();
    let files = loaded.asked.iter().filter_map(|it| loaded.host.file(it));
    let unreadable = loaded.unreadable();
    let verdicts = files.flat_map(|it| verdicts_of(db, workspace, it));
    let verdicts: Vec<&Verdict> = unreadable.iter().chain(verdicts).collect();
    let placed = trunnion_report::placed::place(&loaded.host, &verdicts);
    let summary = Summary::of(&verdicts);
    match options.format {
        Format::Text => show::text(
            out,
            &loaded,
            &placed,
            &summary,
            &show::Shown { all: options.all, opens: options.opens, colour },
        )?,
        Format::Json => show::json(out, &loaded, &placed, &summary)?,
        Format::Sarif => show::sarif(out, &loaded, &placed)?,
    }
    let open_for = |gate: Option<Gate>| {
        verdicts.iter().any(|it| {
            it.outcome == Outcome::Open
                && it.accepted.is_none()
                && gate.is_none_or(|gate| it.question.as_ref().is_some_and(|it| it.gate <= gate))
        })
    };
    let fails = summary.clash > 0
        || options.strict && open_for(None)
        || options.gate.iter().any(|it| open_for(Some(*it)));
    Ok(if fails { CLASH } else { CLEAR })
}

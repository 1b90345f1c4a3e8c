//! `trunnion dates`

use std::io::{IsTerminal, Write};
use std::path::PathBuf;

use trunnion_plan::conversions;
use trunnion_plan::dates::dates;

use crate::{CLEAR, Failure, Format, load, show};

#[derive(clap::Args)]
pub struct Options {
    /// A file or folder with a conversion
    path: PathBuf,
    /// How the answer is given
    #[arg(long, value_enum, default_value = "text")]
    format: Format,
}

pub fn run(options: &Options, out: &mut Vec<u8>) -> Result<u8, Failure> {
    let mut loaded = load::load(std::slice::from_ref(&options.path))?;
    let all = conversions(&loaded.host, &loaded.asked);
    if all.is_empty() {
        return Err(Failure(format!("no conversion in {}", options.path.display())));
    }
    let mut records = Vec::new();
    for id in all {
        let title = id.shown(loaded.host.db());
        let Some(table) = dates(&mut loaded.host, id, progress()) else {
            return Err(Failure(format!(
                "{title}: its recipient's family states no build window; write `built DATE to DATE` in it"
            )));
        };
        match options.format {
            Format::Text => out.extend(show::plain(&trunnion_report::dates::page(&table)).bytes()),
            Format::Json => records.push(trunnion_report::dates::record(&table)),
            Format::Sarif => return Err(Failure("dates are given as text or json".to_owned())),
        }
    }
    if options.format == Format::Json {
        serde_json::to_writer_pretty(&mut *out, &records)?;
        out.push(b'\n');
    }
    Ok(CLEAR)
}

/// Shows on a terminal how far it is; interrupting the program ends it.
fn progress() -> impl FnMut(usize, usize) -> bool {
    let shown = std::io::stderr().is_terminal();
    move |done, of| {
        if shown && done % 16 == 0 {
            let _ = write!(std::io::stderr(), "\r{done} of {of} spans");
            if done + 16 >= of {
                let _ = write!(std::io::stderr(), "\r                    \r");
            }
        }
        true
    }
}

//! `trunnion doubts`

use std::path::PathBuf;

use trunnion_plan::conversions;
use trunnion_plan::doubts::doubts;

use crate::{CLEAR, Failure, Format, load, show};

#[derive(clap::Args)]
pub struct Options {
    /// A file or folder with a conversion
    path: PathBuf,
    /// Show every claim, not only those on which most hangs
    #[arg(long)]
    all: bool,
    /// How the answer is given
    #[arg(long, value_enum, default_value = "text")]
    format: Format,
}

pub fn run(options: &Options, out: &mut Vec<u8>) -> Result<u8, Failure> {
    let loaded = load::load(std::slice::from_ref(&options.path))?;
    let host = &loaded.host;
    let all = conversions(host, &loaded.asked);
    if all.is_empty() {
        return Err(Failure(format!("no conversion in {}", options.path.display())));
    }
    let tables: Vec<_> = all.into_iter().filter_map(|id| doubts(host.db(), host.workspace(), id)).collect();
    match options.format {
        Format::Text => {
            for table in &tables {
                let in_view = options.all.then_some(usize::MAX);
                out.extend(show::plain(&trunnion_report::doubts::page(host, table, in_view)).bytes());
            }
        }
        Format::Json => {
            let records: Vec<_> = tables.iter().map(|it| trunnion_report::doubts::record(host, it)).collect();
            serde_json::to_writer_pretty(&mut *out, &records)?;
            out.push(b'\n');
        }
        Format::Sarif => return Err(Failure("doubts are given as text or json".to_owned())),
    }
    Ok(CLEAR)
}

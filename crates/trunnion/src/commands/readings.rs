//! `trunnion readings`

use std::io::Write;
use std::path::PathBuf;

use clap::ValueEnum;
use trunnion_report::readings::{page, sheets};

use crate::{CLEAR, Failure, load, show};

#[derive(clap::Args)]
pub struct Options {
    /// A file or folder with a conversion or a vehicle
    path: PathBuf,
    /// How to answer
    #[arg(long, value_enum, default_value = "text")]
    format: Format,
}

/// How readings are given.
#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    /// To be read by a person
    Text,
    /// One JSON object
    Json,
}

#[derive(serde::Serialize)]
struct Record {
    version: u32,
    sheets: Vec<trunnion_report::readings::Sheet>,
}

pub fn run(options: &Options, out: &mut Vec<u8>) -> Result<u8, Failure> {
    let loaded = load::load(std::slice::from_ref(&options.path))?;
    let sheets = sheets(&loaded.host, &loaded.asked);
    if sheets.is_empty() {
        let path = options.path.display();
        return Err(Failure(format!("no conversion and no vehicle in {path}; write `vehicle NAME {{ … }}`")));
    }
    match options.format {
        Format::Text => {
            for sheet in &sheets {
                out.extend(show::plain(&page(sheet)).bytes());
            }
        }
        Format::Json => {
            serde_json::to_writer_pretty(&mut *out, &Record { version: 1, sheets })?;
            writeln!(out)?;
        }
    }
    Ok(CLEAR)
}

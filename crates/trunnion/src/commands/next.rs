//! `trunnion next`

use std::path::PathBuf;

use clap::ValueEnum;
use trunnion_model::calc::{Outcome, calc};
use trunnion_plan::next::Asked;
use trunnion_report::next::{View, page, record, wholes};

use crate::{CLEAR, Failure, load, show};

#[derive(clap::Args)]
pub struct Options {
    /// A file or folder with a conversion
    path: PathBuf,
    /// How much time there is tonight, such as '2 h': says what can be done in it
    #[arg(long, value_name = "TIME")]
    time: Option<String>,
    /// How many people there are; without --time for an evening of 2 h
    #[arg(long, value_name = "COUNT", value_parser = clap::value_parser!(u32).range(1..=99))]
    hands: Option<u32>,
    /// How much of a day is worked
    #[arg(long, value_name = "TIME", default_value = "8 h")]
    day: String,
    /// Show everything, not only the first lines of each section
    #[arg(long)]
    all: bool,
    /// How to answer
    #[arg(long, value_enum, default_value = "text")]
    format: Written,
}

/// How the page is given.
#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Written {
    /// To be read by a person
    Text,
    /// One JSON list with a page for each conversion
    Json,
}

pub fn run(options: &Options, out: &mut Vec<u8>) -> Result<u8, Failure> {
    let day = minutes("--day", &options.day)?;
    if !(1..=24 * 60).contains(&day) {
        return Err(Failure(format!(
            "--day is more than nothing and at most 24 h; `{}` is not",
            options.day
        )));
    }
    let time = options.time.as_deref().map(|it| minutes("--time", it)).transpose()?;
    let asked = Asked { day, time, hands: options.hands };
    let loaded = load::load(std::slice::from_ref(&options.path))?;
    let wholes = wholes(&loaded.host, &loaded.asked, &asked);
    if wholes.is_empty() {
        return Err(Failure(format!(
            "no conversion in {}; write `conversion NAME {{ recipient VEHICLE … }}`",
            options.path.display()
        )));
    }
    match options.format {
        Written::Text => {
            let view = if options.all { View::All } else { View::Short };
            for (_, whole) in &wholes {
                out.extend(show::plain(&page(&loaded.host, whole, view)).bytes());
            }
        }
        Written::Json => {
            let records: Vec<_> = wholes.iter().map(|(_, it)| record(&loaded.host, it)).collect();
            serde_json::to_writer_pretty(&mut *out, &records)?;
            out.push(b'\n');
        }
    }
    Ok(CLEAR)
}

/// Whole minutes of a time as it is written anywhere: `2 h`, `90 min`, `2h`.
fn minutes(option: &str, written: &str) -> Result<u64, Failure> {
    let time = match calc(written).map(|it| it.result) {
        Ok(Outcome::Quantity { value, .. }) => value.in_unit("min"),
        _ => None,
    };
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    match time {
        Some(it) if (0.0..5_256_000.0).contains(&it) => Ok(it.floor() as u64),
        _ => Err(Failure(format!("{option} wants a time such as '2 h' or '90 min'; `{written}` is none"))),
    }
}

//! `trunnion next`

use std::path::PathBuf;

use crate::{CLEAR, Failure, load, show};

#[derive(clap::Args)]
pub struct Options {
    /// A file or folder with a conversion
    path: PathBuf,
}

pub fn run(options: &Options, out: &mut Vec<u8>) -> Result<u8, Failure> {
    let loaded = load::load(std::slice::from_ref(&options.path))?;
    let pages = trunnion_report::next::pages(&loaded.host, &loaded.asked);
    if pages.is_empty() {
        return Err(Failure(format!(
            "no conversion in {}; write `conversion NAME {{ recipient VEHICLE … }}`",
            options.path.display()
        )));
    }
    for page in pages {
        out.extend(show::plain(&page).bytes());
    }
    Ok(CLEAR)
}

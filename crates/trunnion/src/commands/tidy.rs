//! `trunnion tidy`

use std::io::{Read, Write};
use std::path::PathBuf;

use crate::{CLASH, CLEAR, Failure, load, write};

#[derive(clap::Args)]
pub struct Options {
    /// Files or folders; `-` reads standard input
    paths: Vec<PathBuf>,
    /// Change nothing; list the files that are laid out otherwise
    #[arg(long)]
    check: bool,
}

pub fn run(options: &Options, out: &mut Vec<u8>) -> Result<u8, Failure> {
    if options.paths.iter().any(|it| it.as_os_str() == "-") {
        let mut text = String::new();
        std::io::stdin().read_to_string(&mut text)?;
        out.extend(trunnion_syntax::layout::tidy(&text).bytes());
        return Ok(CLEAR);
    }
    let loaded = load::load(&options.paths)?;
    let mut changed = 0;
    for name in &loaded.asked {
        if loaded.unreadable.contains_key(name) {
            writeln!(out, "{name}: left as it is, it cannot be read")?;
            continue;
        }
        let Some(text) = loaded.host.text(name) else { continue };
        let tidied = trunnion_syntax::layout::tidy(text);
        if *tidied == **text {
            continue;
        }
        changed += 1;
        writeln!(out, "{name}")?;
        if !options.check {
            let path = loaded.root.join(name);
            write::whole(&path, &tidied)
                .map_err(|it| Failure(format!("cannot write `{}`: {it}", path.display())))?;
        }
    }
    Ok(if options.check && changed > 0 { CLASH } else { CLEAR })
}

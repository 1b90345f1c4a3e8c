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
        if options.paths.len() > 1 {
            return Err(Failure("`-` reads standard input; give no other path with it".to_owned()));
        }
        return standard_input(options.check, out);
    }
    let loaded = load::load(&options.paths)?;
    let (mut changed, mut unreadable) = (0, 0);
    for name in &loaded.asked {
        if !loaded.is_readable(name) {
            unreadable += 1;
            writeln!(out, "{name}: left as it is, it cannot be read")?;
            continue;
        }
        let Some(text) = loaded.host.text(name) else {
            continue;
        };
        let tidied = trunnion_syntax::layout::tidy(text);
        if *tidied == **text {
            continue;
        }
        changed += 1;
        writeln!(out, "{name}")?;
        if !options.check {
            let path = loaded.file(name);
            write::whole(&path, &tidied)
                .map_err(|it| Failure(format!("cannot write `{}`: {it}", path.display())))?;
        }
    }
    Ok(if options.check && changed > 0 || unreadable > 0 { CLASH } else { CLEAR })
}

fn standard_input(check: bool, out: &mut Vec<u8>) -> Result<u8, Failure> {
    let mut text = String::new();
    std::io::stdin()
        .read_to_string(&mut text)
        .map_err(|it| Failure(format!("cannot read standard input: {it}")))?;
    let tidied = trunnion_syntax::layout::tidy(&text);
    if !check {
        out.extend(tidied.bytes());
        return Ok(CLEAR);
    }
    if tidied == text {
        return Ok(CLEAR);
    }
    writeln!(out, "standard input")?;
    Ok(CLASH)
}

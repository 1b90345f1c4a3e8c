//! The yardstick: how long lexing, parsing, a cold check and a keystroke take, at 1,000,
//! 10,000 and 100,000 lines, with the growth between them.
//!
//! `cargo run --release -p trunnion-tests --bin yardstick`; with `dates` or `plan`
//! behind it only the table of build dates, or a plan.
#![allow(clippy::print_stdout, reason = "printing is what it is for")]

mod plan;

use std::time::{Duration, Instant};

use trunnion_check::run::{check_workspace, verdicts_of};
use trunnion_model::db::Host;
use trunnion_plan::conversions;
use trunnion_plan::dates::dates;
use trunnion_syntax::{chunk, parse, token};
use trunnion_tests::change_overs::{Options, specification};
use trunnion_tests::generated::{Workspace, workspace};

fn main() {
    let only = std::env::args().nth(1);
    if only.is_none() {
        sizes();
    }
    if only.as_deref() != Some("dates") {
        plan::measure();
    }
    if only.as_deref() == Some("plan") {
        return;
    }
    println!(
        "\nthe table of build dates over 200 change-overs, and what one full check of the same file takes:"
    );
    for options in [Options::Values(6), Options::Pairs(3), Options::Pairs(6)] {
        change_overs(options);
    }
}

/// Made workspaces of three sizes.
fn sizes() {
    println!(
        "{:>8} {:>7} {:>9} {:>9} {:>7} {:>10} {:>7} {:>11} {:>11} {:>9}",
        "lines", "files", "lex", "parse", "/lex", "cold", "/lex", "key median", "key 99 %", "verdicts"
    );
    let mut rows = Vec::new();
    for lines in [1_000, 10_000, 100_000] {
        let made = workspace(lines);
        rows.push(measure(&made));
    }
    println!("\ngrowth for ten times the lines (cold check, median keystroke):");
    for pair in rows.windows(2) {
        println!("  {:.1} ×, {:.2} ×", ratio(pair[1].0, pair[0].0), ratio(pair[1].1, pair[0].1));
    }
}

/// How long a table takes over 200 change-over dates, and how many spans had to be checked for it.
fn change_overs(options: Options) {
    let text = specification(200, options);
    let mut host = Host::new();
    host.set_file("made.trunnion", &text);
    let id = conversions(&host, &["made.trunnion".to_owned()])[0];
    let once = best(|| {
        let mut host = Host::new();
        host.set_file("made.trunnion", &text);
        check_workspace(host.db(), host.workspace()).len()
    });
    let mut spans = 0;
    let start = Instant::now();
    let table = dates(&mut host, id, |_, of| {
        spans = of;
        start.elapsed() < Duration::from_secs(60)
    });
    let took = start.elapsed();
    let rows = table.map_or(0, |it| it.rows.len());
    println!(
        "  {options:?}: {took:.2?} for {spans} spans in {rows} rows, {:.1} × one check of {once:.2?}",
        ratio(took, once)
    );
}

fn ratio(a: Duration, b: Duration) -> f64 {
    a.as_secs_f64() / b.as_secs_f64()
}

/// The shortest of several runs.
fn best<T>(mut run: impl FnMut() -> T) -> Duration {
    let once = |run: &mut dyn FnMut() -> T| {
        let start = Instant::now();
        std::hint::black_box(run());
        start.elapsed()
    };
    (0..5).map(|_| once(&mut run)).min().unwrap_or_default()
}

fn measure(made: &Workspace) -> (Duration, Duration) {
    let texts: Vec<&str> = made.files.iter().map(|it| it.1.as_str()).collect();
    let lines: usize = texts.iter().map(|it| it.lines().count()).sum();
    let lex = best(|| texts.iter().map(|it| token::tokens(it).len()).sum::<usize>());
    let parsing = best(|| {
        let chunks = texts.iter().flat_map(|text| {
            chunk::chunks(text)
                .into_iter()
                .map(|it| parse::parse(&text[it.start as usize..it.end as usize]).lines.len())
        });
        chunks.sum::<usize>()
    });
    let start = Instant::now();
    let mut host = Host::new();
    host.set_files(made.files.iter().map(|(path, text)| (path.as_str(), text.as_str())));
    let verdicts = check_workspace(host.db(), host.workspace()).len();
    let cold = start.elapsed();
    let mut keys = keystrokes(&mut host, made);
    keys.sort();
    let (median, high) = (keys[keys.len() / 2], keys[keys.len() * 99 / 100]);
    println!(
        "{lines:>8} {:>7} {:>9.2?} {:>9.2?} {:>6.1}× {:>10.2?} {:>6.1}× {:>11.2?} {:>11.2?} {verdicts:>9}",
        made.files.len(),
        lex,
        parsing,
        ratio(parsing, lex),
        cold,
        ratio(cold, lex),
        median,
        high,
    );
    (cold, median)
}

/// Changes one digit of a figure in a part, then another back, and asks for the verdicts of the
/// conversion that uses it.
fn keystrokes(host: &mut Host, made: &Workspace) -> Vec<Duration> {
    let (path, text) = &made.files[made.edited];
    let mut times = Vec::new();
    for nth in 0..400 {
        let typed = format!("{}{}", nth % 10, nth / 10 % 10);
        let new = text.replacen("mass 47 kg", &format!("mass 47.{typed} kg"), 1);
        let start = Instant::now();
        host.set_file(path, &new);
        for shown in &made.shown {
            if let Some(file) = host.file(shown) {
                std::hint::black_box(verdicts_of(host.db(), host.workspace(), file).len());
            }
        }
        times.push(start.elapsed());
    }
    times
}

//! The command line of Trunnion and its language server.

mod commands;
mod load;
mod server;
mod show;
mod write;

use std::ffi::OsString;
use std::io::Write;
use std::path::PathBuf;
use std::process::ExitCode;

use clap::{ColorChoice, CommandFactory, Parser, Subcommand, ValueEnum};

/// Checks vehicle conversion specifications.
#[derive(Parser)]
#[command(name = "trunnion", version, about, max_term_width = 100)]
struct Arguments {
    /// When to use colour; NO_COLOR is honoured
    #[arg(long, global = true, default_value = "auto")]
    color: ColorChoice,
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Give verdicts with their reasons
    Check(commands::check::Options),
    /// Say what to do now: the chain of places that change, what to ask, what to measure
    Next(commands::next::Options),
    /// Say what has to change, pick the parts, lay the wires; or say why it cannot be
    Plan(commands::plan::Options),
    /// Say what a meter will read at each cavity, in each key state
    Readings(commands::readings::Options),
    /// Say for which build dates and options a conversion works, and what changes between them
    Dates(commands::dates::Options),
    /// Rank the claims that are not measured by what hangs on them
    Doubts(commands::doubts::Options),
    /// Bring files into the one layout
    Tidy(commands::tidy::Options),
    /// Work out an expression with units and handbook functions, with its formula and sources
    Calc(commands::calc::Options),
    /// Say what a check decides, or what a kind, a measure or a handbook function is
    Explain(commands::explain::Options),
    /// Write a small specification to start from
    New {
        /// The folder to make
        dir: PathBuf,
    },
    /// Serve an editor over standard input and output
    Lsp {
        /// What many clients add; there is no other way to be served
        #[arg(long, hide = true)]
        stdio: bool,
    },
    /// Print completions for a shell
    Completions {
        /// The shell
        shell: clap_complete::Shell,
    },
    /// Print the manual page
    Man,
}

/// How an answer is given.
#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    /// To be read by a person
    Text,
    /// One JSON object
    Json,
    /// SARIF 2.1.0
    Sarif,
}

/// Nothing clashes.
const CLEAR: u8 = 0;
/// Something clashes, or a point is open that may not be.
const CLASH: u8 = 1;
/// It could not run.
const FAILED: u8 = 2;

/// What a command could not do, as a sentence for the user.
struct Failure(String);

impl<T: std::fmt::Display> From<T> for Failure {
    fn from(error: T) -> Self {
        Self(error.to_string())
    }
}

/// Runs the program with these arguments, on the real standard output.
pub fn main_with(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    let arguments = match Arguments::try_parse_from(arguments) {
        Ok(it) => it,
        Err(error) => {
            let _ = error.print();
            return ExitCode::from(if error.use_stderr() { FAILED } else { CLEAR });
        }
    };
    let choice = match arguments.color {
        ColorChoice::Always => anstream::ColorChoice::Always,
        ColorChoice::Never => anstream::ColorChoice::Never,
        ColorChoice::Auto => anstream::ColorChoice::Auto,
    };
    let colour = match choice {
        anstream::ColorChoice::Auto => {
            anstream::AutoStream::choice(&std::io::stdout()) != anstream::ColorChoice::Never
        }
        other => other == anstream::ColorChoice::Always,
    };
    let mut buffer = Vec::new();
    let result = run(arguments.command, &mut buffer, colour);
    // Without colour the bytes go out as they are: `tidy -` must lose none of them.
    let mut out: Box<dyn Write> = match colour {
        true => Box::new(anstream::AutoStream::new(std::io::stdout().lock(), choice)),
        false => Box::new(std::io::stdout().lock()),
    };
    // A reader that went away is no failure of ours.
    let _ = out.write_all(&buffer).and_then(|()| out.flush());
    match result {
        Ok(code) => ExitCode::from(code),
        Err(Failure(why)) => {
            let _ = writeln!(std::io::stderr(), "trunnion: {why}");
            ExitCode::from(FAILED)
        }
    }
}

fn run(command: Command, out: &mut Vec<u8>, colour: bool) -> Result<u8, Failure> {
    match command {
        Command::Check(options) => commands::check::run(&options, out, colour),
        Command::Next(options) => commands::next::run(&options, out),
        Command::Plan(options) => commands::plan::run(&options, out),
        Command::Readings(options) => commands::readings::run(&options, out),
        Command::Dates(options) => commands::dates::run(&options, out),
        Command::Doubts(options) => commands::doubts::run(&options, out),
        Command::Tidy(options) => commands::tidy::run(&options, out),
        Command::Calc(options) => commands::calc::run(&options, out),
        Command::Explain(options) => commands::explain::run(&options, out),
        Command::New { dir } => commands::new::run(&dir, out),
        Command::Lsp { .. } => server::run(),
        Command::Completions { shell } => {
            clap_complete::generate(shell, &mut Arguments::command(), "trunnion", out);
            Ok(CLEAR)
        }
        Command::Man => {
            clap_mangen::Man::new(Arguments::command()).render(out)?;
            Ok(CLEAR)
        }
    }
}

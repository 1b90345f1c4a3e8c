//! `trunnion calc`

use trunnion_model::calc::calc;

use crate::{CLEAR, FAILED, Failure, show};

#[derive(clap::Args)]
pub struct Options {
    /// What is to be worked out: figures with units, + - * /, comparisons, handbook functions;
    /// `in UNIT` at the end shows the result in that unit. None lists the functions
    #[arg(value_name = "EXPR", allow_hyphen_values = true)]
    expression: Option<String>,
    /// The rest, where it is written without quotes
    #[arg(hide = true)]
    rest: Vec<String>,
    /// How to answer
    #[arg(long, value_enum, default_value = "text")]
    format: Written,
}

/// How an answer is given.
#[derive(Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum Written {
    /// To be read by a person
    Text,
    /// One JSON object
    Json,
}

pub fn run(options: &Options, out: &mut Vec<u8>) -> Result<u8, Failure> {
    let Some(expression) = &options.expression else {
        match options.format {
            Written::Text => show::calc::functions(out)?,
            Written::Json => show::calc::functions_json(out)?,
        }
        return Ok(CLEAR);
    };
    let words = std::iter::once(expression).chain(&options.rest);
    let written = words.map(String::as_str).collect::<Vec<_>>().join(" ");
    match (calc(&written), options.format) {
        (Ok(answer), Written::Text) => show::calc::answer(out, &answer)?,
        (Ok(answer), Written::Json) => show::calc::answer_json(out, &written, &answer)?,
        (Err(trouble), Written::Text) => return Err(Failure(show::calc::trouble(&written, &trouble))),
        (Err(trouble), Written::Json) => {
            show::calc::trouble_json(out, &written, &trouble)?;
            return Ok(FAILED);
        }
    }
    Ok(CLEAR)
}

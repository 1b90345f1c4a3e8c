//! What the calculator answers: to a person, as JSON.

use std::io::Write;

use serde::Serialize;
use trunnion_handbook::quantity::Quantity;
use trunnion_handbook::registry::Function;
use trunnion_model::calc::{Answer, Outcome, Trouble};
use trunnion_model::worth::{Truth, signature};
use trunnion_report::handbook::{caution, example, groups, source};

use crate::Failure;

use super::plain;

/// The longest expression, in letters, under which a place is pointed out.
const WIDEST: usize = 160;

/// Every function by group: a call that can be typed, and what it gives.
pub fn functions(out: &mut Vec<u8>) -> Result<(), Failure> {
    for (group, all) in groups() {
        writeln!(out, "{group}")?;
        for it in all {
            writeln!(out, "  {:<58}  {}", example(it), it.title)?;
        }
        writeln!(out)?;
    }
    writeln!(
        out,
        "Put a call in quotes: trunnion calc 'can_bus_length(500 kbit/s)'    trunnion explain NAME says more."
    )?;
    Ok(())
}

/// Whether it holds, in words.
fn holds(truth: Truth) -> &'static str {
    match truth {
        Truth::Yes => "It holds.",
        Truth::No => "It does not hold.",
        Truth::Open => "It cannot be told: what is given leaves both possible.",
    }
}

/// An answer with its arithmetic and its sources.
pub fn answer(out: &mut Vec<u8>, it: &Answer) -> Result<(), Failure> {
    let result = match &it.result {
        Outcome::Quantity { text, .. } => text.clone(),
        Outcome::Word(it) => it.clone(),
        Outcome::Truth(it) => holds(*it).to_owned(),
    };
    let mut text = format!("{result}\n");
    for formula in &it.formula {
        text.push_str(&format!("  {formula}\n"));
    }
    if let Some(margin) = &it.margin {
        text.push_str(&format!("  margin: {margin}\n"));
    }
    for step in &it.steps {
        text.push_str(&format!("\n{}: {}\n", step.function.name, step.function.title));
        text.push_str(&format!("  formula       {}\n", step.function.formula));
        text.push_str(&format!("  with numbers  {}\n", step.with_numbers));
        for it in step.function.sources {
            text.push_str(&format!("  source        {}\n", source(it)));
        }
        for it in step.function.assumes.iter().copied().chain(caution(step.function)) {
            text.push_str(&format!("  mind          {it}\n"));
        }
    }
    for note in &it.notes {
        text.push_str(&format!("\nNote: {note}\n"));
    }
    out.extend(plain(&text).bytes());
    Ok(())
}

/// Why there is no answer, with the place pointed out.
pub fn trouble(written: &str, it: &Trouble) -> String {
    let mut text = it.message.clone();
    if !text.ends_with(['.', '?', '!']) {
        text.push('.');
    }
    // Places count in bytes; a line end inside would part the marks from what they mark.
    let line: String = written.chars().map(|it| if it.is_control() { ' ' } else { it }).collect();
    let letters = |end: u32| written.get(..end as usize).map_or(0, |it| it.chars().count());
    let (start, end) = (letters(it.span.start), letters(it.span.end));
    let all = written.chars().count();
    if all > 0 && all <= WIDEST {
        let marks = "^".repeat((end - start.min(end)).max(1));
        text.push_str(&format!("\n  {line}\n  {}{marks}", " ".repeat(start)));
    }
    if let Some(hint) = &it.hint {
        text.push_str(&format!("\n  {hint}"));
    }
    for note in &it.notes {
        text.push_str(&format!("\n  note: {note}"));
    }
    plain(&text).into_owned()
}

#[derive(Serialize)]
struct Record<'a> {
    version: u32,
    expression: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    result: Option<Given>,
    formula: &'a [String],
    #[serde(skip_serializing_if = "Option::is_none")]
    margin: Option<&'a str>,
    steps: Vec<Worked<'a>>,
    notes: &'a [String],
    #[serde(skip_serializing_if = "Option::is_none")]
    error: Option<Wrong<'a>>,
}

/// A figure, a word, or whether something holds.
#[derive(Serialize)]
struct Given {
    text: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    figure: Option<Figure>,
    #[serde(skip_serializing_if = "Option::is_none")]
    holds: Option<&'static str>,
}

/// Least, nominal and most, in the unit; in SI where none is named.
#[derive(Serialize)]
struct Figure {
    least: f64,
    nominal: f64,
    most: f64,
    unit: &'static str,
}

#[derive(Serialize)]
struct Worked<'a> {
    function: &'a str,
    title: &'a str,
    formula: &'a str,
    with_numbers: &'a str,
    sources: Vec<Origin<'a>>,
    assumes: Vec<&'a str>,
}

#[derive(Serialize)]
struct Origin<'a> {
    document: &'a str,
    edition: &'a str,
    clause: &'a str,
    standing: String,
}

#[derive(Serialize)]
struct Wrong<'a> {
    message: &'a str,
    /// The first byte of the place in the expression.
    start: u32,
    /// One past its last byte.
    end: u32,
    #[serde(skip_serializing_if = "Option::is_none")]
    hint: Option<&'a str>,
}

fn write_json(out: &mut Vec<u8>, record: &impl Serialize) -> Result<(), Failure> {
    serde_json::to_writer_pretty(&mut *out, record)?;
    writeln!(out)?;
    Ok(())
}

/// An answer as one JSON object.
pub fn answer_json(out: &mut Vec<u8>, written: &str, it: &Answer) -> Result<(), Failure> {
    let result = match &it.result {
        Outcome::Quantity { value: it, text } => {
            let unit = shown_unit(it, text);
            let [least, nominal, most] = it.ends_in(unit).unwrap_or_else(|| [it.lo(), it.nominal(), it.hi()]);
            let figure = Figure { least, nominal, most, unit };
            Given { text: text.clone(), figure: Some(figure), holds: None }
        }
        Outcome::Word(it) => Given { text: it.clone(), figure: None, holds: None },
        Outcome::Truth(it) => {
            let word = match it {
                Truth::Yes => "yes",
                Truth::No => "no",
                Truth::Open => "open",
            };
            Given { text: holds(*it).to_owned(), figure: None, holds: Some(word) }
        }
    };
    let record = Record {
        version: 1,
        expression: written,
        result: Some(result),
        formula: &it.formula,
        margin: it.margin.as_deref(),
        steps: it.steps.iter().map(|it| worked(it.function, &it.with_numbers)).collect(),
        notes: &it.notes,
        error: None,
    };
    write_json(out, &record)
}

/// The unit a figure is shown in, its own or the one behind it in its text; empty for a plain number.
fn shown_unit(it: &Quantity, text: &str) -> &'static str {
    let last = text.rsplit(' ').next().unwrap_or_default();
    let behind = last.trim_start_matches(|it: char| it.is_ascii_digit() || it == '.');
    it.unit().or_else(|| trunnion_handbook::quantity::unit(behind)).map_or("", |it| it.symbol)
}

fn worked<'a>(function: &'a Function, with_numbers: &'a str) -> Worked<'a> {
    let origin = |it: &'a trunnion_handbook::registry::Source| Origin {
        document: it.document,
        edition: it.edition,
        clause: it.clause,
        standing: it.standing.to_string(),
    };
    Worked {
        function: function.name,
        title: function.title,
        formula: function.formula,
        with_numbers,
        sources: function.sources.iter().map(origin).collect(),
        assumes: function.assumes.iter().copied().chain(caution(function)).collect(),
    }
}

/// Why there is no answer, as one JSON object.
pub fn trouble_json(out: &mut Vec<u8>, written: &str, it: &Trouble) -> Result<(), Failure> {
    let error =
        Wrong { message: &it.message, start: it.span.start, end: it.span.end, hint: it.hint.as_deref() };
    let record = Record {
        version: 1,
        expression: written,
        result: None,
        formula: &[],
        margin: None,
        steps: Vec::new(),
        notes: &it.notes,
        error: Some(error),
    };
    write_json(out, &record)
}

#[derive(Serialize)]
struct Listed {
    name: &'static str,
    group: &'static str,
    title: &'static str,
    call: String,
    example: &'static str,
}

/// The functions as one JSON list.
pub fn functions_json(out: &mut Vec<u8>) -> Result<(), Failure> {
    let listed = |it: &'static Function| Listed {
        name: it.name,
        group: it.section,
        title: it.title,
        call: signature(it),
        example: it.example,
    };
    let all: Vec<Listed> = groups().into_iter().flat_map(|it| it.1).map(listed).collect();
    write_json(out, &all)
}

#[cfg(test)]
mod tests {
    use super::*;
    use trunnion_model::calc::calc;

    fn told(written: &str) -> String {
        trouble(written, &calc(written).expect_err(written))
    }

    #[test]
    fn the_place_is_pointed_out() {
        assert_eq!(told("1 m + 12 V"), "adding V (voltage) to m (length).\n  1 m + 12 V\n  ^^^^^^^^^^");
        assert_eq!(
            told("2 Ω * road_sped(1)"),
            "there is no handbook function `road_sped`.\n  2 Ω * road_sped(1)\n        ^^^^^^^^^\n  `road_speed` is one"
        );
        assert_eq!(told(""), "nothing is written to be worked out.");
        assert!(told("1\n+\u{1b}[2J").lines().all(|it| !it.contains('\u{1b}')));
        let long = format!("{} + 1 V", vec!["1 m"; 60].join(" + "));
        assert!(!told(&long).contains('^'));
    }
}

//! The reference pages, made from the registry.

use std::fmt::Write;

use crate::functions::{self, FUNCTIONS};
use crate::quantity::Quantity;
use crate::registry::{Argument, Function, Parameter, Standing};
use crate::{bundle, bus, colour, data, fit, stack, thread, tyre};

/// Tables outside the functions, with what stands behind each.
fn tables() -> impl Iterator<Item = crate::registry::Source> {
    let stated = [
        fit::SOURCES,
        thread::SOURCES,
        tyre::SOURCES,
        stack::SOURCES,
        bundle::SOURCES,
        colour::SOURCES,
        bus::SOURCES,
    ];
    data::ALL.iter().map(|it| it.source()).chain(stated.into_iter().flatten().copied())
}

/// The whole reference in Markdown: every function by section, then the values from memory.
pub fn reference_markdown() -> String {
    let mut out = String::from("# Handbook\n\nEvery function, its formula and its source.\n");
    let mut section = "";
    for function in FUNCTIONS {
        if function.section != section {
            section = function.section;
            let _ = write!(out, "\n## {section}\n");
        }
        page(&mut out, function);
    }
    out.push_str("\n## Tables\n\n");
    for source in tables() {
        let _ = writeln!(out, "- {source}");
    }
    out.push('\n');
    out.push_str(&from_memory_markdown());
    out
}

/// The page that lists whatever nobody has held against its document yet.
pub fn from_memory_markdown() -> String {
    let mut out = String::from(
        "# Values from memory, unverified\n\n\
         These were set down without the document at hand. Check each against it before it \
         carries weight.\n\n",
    );
    let weak = |it: &crate::registry::Source| it.standing == Standing::FromMemory;
    for function in FUNCTIONS {
        for source in function.sources.iter().filter(|it| weak(it)) {
            let _ = writeln!(out, "- `{}`: {source}", function.name);
        }
    }
    for source in tables().filter(weak) {
        let _ = writeln!(out, "- {source}");
    }
    out
}

// Writing to a `String` cannot fail, so the results are dropped here and above.
fn page(out: &mut String, function: &Function) {
    let about = functions::page(function.name).unwrap_or_default();
    let _ = write!(out, "\n### {}\n\n`{}`\n\n{about}\n\n", function.title, function.name);
    let _ = write!(out, "    {}\n\n", function.formula);
    let _ = writeln!(out, "| value | unit | may be | meaning |\n|---|---|---|---|");
    for it in function.parameters {
        let unit = if it.unit.is_empty() { "–" } else { it.unit };
        let _ = writeln!(out, "| {} | {unit} | {} | {} |", it.name, it.limits, it.meaning);
    }
    let unit = if function.outcome.unit.is_empty() { "–" } else { function.outcome.unit };
    let _ = writeln!(out, "| **result** | {unit} | | {} |\n", function.outcome.meaning);
    for it in function.assumes {
        let _ = writeln!(out, "- {it}");
    }
    for it in function.sources {
        let _ = writeln!(out, "- Source: {it}.");
    }
    let _ = write!(out, "\nExample: `{}`\n", function.example);
}

/// Reads "3000 rpm", "3.65 to 3.72", "20 mm ± 0.1 mm" or "0.88", as examples are written.
pub fn read(text: &str) -> Option<Quantity> {
    let one = |text: &str| {
        let text = text.trim();
        let end = text.find(|it: char| !(it.is_ascii_digit() || ".-".contains(it)));
        let (figure, symbol) = text.split_at(end.unwrap_or(text.len()));
        Quantity::exact(figure.parse().ok()?, symbol.trim()).ok()
    };
    if let Some((nominal, tolerance)) = text.split_once('±') {
        return one(nominal)?.plus_minus(&one(tolerance)?).ok();
    }
    let Some((from, to)) = text.split_once(" to ") else {
        return one(text);
    };
    let to = one(to)?;
    let symbol = to.unit().map_or("", |it| it.symbol);
    let from = one(&format!("{from} {symbol}"))?;
    Quantity::between(&from, &to).ok()
}

/// Reads what a parameter takes: a word as it stands, or a quantity.
pub fn read_for<'a>(parameter: &Parameter, text: &'a str) -> Option<Argument<'a>> {
    match parameter.takes_word() {
        true => Some(Argument::Word(text.trim())),
        false => read(text).map(Argument::Quantity),
    }
}

/// The call in an example, and what it says comes out.
#[cfg(test)]
fn example(function: &Function) -> (Vec<Argument<'static>>, &'static str) {
    let (call, result) = function.example.split_once(" = ").expect("an example has a result");
    let inside = call.strip_prefix(function.name).and_then(|it| it.strip_prefix('('));
    let inside = inside.and_then(|it| it.strip_suffix(')')).expect("an example is a call");
    let one = |(at, it)| read_for(function.parameter(at), it).unwrap_or_else(|| panic!("{it}"));
    (inside.split(", ").enumerate().map(one).collect(), result)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::HashSet;

    #[test]
    fn every_example_is_true() {
        let mut wrong = Vec::new();
        for function in FUNCTIONS {
            let (arguments, result) = example(function);
            let made = function.call_with(&arguments).unwrap_or_else(|it| panic!("{}: {it}", function.name));
            if made.value.display() != result {
                wrong.push((function.name, made.value.display(), result));
            }
            assert!(made.with_numbers.contains(" = "), "{}", function.name);
        }
        assert_eq!(wrong, []);
    }

    #[test]
    fn every_function_is_whole_and_named_once() {
        let mut seen = HashSet::new();
        for it in FUNCTIONS {
            assert!(seen.insert(it.name), "{} twice", it.name);
            let named = [it.title, it.section, it.formula, it.outcome.meaning];
            assert!(named.iter().all(|text| !text.is_empty()), "{}", it.name);
            assert!(!it.sources.is_empty(), "{}", it.name);
            for parameter in it.parameters {
                let known = parameter.unit.is_empty() || crate::unit(parameter.unit).is_some();
                assert!(known && !parameter.meaning.is_empty(), "{} {}", it.name, parameter.name);
                assert!(it.formula.contains(parameter.name), "{} {}", it.name, parameter.name);
            }
        }
    }

    #[test]
    fn no_argument_makes_a_function_panic() {
        let bad = ["0", "-1", "1000000", "0 V", "-5 mm", "20 °C", "1 EUR", "-1000000 to 1000000"];
        let words = ["", " ", "é", "M0", "M-1x2", "H99", "0/0 R0", "NaN", "-", "99999999999999999999"];
        for function in FUNCTIONS {
            let (good, _) = example(function);
            for at in 0..good.len() {
                let symbol = function.parameter(at).unit;
                let figures = [0.0, -1.0, 1e-300, 1e-9, 1e9, 1e300, -1e300];
                let figures = figures.into_iter().filter_map(|it| Quantity::exact(it, symbol).ok());
                let quantities = bad.iter().filter_map(|it| read(it)).chain(figures);
                let all = quantities.map(Argument::Quantity).chain(words.map(Argument::Word));
                for argument in all {
                    let mut arguments = good.clone();
                    arguments[at] = argument;
                    if let Ok(made) = function.call_with(&arguments) {
                        assert!(made.value.hi().is_finite() && made.value.lo().is_finite());
                    }
                }
            }
            assert!(function.call(&[]).is_err(), "{}", function.name);
        }
    }

    /// A range in every argument holds the nominal result, and the results at its ends.
    #[test]
    fn ranges_hold_their_ends() {
        for function in FUNCTIONS {
            let (good, _) = example(function);
            let nominal = function.call_with(&good).expect("the example works").value.nominal();
            for at in 0..good.len() {
                let Some(given) = good[at].quantity() else {
                    continue;
                };
                let (lo, hi) = (given.nominal(), given.nominal() * 1.001);
                let Ok(wide) = Quantity::si_range(lo, lo, hi, given.dimension()) else {
                    continue;
                };
                let Ok(end) = Quantity::si(hi, given.dimension()) else {
                    continue;
                };
                let with = |it: Quantity| {
                    let mut arguments = good.clone();
                    arguments[at] = Argument::Quantity(it);
                    function.call_with(&arguments)
                };
                let (Ok(made), Ok(end)) = (with(wide), with(end)) else {
                    continue;
                };
                for value in [nominal, end.value.nominal()] {
                    let slack = 1e-9 * value.abs();
                    let held = made.value.lo() - slack <= value && value <= made.value.hi() + slack;
                    assert!(held, "{} in {}", function.name, function.parameter(at).name);
                }
            }
        }
    }

    #[test]
    fn the_reference_names_every_function() {
        let text = reference_markdown();
        for function in FUNCTIONS {
            assert!(text.contains(&format!("`{}`", function.name)), "{}", function.name);
        }
        assert!(text.contains("# Values from memory, unverified"));
        let listed = text.matches("(from memory, unverified)").count();
        let weak = FUNCTIONS.iter().flat_map(|it| it.sources).copied().chain(tables());
        let weak = weak.filter(|it| it.standing == Standing::FromMemory).count();
        // Each once on its own page and once in the list.
        assert_eq!(listed, 2 * weak);
    }

    #[test]
    fn a_stated_figure_is_read_back_the_same() {
        for unit in crate::units() {
            for figure in [1.0, 2.0, 7.0, 12.0, 0.35, 1420.0, 273.15, -3.0, 123_456.75] {
                let Ok(stated) = Quantity::exact(figure, unit.symbol) else {
                    continue;
                };
                assert_eq!(read(&stated.display()), Some(stated), "{stated}");
            }
        }
    }

    #[test]
    fn quantities_are_read_as_written() {
        assert_eq!(read("3.65 to 3.72").unwrap().display(), "3.65 to 3.72");
        assert_eq!(read("20 mm ± 0.1 mm").unwrap().display(), "20 mm ± 0.1 mm");
        assert_eq!(read("0.5 mm2").unwrap().display(), "0.5 mm²");
        assert!(read("much").is_none());
    }
}

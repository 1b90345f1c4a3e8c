//! The reference pages, made from the registry.

use std::fmt::Write;

use crate::functions::{self, FUNCTIONS};
use crate::quantity::Quantity;
use crate::registry::{Argument, Function, Parameter, Standing};
use crate::{bundle, bus, colour, data, fit, stack, thread, tyre};

/// What stands behind the stored tables and the formulas outside the functions.
fn behind() -> impl Iterator<Item = crate::registry::Source> {
    let stated = [
        fit::SOURCES,
        thread::SOURCES,
        tyre::SOURCES,
        stack::SOURCES,
        bundle::SOURCES,
        colour::SOURCES,
        bus::SOURCES,
    ];
    data::ALL.iter().flat_map(|it| it.sources()).chain(stated.into_iter().flatten().copied())
}

/// The groups of the reference, in its order, with what each is about.
const GROUPS: [(&str, &str); 12] = [
    ("fit", "Mating faces: fits, threads, bolts, splines, joints, wheels"),
    ("carry", "Who carries it: mounts and brackets"),
    ("drive", "From crank to road: ratios, tyres, clutch, converter, shafts"),
    ("mass", "Masses and axle loads"),
    ("brake", "Braking: balance, force, travel, parking"),
    ("lever", "Force and travel through levers and lines"),
    ("signal", "Pulses of sensors"),
    ("wire", "Wires and fuses"),
    ("energy", "Batteries, budgets and range"),
    ("bus", "Data buses"),
    ("volt", "High voltage"),
    ("heat", "Heat, fuel and air"),
];

/// The first page of the reference: every group with its functions.
pub fn reference_markdown() -> String {
    let mut out = String::from(
        "# Handbook\n\n\
         Every function, its formula and its source. Made from the code by a test; not to be edited here. \
         The language calls a function by its name, `trunnion calc` works it out, and `trunnion explain` \
         shows its page. What was set down from memory is listed in [from-memory.md](from-memory.md), the \
         stored tables in [handbook/tables.md](handbook/tables.md).\n",
    );
    for (group, about) in GROUPS {
        let _ = write!(
            out,
            "\n## [{group}](handbook/{group}.md)\n\n{about}.\n\n| function | gives |\n|---|---|\n"
        );
        for it in in_group(group) {
            let _ =
                writeln!(out, "| [{}](handbook/{group}.md#{}) | {} |", it.name, anchor(it.title), it.title);
        }
    }
    out
}

/// All pages of the reference, by their paths: the first page, one page a group, the tables, and the
/// values from memory.
pub fn reference_pages() -> Vec<(String, String)> {
    let mut pages = vec![
        ("handbook.md".to_owned(), reference_markdown()),
        ("handbook/tables.md".to_owned(), tables_markdown()),
        ("from-memory.md".to_owned(), from_memory_markdown()),
    ];
    for (group, about) in GROUPS {
        let mut out = format!("# Handbook: {group}\n\n{about}. Back to [all groups](../handbook.md).\n");
        for function in in_group(group) {
            page(&mut out, function);
        }
        pages.push((format!("handbook/{group}.md"), out));
    }
    pages
}

fn in_group(group: &str) -> impl Iterator<Item = &'static Function> {
    FUNCTIONS.iter().copied().filter(move |it| it.section == group)
}

/// The link target that a heading has.
fn anchor(title: &str) -> String {
    let kept = title.chars().filter(|it| it.is_alphanumeric() || " -_".contains(*it));
    kept.collect::<String>().to_lowercase().replace(' ', "-")
}

/// The stored tables and what stands behind them.
fn tables_markdown() -> String {
    let mut out = String::from(
        "# Handbook: tables\n\n\
         Kept as files in `crates/trunnion-handbook/src/data/`, each with its source at its head. Nothing is \
         extrapolated: what a table does not hold is refused.\n",
    );
    for it in data::ALL {
        let table = it.table();
        let head = |key| table.head(key).unwrap_or_default();
        let _ = write!(
            out,
            "\n## {}\n\n- Columns: {}.\n- Rows: {}.\n",
            it.name,
            head("columns"),
            table.rows().len(),
        );
        for source in it.sources() {
            let _ = writeln!(out, "- Source: {source}.");
        }
    }
    out
}

/// The page that lists whatever nobody has held against its document yet, each source once with the
/// functions that rest on it.
pub fn from_memory_markdown() -> String {
    let mut out = String::from(
        "# Values from memory, unverified\n\n\
         These were set down without the document at hand. Check each against it before it \
         carries weight.\n\n",
    );
    let mut weak: Vec<(crate::registry::Source, Vec<&str>)> = Vec::new();
    let mut add = |source: crate::registry::Source, user: Option<&'static str>| {
        if source.standing != Standing::FromMemory {
            return;
        }
        let at = weak.iter().position(|(it, _)| *it == source).unwrap_or_else(|| {
            weak.push((source, Vec::new()));
            weak.len() - 1
        });
        weak[at].1.extend(user);
    };
    for source in behind() {
        add(source, None);
    }
    for function in FUNCTIONS {
        for source in function.sources {
            add(*source, Some(function.name));
        }
    }
    for (source, users) in weak {
        let users: Vec<_> = users.iter().map(|it| format!("`{it}`")).collect();
        let used = if users.is_empty() { String::new() } else { format!(": {}", users.join(", ")) };
        let _ = writeln!(out, "- {source}{used}");
    }
    out
}

// Writing to a `String` cannot fail, so the results are dropped here and above.
fn page(out: &mut String, function: &Function) {
    let about = functions::page(function.name).unwrap_or_default();
    let _ = write!(out, "\n## {}\n\n`{}`\n\n{about}\n\n", function.title, function.name);
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
    use crate::registry::Limits;
    use proptest::prelude::*;
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

    /// Strategies for one argument: mostly of the right kind and size, at times beyond its limits.
    fn argument(parameter: &'static Parameter) -> BoxedStrategy<OwnedArgument> {
        if parameter.takes_word() {
            let free = "[ -~äßµ×²]{0,14}".prop_map(OwnedArgument::Word);
            let known: Vec<String> = match parameter.limits {
                Limits::Choice(known) => known.iter().map(|it| (*it).to_owned()).collect(),
                _ => [
                    "M10",
                    "M12x1.25",
                    "G1/4",
                    "1/2-13 UNC",
                    "H7",
                    "g6",
                    "js5",
                    "205/65 R16",
                    "195 R14",
                    "8@10",
                    "1@0.1",
                ]
                .map(str::to_owned)
                .into(),
            };
            let known = proptest::sample::select(known).prop_map(OwnedArgument::Word);
            return prop_oneof![3 => known, 1 => free].boxed();
        }
        let dimension = parameter.dimension();
        let (from, to) = match parameter.limits {
            Limits::Between(from, to) | Limits::Whole(from, to) => (from, to),
            _ => (1e-3, 1e5),
        };
        let symbol = parameter.unit;
        let whole = matches!(parameter.limits, Limits::Whole(..));
        let within = (from..=to, 0.0..0.3f64).prop_filter_map("a quantity", move |(figure, width)| {
            let figure = if whole { figure.round() } else { figure };
            let high = if whole { figure } else { figure + figure.abs() * width };
            Quantity::range(figure, high, symbol).ok()
        });
        let listed = match parameter.limits {
            Limits::OneOf(known) => proptest::sample::select(known.to_vec())
                .prop_filter_map("a quantity", move |it| Quantity::exact(it, symbol).ok())
                .boxed(),
            _ => within.boxed(),
        };
        let edge =
            proptest::sample::select(vec![0.0, -0.0, -1.0, 1e-300, 1e-30, 1e30, 1e300, -1e300, f64::MAX])
                .prop_filter_map("a quantity", move |it| Quantity::si(it, dimension).ok());
        let wide = (-1e9..1e9f64, 0.0..1e9f64).prop_filter_map("a quantity", move |(lo, width)| {
            Quantity::si_range(lo, lo + width / 3.0, lo + width, dimension).ok()
        });
        prop_oneof![12 => listed, 2 => edge, 1 => wide].prop_map(OwnedArgument::Quantity).boxed()
    }

    #[derive(Clone, Debug)]
    enum OwnedArgument {
        Quantity(Quantity),
        Word(String),
    }

    fn calls() -> impl Strategy<Value = (&'static Function, Vec<OwnedArgument>)> {
        (0..FUNCTIONS.len(), 0..5usize).prop_flat_map(|(at, more)| {
            let function = FUNCTIONS[at];
            let repeated = function.parameters.last().is_some_and(|it| it.repeated);
            let count = function.parameters.len() + if repeated { more } else { 0 };
            let arguments: Vec<_> = (0..count).map(|it| argument(function.parameter(it))).collect();
            (Just(function), arguments)
        })
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(8_000))]

        /// Whatever a function is called with, it neither panics nor gives what is not finite, and what it
        /// gives measures what it says, with its arithmetic.
        #[test]
        fn no_call_goes_astray((function, arguments) in calls()) {
            let arguments: Vec<Argument<'_>> = arguments
                .iter()
                .map(|it| match it {
                    OwnedArgument::Quantity(it) => Argument::Quantity(*it),
                    OwnedArgument::Word(it) => Argument::Word(it),
                })
                .collect();
            match function.call_with(&arguments) {
                Ok(made) => {
                    let [lo, nominal, hi] = [made.value.lo(), made.value.nominal(), made.value.hi()];
                    prop_assert!(lo.is_finite() && hi.is_finite() && lo <= nominal && nominal <= hi);
                    prop_assert_eq!(made.value.unit().map_or("", |it| it.symbol), function.outcome.unit);
                    prop_assert!(made.with_numbers.contains(&made.value.display()));
                }
                Err(why) => prop_assert!(!why.to_string().is_empty()),
            }
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
        let pages = reference_pages();
        let first = reference_markdown();
        for function in FUNCTIONS {
            let name = format!("`{}`", function.name);
            let holding = pages.iter().filter(|(_, text)| text.contains(&format!("\n\n{name}\n\n"))).count();
            assert_eq!(holding, 1, "{name} in one group");
            assert!(first.contains(&format!("[{}]", function.name)), "{name}");
            assert!(GROUPS.iter().any(|(group, _)| *group == function.section), "{name}");
        }
        for (group, _) in GROUPS {
            assert!(in_group(group).next().is_some(), "{group}");
        }
    }

    #[test]
    fn links_of_the_reference_lead_somewhere() {
        let pages = reference_pages();
        let mut titles = HashSet::new();
        for function in FUNCTIONS {
            assert!(titles.insert((function.section, anchor(function.title))), "{}", function.title);
        }
        for (_, text) in &pages {
            for link in text.split("](").skip(1).filter_map(|it| it.split(')').next()) {
                let path = link.split('#').next().unwrap().trim_start_matches("../");
                assert!(pages.iter().any(|(name, _)| name == path), "{link}");
            }
        }
    }

    #[test]
    fn what_rests_on_memory_is_listed_once() {
        let text = from_memory_markdown();
        let weak: HashSet<_> = FUNCTIONS
            .iter()
            .flat_map(|it| it.sources)
            .copied()
            .chain(behind())
            .filter(|it| it.standing == Standing::FromMemory)
            .collect();
        assert_eq!(text.matches("(from memory, unverified)").count(), weak.len());
        for it in weak {
            assert!(text.contains(&it.to_string()), "{it}");
        }
        for function in FUNCTIONS.iter().filter(|it| it.standing() == Standing::FromMemory) {
            assert!(text.contains(&format!("`{}`", function.name)), "{}", function.name);
        }
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

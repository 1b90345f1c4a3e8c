//! Pages about the handbook's functions, and the list of them by group.

use trunnion_check::list::CHECKS;
use trunnion_handbook::functions::{FUNCTIONS, page as about};
use trunnion_handbook::registry::{Function, Source, Standing, function};
use trunnion_model::calc::calc;

/// The functions by group, both in the order of the reference.
pub fn groups() -> Vec<(&'static str, Vec<&'static Function>)> {
    let mut groups: Vec<(&str, Vec<&Function>)> = Vec::new();
    for function in FUNCTIONS {
        match groups.iter_mut().find(|it| it.0 == function.section) {
            Some((_, all)) => all.push(function),
            None => groups.push((function.section, vec![function])),
        }
    }
    groups
}

/// The call of a function's example, without its result. Words that the language does not read as
/// they stand are put in quotes.
pub fn example(function: &Function) -> String {
    let plain = function.example.split_once(" = ").map_or(function.example, |it| it.0);
    let Some((name, values)) = plain.split_once('(').filter(|_| calc(plain).is_err()) else {
        return plain.to_owned();
    };
    let values = values.trim_end_matches(')').split(", ").enumerate();
    let quoted = |(at, it): (usize, &str)| match function.parameter(at).takes_word() {
        true => format!("\"{it}\""),
        false => it.to_owned(),
    };
    format!("{name}({})", values.map(quoted).collect::<Vec<_>>().join(", "))
}

/// A source with its standing, which is always said: published, common practice, from memory.
pub fn source(it: &Source) -> String {
    match it.standing {
        Standing::Published => format!("{it} (published)"),
        _ => it.to_string(),
    }
}

/// The standing caution of a function's group.
pub fn caution(function: &Function) -> Option<&'static str> {
    match function.section {
        "brake" => trunnion_model::verdict::caution("brakes"),
        "volt" => trunnion_model::verdict::caution("high_voltage"),
        _ => None,
    }
}

/// The checks whose file calls the function.
pub fn called_by(name: &str) -> Vec<&'static str> {
    let (called, named) = (format!("(\"{name}\""), format!("{name}::FUNCTION"));
    let calls = |source: &str| {
        let code = source.lines().filter(|it| !it.trim_start().starts_with("//"));
        let code: String = code.flat_map(str::chars).filter(|it| !it.is_whitespace()).collect();
        code.contains(&called) || code.contains(&named)
    };
    CHECKS.iter().filter(|it| calls(it.source)).map(|it| it.name).collect()
}

/// The page of a function, as Markdown.
pub fn page(name: &str) -> Option<String> {
    let it = function(&name.replace(' ', "_"))?;
    let mut page = format!("# {}\n\n{}. Group: {}.\n", it.name, it.title, it.section);
    if let Some(about) = about(it.name) {
        page.push_str(&format!("\n{about}\n"));
    }
    page.push_str(&format!("\n    {}\n\n", it.formula));
    page.push_str("| value | unit | may be | meaning |\n|---|---|---|---|\n");
    let unit = |it: &'static str| if it.is_empty() { "–" } else { it };
    for value in it.parameters {
        let more = if value.repeated { ", once or more" } else { "" };
        page.push_str(&format!(
            "| {} | {} | {}{more} | {} |\n",
            value.name,
            unit(value.unit),
            value.limits,
            value.meaning
        ));
    }
    page.push_str(&format!("| **result** | {} | | {} |\n", unit(it.outcome.unit), it.outcome.meaning));
    page.push_str(&format!("\n## An example\n\n    {}\n", it.example));
    if let Some(step) = calc(&example(it)).ok().and_then(|it| it.steps.into_iter().last()) {
        page.push_str(&format!("    {}\n", step.with_numbers));
    }
    if !it.assumes.is_empty() || caution(it).is_some() {
        page.push_str("\n## What it takes for granted, and cautions\n\n");
        for said in it.assumes.iter().copied().chain(caution(it)) {
            page.push_str(&format!("- {said}\n"));
        }
    }
    page.push_str("\n## Sources\n\n");
    for it in it.sources {
        page.push_str(&format!("- {}\n", source(it)));
    }
    let checks: Vec<String> = called_by(it.name).iter().map(|it| format!("`{it}`")).collect();
    page.push_str("\n## Called by\n\n");
    if !checks.is_empty() {
        page.push_str(&format!("- the checks {}\n", checks.join(", ")));
    }
    page.push_str(&format!("- `trunnion calc '{}'`\n- any `needs` or `when` that names it\n", example(it)));
    Some(page)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every example can be typed into the shell as it stands, and comes out as it says.
    #[test]
    fn every_example_is_worked_by_the_language() {
        for it in FUNCTIONS {
            let answer = calc(&example(it)).unwrap_or_else(|why| panic!("{}: {why:?}", it.name));
            let trunnion_model::calc::Outcome::Quantity { value, .. } = answer.result else {
                panic!("{}: no figure", it.name)
            };
            assert_eq!(format!("{} = {value}", example(it)).replace('"', ""), it.example);
            assert!(answer.notes.is_empty(), "{}: {:?}", it.name, answer.notes);
        }
    }

    #[test]
    fn every_page_has_its_parts() {
        for it in FUNCTIONS {
            let page = page(it.name).expect("a page");
            for part in [it.title, it.formula, it.example, "## Sources", "## Called by", "| **result** |"] {
                assert!(page.contains(part), "{part} of {}", it.name);
            }
            assert!(it.sources.iter().all(|it| page.contains(&it.standing.to_string())), "{}", it.name);
        }
        assert!(page("line pressure").is_some_and(|it| it.contains("proven only on the tester")));
        assert_eq!(page("no such thing"), None);
    }

    #[test]
    fn groups_hold_every_function_once() {
        let listed: usize = groups().iter().map(|it| it.1.len()).sum();
        assert_eq!(listed, FUNCTIONS.len());
    }

    #[test]
    fn a_check_that_calls_is_named_on_the_page() {
        assert!(called_by("clutch_torque_wear").contains(&"drive/clutch"));
        assert!(page("clutch_torque_wear").is_some_and(|it| it.contains("- the checks `drive/clutch`")));
        assert!(called_by("overall").is_empty(), "part of a name is no call");
    }
}

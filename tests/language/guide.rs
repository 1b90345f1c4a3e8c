//! The guide: every example can be read, and every answer shown is the real one.

use std::fs;

use trunnion_tests::loaded::root;

use crate::console;
use crate::fences::fences;
use crate::pages;
use crate::reading;
use crate::table::rows;

fn page() -> String {
    fs::read_to_string(root().join("grammar/guide.md")).expect("grammar/guide.md")
}

/// The context that a block names: `trunnion` alone is a whole file.
fn context(info: &str) -> Option<&str> {
    match info.strip_prefix("trunnion")? {
        "" => Some("file"),
        named => Some(named.trim()),
    }
}

#[test]
fn every_example_can_be_read() {
    let page = page();
    let (mut wrong, mut count) = (Vec::new(), 0);
    for fence in fences(&page) {
        let Some(context) = context(&fence.info) else { continue };
        count += 1;
        let found = reading::problems(context, &fence.text);
        wrong.extend(found.iter().map(|it| format!("block at line {}: {it}", fence.line)));
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
    assert!(count >= 30, "{count} examples");
}

#[test]
fn every_block_says_what_it_is() {
    const OTHER: [&str; 4] = ["console", "text", "sh", "yaml"];
    for fence in fences(&page()) {
        let known = OTHER.contains(&fence.info.as_str())
            || context(&fence.info).is_some_and(|it| reading::contexts().any(|known| known == it));
        assert!(known, "block at line {}: `{}`", fence.line, fence.info);
    }
}

#[test]
fn every_kind_of_statement_is_shown() {
    let page = page();
    let shown: String =
        fences(&page).iter().filter(|it| context(&it.info).is_some()).map(|it| it.text.as_str()).collect();
    let leads: Vec<&str> = ["file", "conversion", "part", "family", "kind", "vehicle", "work", "rule"]
        .into_iter()
        .flat_map(trunnion_syntax::form::forms)
        .filter_map(|it| it.lead())
        .collect();
    let word =
        |it: &&str| shown.split(|it: char| !(it.is_alphanumeric() || it == '_')).any(|word| word == *it);
    let missing: Vec<_> = leads.iter().filter(|it| !word(it)).collect();
    assert!(missing.is_empty(), "the guide shows no {missing:?}");
}

#[test]
fn every_answer_shown_is_the_real_one() {
    let page = page();
    let mut compared = 0;
    let mut mended = page.clone();
    for fence in fences(&page).iter().filter(|it| it.info == "console") {
        let (real, count) = console::compare(fence);
        compared += count;
        mended = mended.replace(&fence.text, &real);
    }
    assert!(compared >= 8, "{compared} answers compared");
    if mended != page && std::env::var_os("UPDATE_EXPECT").is_some() {
        pages::write("guide.md", &mended);
    } else {
        let differs = page.lines().zip(mended.lines()).find(|(there, real)| there != real);
        assert!(mended == page, "UPDATE_EXPECT=1 mends the first of what differs: {differs:?}");
    }
}

#[test]
fn what_is_mended_is_mended_so() {
    let page = page();
    let rows = rows(&page, &["you write", "it becomes", "is anything said?"]);
    assert!(rows.len() >= 12, "{} rows", rows.len());
    for row in rows {
        let quoted = |nth: usize| row.cells[nth].trim_matches('`').to_owned();
        let (becomes, said) = reading::mended("part", &quoted(0));
        assert_eq!(becomes, quoted(1), "line {}", row.line);
        assert_eq!(said, row.cells[2].starts_with("yes"), "line {}: {}", row.line, row.cells[2]);
        assert_eq!(
            reading::mended("part", &becomes),
            (becomes.clone(), false),
            "line {}: mended for good",
            row.line
        );
    }
}

#[test]
fn the_states_and_supplies_are_those_of_the_list() {
    use trunnion_model::states::{STATES, SUPPLIES};
    let page = page();
    let states = rows(&page, &["state", "is"]);
    let listed: Vec<(&str, &str)> = states.iter().map(|it| (&*it.cells[0], &*it.cells[1])).collect();
    assert_eq!(listed, STATES);
    let supplies = rows(&page, &["from", "is there in"]);
    let listed: Vec<(String, String)> =
        supplies.iter().map(|it| (it.cells[0].clone(), it.cells[1].clone())).collect();
    let wanted = SUPPLIES.iter().map(|(word, states)| {
        let all = states.len() == STATES.len();
        ((*word).to_owned(), if all { "every state".to_owned() } else { states.join(", ") })
    });
    assert_eq!(listed, wanted.collect::<Vec<_>>());
}

#[test]
fn links_lead_somewhere() {
    let page = page();
    for target in page.split("](").skip(1).filter_map(|it| it.split(')').next()) {
        let file = target.split('#').next().unwrap_or_default();
        let there = file.is_empty() || root().join("grammar").join(file).exists();
        assert!(there, "{target}");
    }
}

//! Everything that can be said of the writing has a page.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use trunnion_report::writing::TOLD;
use trunnion_tests::loaded::root;

/// The groups of names that are no checks.
const GROUPS: [&str; 6] = ["accept", "file", "name", "unit", "use", "write"];

/// The names in a text that look like one of those: a string that is just `group/word`.
fn names(text: &str) -> impl Iterator<Item = &str> {
    let quoted = text.split('"').skip(1);
    quoted.filter(|it| {
        let Some((group, word)) = it.split_once('/') else { return false };
        let plain = |it: char| it.is_ascii_lowercase() || it == '-';
        GROUPS.contains(&group) && !word.is_empty() && word.chars().all(plain)
    })
}

fn sources(folder: &Path, all: &mut Vec<String>) {
    for entry in fs::read_dir(folder).expect("readable") {
        let path = entry.expect("readable").path();
        if path.is_dir() {
            sources(&path, all);
        } else if path.extension().is_some_and(|it| it == "rs") && !path.ends_with("writing.rs") {
            let text = fs::read_to_string(&path).expect("readable");
            // Tests may name what does not exist.
            all.push(text.split("#[cfg(test)]\nmod ").next().unwrap_or_default().to_owned());
        }
    }
}

#[test]
fn every_name_made_in_the_code_has_a_page() {
    let mut all = Vec::new();
    for entry in fs::read_dir(root().join("crates")).expect("readable") {
        sources(&entry.expect("readable").path().join("src"), &mut all);
    }
    let made: BTreeSet<&str> = all.iter().flat_map(|it| names(it)).collect();
    let pages: BTreeSet<&str> = TOLD.iter().map(|it| it.name).collect();
    assert!(made.len() > 20, "{made:?}");
    assert_eq!(made.difference(&pages).collect::<Vec<_>>(), [] as [&&str; 0], "these have no page");
    assert_eq!(pages.difference(&made).collect::<Vec<_>>(), [] as [&&str; 0], "these are never said");
}

#[test]
fn names_are_strings_by_themselves() {
    let text = r#"tell("write/unit", "km/h", "a write/unit b", "unit/figure")"#;
    assert_eq!(names(text).collect::<Vec<_>>(), ["write/unit", "unit/figure"]);
}

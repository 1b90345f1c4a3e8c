//! Pages that are made from the code. `UPDATE_EXPECT=1 cargo test -p trunnion-tests` writes them.

use std::fmt::Write;
use std::fs;

use trunnion_check::list::CHECKS;
use trunnion_handbook::reference::reference_pages;
use trunnion_tests::loaded::root;

/// Writes a page of `grammar/` in one piece: other tests read it meanwhile.
pub fn write(name: &str, text: &str) {
    let path = root().join("grammar").join(name);
    if let Some(folder) = path.parent() {
        fs::create_dir_all(folder).expect("writable");
    }
    let part = path.with_extension("part");
    fs::write(&part, text).expect("writable");
    fs::rename(&part, &path).expect("writable");
}

/// Holds a page of `grammar/` to what it is made from, or writes it.
fn keep(name: &str, wanted: &str) {
    let path = root().join("grammar").join(name);
    if std::env::var_os("UPDATE_EXPECT").is_some() {
        write(name, wanted);
        return;
    }
    let there = fs::read_to_string(&path).unwrap_or_default();
    let first = there.lines().zip(wanted.lines()).position(|(there, wanted)| there != wanted);
    let first = first.unwrap_or_else(|| there.lines().count().min(wanted.lines().count()));
    let at = |text: &str| text.lines().nth(first).unwrap_or("(the end)").to_owned();
    assert!(
        there == wanted,
        "grammar/{name} is out of step at line {}: `{}` there, `{}` wanted; \
         write it with UPDATE_EXPECT=1 cargo test -p trunnion-tests --test language",
        first + 1,
        at(&there),
        at(wanted),
    );
}

/// A page one heading deeper; what is fenced stays.
fn deeper(page: &str) -> String {
    let mut fenced = false;
    let lines = page.lines().map(|line| {
        fenced ^= line.starts_with("```");
        if line.starts_with('#') && !fenced { format!("#{line}") } else { line.to_owned() }
    });
    lines.collect::<Vec<_>>().join("\n")
}

fn checks() -> String {
    let mut out = String::from(
        "# The checks\n\n\
         Made from the pages of the checks by a test; not to be edited here. `trunnion explain NAME` \
         shows one of them. What each check reads, and the statement that supplies it, is in \
         [inputs.md](inputs.md).\n\n\
         Every check ends clear, clash or open. The word after `trunnion` at an example is what the \
         check says of it.\n\n\
         | name | decides |\n|---|---|\n",
    );
    for check in CHECKS {
        let anchor = check.name.replace('/', "");
        let _ = writeln!(out, "| [{}](#{anchor}) | {} |", check.name, check.decides().replace('|', "\\|"));
    }
    for check in CHECKS {
        let _ = write!(out, "\n{}\n", deeper(check.page().trim_end()));
    }
    out
}

#[test]
fn the_reference_of_the_checks_is_in_step() {
    keep("checks.md", &checks());
}

#[test]
fn the_handbook_is_in_step() {
    let pages = reference_pages();
    for (name, wanted) in &pages {
        keep(name, wanted);
    }
    // A page of a group that is no more would stay behind unseen.
    for entry in fs::read_dir(root().join("grammar/handbook")).expect("readable") {
        let name = format!("handbook/{}", entry.expect("readable").file_name().to_string_lossy());
        let made = pages.iter().any(|(page, _)| *page == name) || name.ends_with(".part");
        assert!(made, "grammar/{name} is made from nothing");
    }
}

#[test]
fn headings_go_deeper_but_fences_stay() {
    assert_eq!(deeper("# a\n```\n# b\n```\n## c"), "## a\n```\n# b\n```\n### c");
}

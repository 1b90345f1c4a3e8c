//! The list of checks, and each by its name.

use crate::check::Check;
pub use crate::checks::CHECKS;

/// The check of that name.
pub fn find(name: &str) -> Option<&'static Check> {
    CHECKS.iter().copied().find(|it| it.name == name)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing;
    use trunnion_model::verdict::Outcome;

    const HEADINGS: [&str; 4] =
        ["## Why it matters", "## An example that", "## The same mended", "## References"];

    #[test]
    fn every_page_has_its_parts() {
        for check in CHECKS {
            let page = check.page();
            assert!(
                page.starts_with(&format!("# {}\n", check.name)),
                "{}: the page begins with its name",
                check.name
            );
            assert!(!check.decides().is_empty(), "{}: it says what it decides", check.name);
            for heading in HEADINGS {
                assert!(page.contains(heading), "{}: {heading}", check.name);
            }
        }
    }

    #[test]
    fn names_are_unique_and_files_bear_them() {
        for (nth, check) in CHECKS.iter().enumerate() {
            assert!(CHECKS[..nth].iter().all(|it| it.name != check.name), "{} twice", check.name);
            assert_eq!(find(check.name).map(|it| it.name), Some(check.name));
        }
    }

    /// The examples of a page: the outcome they are to have, and the snippet.
    fn examples(page: &str) -> Vec<(String, String)> {
        let mut found = Vec::new();
        let mut open: Option<(String, String)> = None;
        for line in page.lines() {
            match (&mut open, line.strip_prefix("```trunnion ")) {
                (None, Some(outcome)) => open = Some((outcome.trim().to_owned(), String::new())),
                (Some(_), None) if line.starts_with("```") => found.extend(open.take()),
                (Some((_, text)), _) => {
                    text.push_str(line);
                    text.push('\n');
                }
                (None, None) => {}
            }
        }
        found
    }

    #[test]
    fn every_example_gives_what_its_page_says() {
        for check in CHECKS {
            let examples = examples(&check.page());
            assert!(examples.len() >= 2, "{}: two examples at least", check.name);
            for (wanted, text) in examples {
                let found = testing::check(check.name, &text);
                let count =
                    |outcome: &str| found.verdicts().iter().filter(|it| it.outcome.word() == outcome).count();
                let right = match wanted.as_str() {
                    "clash" => count("clash") > 0,
                    "open" => count("open") > 0 && count("clash") == 0,
                    "clear" => count("clear") > 0 && count("clash") == 0 && count("open") == 0,
                    other => panic!("{}: `{other}` is no outcome", check.name),
                };
                assert!(right, "{} should be {wanted}:\n{text}\n{}", check.name, found.listing());
                let unread = found.verdicts().iter().any(|it| it.check.starts_with("write/"));
                assert!(!unread, "{}", found.listing());
                assert!(
                    found.verdicts().iter().all(|it| it.outcome != Outcome::Open || it.question.is_some())
                );
            }
        }
    }
}

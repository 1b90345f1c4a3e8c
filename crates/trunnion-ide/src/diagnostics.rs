//! What is wrong, open, or could be mended.

use std::collections::BTreeMap;

use trunnion_check::run::verdicts_of;
use trunnion_model::db::{Host, Location};
use trunnion_model::verdict::{Gate, Outcome, Verdict};
use trunnion_syntax::tree::Span;

use crate::Session;

/// How loud a diagnostic is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// A clash.
    Error,
    /// Open points: one quiet line for each part.
    Information,
}

/// One diagnostic.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Diagnostic {
    /// Where, in the file's text.
    pub span: Span,
    /// How loud.
    pub severity: Severity,
    /// The stable name of the check.
    pub code: String,
    /// In words.
    pub message: String,
    /// Other places: path, range, what it is.
    pub related: Vec<(Location, String)>,
}

/// A way out that the editor can apply.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Action {
    /// What it does.
    pub title: String,
    /// The diagnostic it mends.
    pub code: String,
    /// That diagnostic's range.
    pub span: Span,
    /// The edits by path.
    pub edits: BTreeMap<String, Vec<(Span, String)>>,
}

impl Session {
    fn verdicts(&self, path: &str) -> &[Verdict] {
        let host = self.host();
        match host.file(path) {
            Some(file) => verdicts_of(host.db(), host.workspace(), file),
            None => &[],
        }
    }

    /// The diagnostics of a file, in order of place.
    pub fn diagnostics(&self, path: &str) -> Vec<Diagnostic> {
        let host = self.host();
        let mut all = Vec::new();
        let mut open: BTreeMap<String, Vec<(&Verdict, Location)>> = BTreeMap::new();
        for verdict in self.verdicts(path) {
            let Some(at) = host.locate(verdict.site) else { continue };
            match verdict.outcome {
                Outcome::Clash => all.push(clash(host, path, verdict, at)),
                Outcome::Open if verdict.accepted.is_none() => {
                    let about = verdict.subject.split(['.', '-']).next().unwrap_or_default();
                    open.entry(about.to_owned()).or_default().push((verdict, at));
                }
                _ => {}
            }
        }
        all.extend(open.into_iter().map(|(about, verdicts)| quiet(path, &about, &verdicts)));
        all.sort();
        all
    }

    /// The ways out of what is wrong or open in a range of a file.
    pub fn actions(&self, path: &str, range: Span) -> Vec<Action> {
        let host = self.host();
        let mut actions = Vec::new();
        for verdict in self.verdicts(path).iter().filter(|it| !matches!(it.outcome, Outcome::Clear(_))) {
            let Some(at) = host.locate(verdict.site) else { continue };
            let touches = *at.path == *path && at.span.start <= range.end && range.start <= at.span.end;
            if !touches || verdict.accepted.is_some() {
                continue;
            }
            for fix in &verdict.fixes {
                let mut edits: BTreeMap<String, Vec<(Span, String)>> = BTreeMap::new();
                for edit in &fix.edits {
                    let Some(to) = host.locate(edit.site) else { continue };
                    edits.entry(to.path.to_string()).or_default().push((to.span, edit.text.clone()));
                }
                // What the library declares cannot be edited.
                if edits.keys().any(|it| trunnion_model::library::is_library(it)) || edits.is_empty() {
                    continue;
                }
                let action = Action {
                    title: fix.title.clone(),
                    code: verdict.check.to_owned(),
                    span: at.span,
                    edits,
                };
                if !actions.contains(&action) {
                    actions.push(action);
                }
            }
        }
        actions
    }

    /// The verdicts that point at an offset of a file.
    pub fn verdicts_at(&self, path: &str, offset: u32) -> Vec<&Verdict> {
        let host = self.host();
        let here = |it: &&Verdict| {
            host.locate(it.site).is_some_and(|at| *at.path == *path && at.span.touches(offset))
        };
        self.verdicts(path).iter().filter(here).collect()
    }
}

/// A place in another file is told at the top of this one.
fn here(path: &str, at: &Location) -> Span {
    if *at.path == *path { at.span } else { Span::new(0, 0) }
}

fn clash(host: &Host, path: &str, verdict: &Verdict, at: Location) -> Diagnostic {
    let related = verdict.related.iter().filter_map(|it| Some((host.locate(it.site)?, it.note.clone())));
    let mut related: Vec<(Location, String)> = related.collect();
    let span = here(path, &at);
    if *at.path != *path {
        related.insert(0, (at, "here".to_owned()));
    }
    let mut message = verdict.message.clone();
    if let Some(formula) = &verdict.formula {
        message.push_str(&format!("\n{formula}"));
    }
    Diagnostic { span, severity: Severity::Error, code: verdict.check.to_owned(), message, related }
}

/// One quiet line for all that is open about a part.
fn quiet(path: &str, about: &str, verdicts: &[(&Verdict, Location)]) -> Diagnostic {
    let own = verdicts.iter().find(|(_, at)| *at.path == *path);
    let span = own.map_or(Span::new(0, 0), |(_, at)| at.span);
    let mut gates: BTreeMap<Gate, usize> = BTreeMap::new();
    for (verdict, _) in verdicts {
        *gates.entry(verdict.question.as_ref().map_or(Gate::Buying, |it| it.gate)).or_default() += 1;
    }
    let gates: Vec<String> = gates.iter().map(|(gate, count)| format!("{count} {}", gate.phrase())).collect();
    let about = about.replace('_', " ");
    let message = format!("{about}: {} open, {}", verdicts.len(), gates.join(", "));
    Diagnostic { span, severity: Severity::Information, code: "open".to_owned(), message, related: Vec::new() }
}

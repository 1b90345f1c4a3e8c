//! What is wrong, open, or could be mended.

use std::collections::BTreeMap;

use trunnion_check::run::verdicts_of;
use trunnion_model::db::{Host, Location};
use trunnion_model::lower::lowered;
use trunnion_model::verdict::{Gate, Outcome, Verdict};
use trunnion_model::world::world;
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
    /// What that diagnostic says, where it is a clash.
    pub message: Option<String>,
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
        let mut open: BTreeMap<String, Vec<(&Verdict, Span)>> = BTreeMap::new();
        let anchors = self.anchors(path);
        for verdict in self.verdicts(path) {
            let Some(at) = host.locate(verdict.site) else { continue };
            let span = anchors.of(host, verdict, &at);
            match verdict.outcome {
                Outcome::Clash => all.push(clash(host, path, verdict, at, span)),
                Outcome::Open if verdict.accepted.is_none() => {
                    let about = verdict.subject.split(['.', '-']).next().unwrap_or_default();
                    open.entry(about.to_owned()).or_default().push((verdict, span));
                }
                _ => {}
            }
        }
        all.extend(open.into_iter().map(|(about, verdicts)| quiet(&about, &verdicts)));
        all.sort();
        all
    }

    /// The ways out of what is wrong or open in a range of a file.
    pub fn actions(&self, path: &str, range: Span) -> Vec<Action> {
        let host = self.host();
        let mut actions = Vec::new();
        let anchors = self.anchors(path);
        for verdict in self.verdicts(path).iter().filter(|it| !matches!(it.outcome, Outcome::Clear(_))) {
            let Some(at) = host.locate(verdict.site) else { continue };
            let span = anchors.of(host, verdict, &at);
            let touches = span.start <= range.end && range.start <= span.end;
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
                    message: (verdict.outcome == Outcome::Clash).then(|| told(verdict)),
                    span,
                    edits,
                };
                if !actions.contains(&action) {
                    actions.push(action);
                }
            }
        }
        // What mends a clash comes before what answers an open point; the order is else kept.
        actions.sort_by_key(|it: &Action| it.message.is_none());
        actions
    }

    /// The verdicts that point at an offset of a file.
    pub fn verdicts_at(&self, path: &str, offset: u32) -> Vec<&Verdict> {
        let host = self.host();
        let anchors = self.anchors(path);
        let here =
            |it: &&Verdict| host.locate(it.site).is_some_and(|at| anchors.of(host, it, &at).touches(offset));
        self.verdicts(path).iter().filter(here).collect()
    }
}

/// Where in a file to tell what is found elsewhere: at the change that brings it about, else at
/// the name of the conversion or vehicle.
struct Anchors {
    path: String,
    /// The statement that changes each place.
    changes: BTreeMap<String, Span>,
    /// The first conversion's or vehicle's name.
    root: Span,
}

impl Session {
    fn anchors(&self, path: &str) -> Anchors {
        let host = self.host();
        let (db, workspace) = (host.db(), host.workspace());
        let mut anchors = Anchors { path: path.to_owned(), changes: BTreeMap::new(), root: Span::new(0, 0) };
        let items = host.file(path).map(|it| it.items(db)).unwrap_or_default();
        for item in items.iter() {
            for nth in 0..lowered(db, *item).decls.len() as u32 {
                let Some(world) = world(db, workspace, *item, nth, None) else { continue };
                let own = |site| host.locate(site).filter(|it| *it.path == *path).map(|it| it.span);
                if anchors.root == Span::new(0, 0) || world.conversion.is_some() {
                    anchors.root = own(world.root().name_site(db)).unwrap_or(anchors.root);
                }
                for place in &world.places {
                    let change = place.done.last().and_then(|it| own(it.site));
                    anchors.changes.extend(change.map(|it| (place.name.to_string(), it)));
                }
            }
        }
        anchors
    }
}

impl Anchors {
    fn of(&self, host: &Host, verdict: &Verdict, at: &Location) -> Span {
        if *at.path == *self.path {
            return at.span;
        }
        let places = verdict.subject.split('-').filter_map(|it| it.split('.').next());
        let changed = places.into_iter().find_map(|it| self.changes.get(it).copied());
        let related = || {
            let sites = verdict.related.iter().filter_map(|it| host.locate(it.site));
            sites.into_iter().find(|it| *it.path == *self.path).map(|it| it.span)
        };
        changed.or_else(related).unwrap_or(self.root)
    }
}

fn clash(host: &Host, path: &str, verdict: &Verdict, at: Location, span: Span) -> Diagnostic {
    let related = verdict.related.iter().filter_map(|it| Some((host.locate(it.site)?, it.note.clone())));
    let mut related: Vec<(Location, String)> = related.collect();
    if *at.path != *path {
        related.insert(0, (at, "here".to_owned()));
    }
    let message = told(verdict);
    Diagnostic { span, severity: Severity::Error, code: verdict.check.to_owned(), message, related }
}

/// What a clash says in the editor: its sentence and its arithmetic.
fn told(verdict: &Verdict) -> String {
    match &verdict.formula {
        Some(formula) => format!("{}\n{formula}", verdict.message),
        None => verdict.message.clone(),
    }
}

/// One quiet line for all that is open about a part.
fn quiet(about: &str, verdicts: &[(&Verdict, Span)]) -> Diagnostic {
    let span = verdicts.first().map_or(Span::new(0, 0), |it| it.1);
    let mut gates: BTreeMap<Gate, usize> = BTreeMap::new();
    for (verdict, _) in verdicts {
        *gates.entry(verdict.question.as_ref().map_or(Gate::Buying, |it| it.gate)).or_default() += 1;
    }
    let gates: Vec<String> = gates.iter().map(|(gate, count)| format!("{count} {}", gate.phrase())).collect();
    let about = about.replace('_', " ");
    let message = format!("{about}: {} open, {}", verdicts.len(), gates.join(", "));
    Diagnostic {
        span,
        severity: Severity::Information,
        code: "open".to_owned(),
        message,
        related: Vec::new(),
    }
}

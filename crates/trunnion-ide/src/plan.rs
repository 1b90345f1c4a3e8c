//! A plan as edits, worked out on a snapshot of the texts: what it is asked of may change meanwhile.

mod told;

use std::cell::Cell;
use std::collections::BTreeMap;
use std::sync::Arc;

use similar::{DiffTag, TextDiff};
use trunnion_model::db::Host;
use trunnion_model::world::{conversion, world};
use trunnion_syntax::tree::Span;

/// The user's texts at one moment.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Snapshot {
    texts: BTreeMap<Arc<str>, Arc<str>>,
}

impl Snapshot {
    /// Of some texts by path.
    pub fn of(texts: impl IntoIterator<Item = (Arc<str>, Arc<str>)>) -> Self {
        Self { texts: texts.into_iter().collect() }
    }

    /// The first path, in order, whose text is another in a later one, has gone there, or has come.
    pub fn changed<'s>(&'s self, later: &'s Self) -> Option<&'s str> {
        let gone = self.texts.iter().find(|(path, text)| later.texts.get(*path) != Some(text));
        let come = later.texts.keys().find(|it| !self.texts.contains_key(*it));
        gone.map(|it| it.0).or(come).map(|it| &**it)
    }

    /// Holds the texts, and computes everything anew.
    fn host(&self) -> Host {
        let mut host = Host::new();
        host.set_files(self.texts.iter().map(|(path, text)| (&**path, &**text)));
        host
    }
}

/// What is to be made whole.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Wish {
    /// The file that declares the conversion.
    pub path: String,
    /// The conversion's name.
    pub conversion: String,
    /// The name of the way that is meant; without one the first, where it has ways.
    pub way: Option<String>,
}

impl Wish {
    /// As it is shown: "make easy van whole, by way of own controller".
    pub fn shown(&self) -> String {
        let way = self.way.as_ref().map(|it| format!(", by way of {}", it.replace('_', " ")));
        format!("make {} whole{}", self.conversion.replace('_', " "), way.unwrap_or_default())
    }
}

/// How planning ended.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Answer {
    /// A plan.
    Offer(Offer),
    /// There is none: why, in a few sentences.
    NoPlan(String),
    /// It was stopped.
    Stopped,
}

/// A plan, offered as edits.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Offer {
    /// The path of the file that changes.
    pub path: String,
    /// The text that the edits count in.
    pub text: Arc<str>,
    /// The edits: whole lines, in order, none touching another. Empty where nothing has to be changed.
    pub edits: Vec<(Span, String)>,
    /// What it does, what it costs, what clashes and what is open then.
    pub told: String,
    /// Whether nothing that is known clashes when it is done.
    pub whole: bool,
}

/// Plans. `go_on` is told how many proposals were judged, and may stop it.
pub fn plan(snapshot: &Snapshot, wish: &Wish, go_on: &dyn Fn(usize) -> bool) -> Answer {
    let mut host = snapshot.host();
    let db = host.db();
    let all = trunnion_plan::conversions(&host, std::slice::from_ref(&wish.path));
    let Some(id) = all.into_iter().find(|it| it.name(db) == wish.conversion) else {
        return Answer::NoPlan(format!("{} declares no conversion `{}`.", wish.path, wish.conversion));
    };
    let ways = conversion(db, id).map(|it| it.ways.as_slice()).unwrap_or_default();
    let way = match &wish.way {
        None => (!ways.is_empty()).then_some(0),
        Some(name) => match ways.iter().zip(0..).find(|it| it.0.name.value == *name) {
            Some((_, nth)) => Some(nth),
            None => return Answer::NoPlan(format!("{} has no way `{name}`.", id.shown(db))),
        },
    };
    let title = id.shown(db);
    if world(db, host.workspace(), id.item, id.nth, way).is_none() {
        return Answer::NoPlan(format!("{title}: its recipient is not known, so nothing can be planned."));
    }
    let stopped = Cell::new(false);
    let told = |judged: usize| {
        let on = go_on(judged);
        stopped.set(stopped.get() || !on);
        on
    };
    let made = trunnion_plan::plan::plan(&mut host, id, way, None, &told);
    if stopped.get() {
        return Answer::Stopped;
    }
    let Some(made) = made else {
        return Answer::NoPlan(format!("{title}: no plan was found; whether there is one is not known."));
    };
    if let Some(it) = &made.contradiction {
        return Answer::NoPlan(told::contradiction(&host, &made.title, it));
    }
    // Neither a plan nor a reason against one: the wiring comes last, and was not come to.
    if made.loom.is_none() {
        return Answer::NoPlan(format!(
            "{title}: there is no plan; which statements are to blame was not found."
        ));
    }
    Answer::Offer(Offer {
        edits: hunks(&made.before, &made.after),
        told: told::plan(&made),
        whole: made.is_whole(),
        path: made.path,
        text: made.before.into(),
    })
}

/// The runs of lines in which two texts differ, each with what stands there after.
fn hunks(before: &str, after: &str) -> Vec<(Span, String)> {
    let diff = TextDiff::from_lines(before, after);
    let mut at = 0;
    let mut starts = vec![0];
    for line in diff.old_slices() {
        at += line.len() as u32;
        starts.push(at);
    }
    let ops = diff.ops().iter().filter(|it| it.tag() != DiffTag::Equal);
    let mut hunks: Vec<(Span, String)> = Vec::new();
    for op in ops {
        let old = op.old_range();
        let span = Span::new(starts[old.start], starts[old.end]);
        let text = diff.new_slices()[op.new_range()].concat();
        match hunks.last_mut() {
            Some(last) if last.0.end == span.start => {
                last.0.end = span.end;
                last.1.push_str(&text);
            }
            _ => hunks.push((span, text)),
        }
    }
    hunks
}

#[cfg(test)]
mod tests;

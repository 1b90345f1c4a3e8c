//! How a loose end is said, asked about, and mended.

use trunnion_model::decl::EndClass;
use trunnion_model::kinds::EndOf;
use trunnion_model::verdict::{Question, Verdict, Who};
use trunnion_model::world::{EndAt, Place, When, WireAt, WireEnd};

use super::book::Link;
use super::gate;
use crate::checks::kind_asked::change_site;
use crate::ctx::Ctx;

/// What the end was, or why it must be joined.
pub(super) enum Was<'a> {
    /// It was joined to this end, which leaves or is joined elsewhere.
    Joined { own: EndAt, link: Link<'a> },
    /// It comes with what is put in.
    ComesIn(EndOf),
    /// They come with what is put in, were on what was there as well, and nobody drew what they
    /// are joined to.
    Undrawn(Vec<EndOf>),
    /// It went with what was there, and what was joined to it nobody drew.
    WentOut(EndOf),
    /// A wire went to it.
    Wired { wire: &'a WireAt, cavity: u32, other: WireEnd },
}

/// A loose end.
pub(super) struct Loose<'a> {
    pub(super) ctx: &'a Ctx<'a>,
    /// The place whose change makes it loose.
    pub(super) changed: &'a Place,
    /// The place that has it; of a wire, the place at its other end.
    pub(super) stays: &'a Place,
    pub(super) at: EndAt,
    pub(super) was: Was<'a>,
}

impl Loose<'_> {
    fn subject(&self) -> String {
        match &self.was {
            Was::Wired { cavity, .. } => format!("{}[{cavity}]", self.at.text()),
            Was::Undrawn(_) => self.at.place.to_string(),
            _ => self.at.text(),
        }
    }

    fn class(&self) -> EndClass {
        match &self.was {
            Was::ComesIn(end) | Was::WentOut(end) => end.class,
            Was::Undrawn(ends) => {
                let soonest = ends.iter().map(|it| it.class).min_by_key(|it| gate(*it));
                soonest.unwrap_or(EndClass::Face)
            }
            Was::Wired { .. } => EndClass::Plug,
            Was::Joined { link, .. } if link.line.is_some() => EndClass::Port,
            Was::Joined { own, .. } => {
                let here = self.find(&self.at, self.stays, When::After);
                let end = here.or_else(|| self.find(own, self.changed, When::Before));
                end.map_or(EndClass::Face, |it| it.class)
            }
        }
    }

    fn find(&self, at: &EndAt, place: &Place, when: When) -> Option<EndOf> {
        self.ctx.ends(place, when).into_iter().find(|it| it.name == at.end)
    }

    fn shown(&self, at: &EndAt, place: &Place, when: When) -> String {
        let end = match self.find(at, place, when) {
            Some(end) => end_shown(&end),
            None => at.end.replace('_', " "),
        };
        format!("{end} of the {}", place.shown())
    }

    /// What is loose and why, in two sentence parts.
    fn told(&self) -> (String, String) {
        match &self.was {
            Was::Joined { own, link } => {
                let (end, gone) = (
                    self.shown(&self.at, self.stays, When::After),
                    self.shown(own, self.changed, When::Before),
                );
                match link.line {
                    None => (end, format!("the {gone} was joined to it")),
                    Some(line) => {
                        let name = line.line.title.clone().unwrap_or_else(|| line.line.name.value.clone());
                        (end, format!("the line \"{name}\" led from it to the {gone}"))
                    }
                }
            }
            Was::Wired { wire, cavity, other } => {
                let colour = wire.wire.colour.as_ref().map(|it| format!(" {}", it.value)).unwrap_or_default();
                let gone = format!("{}[{cavity}] of the {}", self.at.end, self.changed.shown());
                (format!("wire{colour} from {}", other.shown()), format!("it went to {gone}"))
            }
            Was::ComesIn(_) => (self.shown(&self.at, self.stays, When::After), String::new()),
            Was::Undrawn(ends) => (ends.iter().map(end_shown).collect::<Vec<_>>().join(", "), String::new()),
            Was::WentOut(_) => (self.shown(&self.at, self.changed, When::Before), String::new()),
        }
    }

    fn message(&self) -> (String, String) {
        let (end, why) = self.told();
        match &self.was {
            Was::ComesIn(_) => (
                format!("The {end} is loose: nobody has said what it is joined to."),
                format!("what the {end} is joined to"),
            ),
            Was::Undrawn(_) => {
                let place = self.changed.shown();
                let what = format!(
                    "what is joined to these ends of the {place}, before the changes or after: {end}"
                );
                (format!("Nobody has said {what}."), what)
            }
            Was::WentOut(_) => (
                format!(
                    "Something was joined to the {end}, and nobody has said what it was and what becomes of it."
                ),
                format!("what was joined to the {end}, and what becomes of it"),
            ),
            Was::Joined { .. } | Was::Wired { .. } => (
                format!("The {end} is loose: {why}, and nobody has said what becomes of it."),
                format!("what becomes of the {end}"),
            ),
        }
    }

    /// What can be done about it, likeliest first: title and statement.
    fn statements(&self) -> Vec<(String, String)> {
        let (subject, safe) = (self.subject(), self.areas().is_empty());
        let blank = (format!("blank {subject}"), format!("blank {subject}"));
        let join = (format!("join {subject} to something"), format!("join {subject} to …"));
        let line = (format!("lay a line from {subject}"), format!("line … joins {subject} to …"));
        let wire = (format!("run a wire to {subject}"), format!("wire … to {subject}[…]"));
        let splice =
            (format!("splice something into the wire of {subject}"), format!("splice … to {subject}"));
        let by = if safe { "" } else { " by \"…\"" };
        let accept = (
            format!("accept that {subject} stays loose"),
            format!("accept loose/end {subject}{by} because \"…\""),
        );
        match (&self.was, self.class()) {
            (Was::Wired { .. }, _) => vec![blank, splice, accept],
            (Was::WentOut(_), _) => vec![blank, accept],
            (Was::Undrawn(ends), _) => {
                let all = ends.iter().map(|end| {
                    let path = format!("{subject}.{}", end.name);
                    (format!("say what {path} is joined to"), format!("join {path} to …"))
                });
                all.take(2).chain([accept]).collect()
            }
            (Was::ComesIn(_), EndClass::Port) => vec![line, blank, accept],
            (_, EndClass::Plug) => vec![wire, blank, accept],
            (_, EndClass::Face) | (Was::ComesIn(_), _) => vec![join, blank, accept],
            (Was::Joined { .. }, _) => vec![blank, join, accept],
        }
    }

    fn areas(&self) -> Vec<String> {
        let mut areas = self.ctx.safety(self.changed);
        areas.extend(self.ctx.safety(self.stays));
        areas.sort();
        areas.dedup();
        areas
    }

    pub(super) fn verdict(&self) -> Verdict {
        let (class, statements) = (self.class(), self.statements());
        let (message, what) = self.message();
        let looked_at = match &self.was {
            Was::WentOut(_) | Was::Undrawn(_) => true,
            Was::ComesIn(end) => end.stated.is_none(),
            Was::Joined { .. } | Was::Wired { .. } => false,
        };
        let question = Question {
            what,
            good: None,
            tool: looked_at.then(|| "look".to_owned()),
            precision: None,
            minutes: looked_at.then_some(5),
            who: if looked_at { Who::Tape } else { Who::Owner },
            gate: gate(class),
            hangs: hangs(class).to_owned(),
            type_in: statements.first().map(|it| format!("in the conversion: {}", it.1)),
        };
        let site = change_site(self.changed);
        let mut verdict = self.ctx.open("loose/end", self.subject(), site, message, question);
        match &self.was {
            Was::Joined { link, .. } => verdict = verdict.with_related(link.joint.site, "joined here before"),
            Was::Wired { wire, .. } => {
                verdict = verdict.with_related(wire.id.site(wire.wire.span), "the wire")
            }
            Was::ComesIn(_) | Was::Undrawn(_) | Was::WentOut(_) => {}
        }
        let changes = self.ctx.world.changes.iter().filter(|it| it.span == site.span);
        for because in changes.filter_map(|it| it.claim.because.as_ref()) {
            verdict = verdict.with_because(because.to_string());
        }
        verdict = verdict
            .with_fixes(statements.into_iter().filter_map(|(title, text)| self.ctx.add_change(title, &text)));
        verdict.safety = self.areas();
        verdict
    }
}

/// An end with its medium: `port cooler out`, `opening "hole under the gaiter"`.
pub(crate) fn end_shown(end: &EndOf) -> String {
    let class = end.class.word();
    if end.shown == end.name.replace('_', " ") {
        format!("{class} {}", end.shown)
    } else {
        format!("{class} \"{}\"", end.shown)
    }
}

/// What hangs on a loose end of a medium.
fn hangs(class: EndClass) -> &'static str {
    match class {
        EndClass::Face => "whether the parts can be put together",
        EndClass::Plug => "which circuit goes dead, and which wire stays live with nothing on it",
        EndClass::Port => "whether what flows there runs out or draws air",
        EndClass::Mount => "who carries what, and whether a bracket is left in the way",
        EndClass::Link => "whether what it moved can still be moved",
        EndClass::Opening => "whether water, noise and fumes come in",
    }
}

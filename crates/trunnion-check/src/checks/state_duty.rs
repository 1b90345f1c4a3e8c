//! # state/duty
//!
//! Each duty of a signal holds in each key state: start only in park or neutral, reverse lamp only
//! in reverse, no drive while charging.
//!
//! ## Why it matters
//!
//! The start release hung on the clutch switch, and the pedal is gone. Bridge its two wires and the
//! starter turns; it also turns in drive, with somebody in front of the van.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind lever { asks mass
//!   duty start_release only when park, neutral during crank }
//! family Dunlin { built 2009-06 to 2018-12
//!   place selector is lever, place body_controller, zone cabin
//!   feed F40 is 12 V from battery, fuse 20 A
//!   ground G2 at cabin }
//! module body fills body_controller { fitted on Dunlin
//!   plug J2 { 1 supply 12 V draw 10 A, 2 ground, 31 switch start_release in } }
//! part lever_auto is lever fills selector { plug L1 { 2 ground, 5 switch start_inhibit out }
//!   contact L1[5] to L1[2] when park, neutral, drive }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit lever_auto
//!   wire F40 to body_controller.J2[1]
//!   wire body_controller.J2[2] to G2
//!   wire selector.L1[2] to G2
//!   wire selector.L1[5] to body_controller.J2[31] }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind lever { asks mass
//!   duty start_release only when park, neutral during crank }
//! family Dunlin { built 2009-06 to 2018-12
//!   place selector is lever, place body_controller, zone cabin
//!   feed F40 is 12 V from battery, fuse 20 A
//!   ground G2 at cabin }
//! module body fills body_controller { fitted on Dunlin
//!   plug J2 { 1 supply 12 V draw 10 A, 2 ground, 31 switch start_release in } }
//! part lever_auto is lever fills selector { plug L1 { 2 ground, 5 switch start_inhibit out }
//!   contact L1[5] to L1[2] when park, neutral }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit lever_auto
//!   wire F40 to body_controller.J2[1]
//!   wire body_controller.J2[2] to G2
//!   wire selector.L1[2] to G2
//!   wire selector.L1[5] to body_controller.J2[31] }
//! ```
//!
//! ## References
//!
//! Common practice, no source; the duties themselves stand in the kinds, for you to read and add
//! to. A signal comes where its cavity is joined to a supply or to ground by wires, closed contacts
//! and diodes; through a load it does not. What a control unit makes of it is not known here. Try
//! it with the wheels on stands before the road.

use std::collections::BTreeSet;

use trunnion_model::circuit::{Circuit, Doubt, Evaluated, Evaluations, Level, MOST, circuit, wired_part};
use trunnion_model::decl::{Asked, Cavity, EndClass, StateDuty};
use trunnion_model::fact::Found;
use trunnion_model::known;
use trunnion_model::name::Id;
use trunnion_model::states::GEARS;
use trunnion_model::verdict::{Gate, Question, Verdict, Who};
use trunnion_model::world::{EndAt, Place};

use crate::check::{Check, Judge};
use crate::checks::kind_asked::change_site;
use crate::ctx::{Ctx, capital, listed};
use crate::joined::{asked, rests_on, stating, way};

/// The check.
pub static CHECK: Check =
    Check { name: "state/duty", source: include_str!("state_duty.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let all = due(ctx);
    if all.is_empty() {
        return Vec::new();
    }
    let circuit = circuit(ctx.db, ctx.workspace, ctx.world);
    let evaluations = Evaluations::new(&circuit);
    all.iter().filter_map(|it| it.judge(ctx, &circuit, &evaluations)).collect()
}

/// A duty, the place it is due at, and the part or kind that says so.
struct Due<'a> {
    place: &'a Place,
    by: Id,
    duty: &'a StateDuty,
}

/// A cavity that listens to a signal.
struct Listener {
    node: usize,
    text: String,
    found: Found,
}

/// What is found of one listener, worst first.
enum Finding {
    /// It comes where it must not: when, by which way, and what that rests on.
    Wrong(String, String, Vec<Found>),
    /// It does not come where it must.
    Missing(String),
    /// It cannot be told.
    Doubtful(String, Doubt),
    /// It holds; the way by which it comes.
    Holds(Option<String>, Vec<Found>),
}

impl Finding {
    fn rank(&self) -> u8 {
        match self {
            Self::Wrong(..) => 0,
            Self::Missing(_) => 1,
            Self::Doubtful(..) => 2,
            Self::Holds(..) => 3,
        }
    }
}

/// The duties in force, each once: of a part before those of its kind, and of several places that
/// ask the same, the first whose part states a contact.
fn due<'a>(ctx: &Ctx<'a>) -> Vec<Due<'a>> {
    let mut all: Vec<Due<'_>> = Vec::new();
    for place in ctx.world.places.iter().filter(|it| it.after.is_filled()) {
        let part = wired_part(ctx.db, place);
        let own = part.into_iter().flat_map(|(id, part)| part.duties.iter().map(move |it| (id, it)));
        let of_kind = ctx.kind_after(place).into_iter().flat_map(|(_, kind)| &kind.duties);
        let own: Vec<(Id, &StateDuty)> = own.collect();
        let signals: BTreeSet<&str> = own.iter().map(|it| it.1.signal.value.as_str()).collect();
        let of_kind = of_kind.filter(|it| !signals.contains(it.1.signal.value.as_str()));
        let of_kind: Vec<(Id, &StateDuty)> = of_kind.map(|(id, it)| (*id, it)).collect();
        all.extend(own.into_iter().chain(of_kind).map(|(by, duty)| Due { place, by, duty }));
    }
    let states_contact =
        |it: &Due<'_>| wired_part(ctx.db, it.place).is_some_and(|it| !it.1.contacts.is_empty());
    all.sort_by_key(|it| !states_contact(it));
    let mut once: Vec<Due<'_>> = Vec::new();
    for it in all {
        if !once.iter().any(|other| other.same(&it)) {
            once.push(it);
        }
    }
    once
}

impl<'a> Due<'a> {
    fn name(&self) -> String {
        self.duty.signal.value.replace('_', " ")
    }

    fn words(&self) -> BTreeSet<&str> {
        self.duty.only.iter().map(|it| it.value.as_str()).collect()
    }

    /// Whether it is about the gear rather than about its own place.
    fn of_gear(&self) -> bool {
        self.duty.only.iter().any(|it| GEARS.contains(&it.value.as_str()))
    }

    fn same(&self, other: &Self) -> bool {
        let during = |it: &Self| -> BTreeSet<String> {
            it.duty.during.iter().map(|it| it.value.to_string()).collect()
        };
        let own_place = self.of_gear() || self.duty.only.is_empty() || self.place.name == other.place.name;
        self.duty.signal.value == other.duty.signal.value
            && self.words() == other.words()
            && during(self) == during(other)
            && own_place
    }

    /// "with the gear in park or neutral", "with the clutch pedal pressed".
    fn positions(&self) -> String {
        let words: Vec<String> = self.duty.only.iter().map(|it| it.value.replace('_', " ")).collect();
        let words = words.join(" or ");
        if self.of_gear() {
            format!("with the gear in {words}")
        } else {
            format!("with the {} {words}", self.place.shown())
        }
    }

    /// What is due, to follow "it must".
    fn must(&self) -> String {
        if self.duty.only.is_empty() {
            format!("never come in {}", self.during())
        } else {
            format!("come {} only", self.positions())
        }
    }

    fn during(&self) -> String {
        let words: Vec<String> = self.duty.during.iter().map(|it| it.value.replace('_', " ")).collect();
        if words.is_empty() { "any state".to_owned() } else { listed(&words) }
    }

    fn judge(&self, ctx: &Ctx<'a>, circuit: &Circuit, all: &Evaluations<'_>) -> Option<Verdict> {
        let listeners = self.listeners(ctx, circuit);
        let concerned = ctx.world.conversion.is_none()
            || self.place.changed()
            || listeners.iter().any(|it| circuit.is_touched(it.node));
        if !concerned {
            return None;
        }
        if listeners.is_empty() {
            return self.unheard(ctx).map(|it| self.dressed(ctx, it));
        }
        let found: Vec<(&Listener, Finding)> =
            listeners.iter().map(|it| (it, self.finding(circuit, all, it))).collect();
        let (listener, worst) = found.iter().min_by_key(|it| it.1.rank())?;
        // A wire that ends in nothing is told where it stands.
        if matches!(worst, Finding::Doubtful(_, doubt) if doubt.told) {
            return None;
        }
        let verdict = self.verdict(ctx, listener, worst, &listeners);
        Some(self.dressed(ctx, verdict))
    }

    fn dressed(&self, ctx: &Ctx<'_>, mut verdict: Verdict) -> Verdict {
        verdict.safety = ctx.safety(self.place);
        if let Some(because) = &self.duty.claim.because {
            verdict = verdict.with_because(because.to_string());
        }
        verdict.with_related(self.by.site(self.duty.span), "the duty")
    }

    fn subject(&self) -> String {
        format!("{}.{}", self.place.name, self.duty.signal.value)
    }

    /// The cavities that listen to the signal.
    fn listeners(&self, ctx: &Ctx<'a>, circuit: &Circuit) -> Vec<Listener> {
        let mut all = Vec::new();
        for place in &ctx.world.places {
            let Some((id, part)) = wired_part(ctx.db, place) else { continue };
            for end in part.ends.iter().filter(|it| it.class == EndClass::Plug && !it.absent) {
                let at = EndAt { place: place.name.clone(), end: end.name.value.clone() };
                let switched = |n: u32| {
                    let pins = part.contacts.iter().flat_map(|it| std::iter::once(&it.a).chain(&it.b));
                    pins.into_iter().any(|it| it.text() == format!("{}[{n}]", end.name.value))
                };
                let listens = |it: &&Cavity| {
                    it.what.as_ref().is_some_and(|it| *it.head() == self.duty.signal.value)
                        && (it.out == Some(false) || it.out.is_none() && !switched(it.number.value))
                };
                for cavity in end.cavities.iter().filter(listens) {
                    let n = cavity.number.value;
                    let Some(node) = circuit.seat(&at, n) else { continue };
                    let text = format!("{}[{n}]", at.text());
                    let found = known::said(ctx.db, ctx.workspace, id, &cavity.claim, cavity.span);
                    all.push(Listener { node, text, found });
                }
            }
        }
        all
    }

    fn finding(&self, circuit: &Circuit, all: &Evaluations<'_>, listener: &Listener) -> Finding {
        let own = if self.of_gear() { None } else { Some(self.place.name.as_str()) };
        let control = circuit.control(own).filter(|_| !self.duty.only.is_empty());
        let mut controls = circuit.controls_of(listener.node);
        controls.extend(control);
        controls.sort_unstable();
        controls.dedup();
        let mut found = Finding::Holds(None, Vec::new());
        let mut take = |it: Finding| {
            let better = it.rank() == 3 && matches!(&found, Finding::Holds(None, _));
            if it.rank() < found.rank() || better {
                found = it;
            }
        };
        for (nth, state) in circuit.states.iter().enumerate() {
            if !self.duty.during.is_empty() && !self.duty.during.iter().any(|it| it.value == state.name) {
                continue;
            }
            let Some(situations) = circuit.situations(nth, &controls) else {
                let what = format!("which of more than {MOST} positions together can occur");
                let doubt = Doubt::new(what);
                take(Finding::Doubtful(state.name.replace('_', " "), doubt));
                continue;
            };
            let mut wanted: Vec<(usize, Option<Finding>)> = Vec::new();
            for it in &situations {
                let position = control.map(|control| it.positions[control]);
                let named = |at: usize| {
                    control.is_some_and(|control| {
                        let name = &circuit.controls[control].positions[at];
                        self.duty.only.iter().any(|it| it.value == *name)
                    })
                };
                match position.filter(|it| named(*it)) {
                    None => self
                        .not_allowed(circuit, listener, &all.of(it), &circuit.shown(it, &controls))
                        .into_iter()
                        .for_each(&mut take),
                    Some(at) => {
                        let comes = self.comes(circuit, listener, &all.of(it), &circuit.shown(it, &controls));
                        match wanted.iter_mut().find(|it| it.0 == at) {
                            Some((_, known)) => {
                                let worse = known.as_ref().is_some_and(|known| known.rank() < comes.rank());
                                if worse {
                                    *known = Some(comes);
                                }
                            }
                            None => wanted.push((at, Some(comes))),
                        }
                    }
                }
            }
            wanted.into_iter().filter_map(|it| it.1).for_each(&mut take);
        }
        found
    }

    /// Where it must not come: nothing, or what is wrong.
    fn not_allowed(
        &self,
        circuit: &Circuit,
        listener: &Listener,
        evaluated: &Evaluated<'_>,
        when: &str,
    ) -> Option<Finding> {
        let when = when.to_owned();
        match evaluated.level(listener.node) {
            Level::Live | Level::Grounded => {
                let (nodes, _) = evaluated.path(listener.node);
                let found = rests_on(evaluated, circuit, listener.node);
                Some(Finding::Wrong(when, way(circuit, &nodes), found))
            }
            Level::Unknown(doubt) => Some(Finding::Doubtful(when, doubt.clone())),
            Level::Short => Some(Finding::Doubtful(when, short(&listener.text))),
            _ => None,
        }
    }

    /// Where it must come: that it does, that it does not, or that nobody knows.
    fn comes(
        &self,
        circuit: &Circuit,
        listener: &Listener,
        evaluated: &Evaluated<'_>,
        when: &str,
    ) -> Finding {
        let when = when.to_owned();
        match evaluated.level(listener.node) {
            Level::Live | Level::Grounded => {
                let (nodes, _) = evaluated.path(listener.node);
                let found = rests_on(evaluated, circuit, listener.node);
                Finding::Holds(Some(way(circuit, &nodes)), found)
            }
            Level::Unknown(doubt) => Finding::Doubtful(when, doubt.clone()),
            Level::Short => Finding::Doubtful(when, short(&listener.text)),
            _ => Finding::Missing(when),
        }
    }

    fn verdict(&self, ctx: &Ctx<'_>, listener: &Listener, finding: &Finding, all: &[Listener]) -> Verdict {
        let (name, site) = (self.name(), change_site(self.place));
        let text = &listener.text;
        match finding {
            Finding::Wrong(when, by, found) => {
                let message = format!("In {when}, {name} reaches {text} {by}; it must {}.", self.must());
                let found: Vec<Found> = found.iter().cloned().chain([listener.found.clone()]).collect();
                ctx.clash(CHECK.name, self.subject(), site, message, &found)
                    .with_need(self.must(), format!("it comes in {when}"))
            }
            Finding::Missing(when) => {
                let message = format!(
                    "In {when}, {name} does not reach {text}: neither a supply nor ground is joined to it."
                );
                ctx.clash(CHECK.name, self.subject(), site, message, std::slice::from_ref(&listener.found))
                    .with_need(self.must(), format!("it does not come in {when}"))
            }
            Finding::Doubtful(when, doubt) => {
                let hangs = format!("whether {name} {}", self.holds());
                let only = match self.duty.only.is_empty() {
                    true => String::new(),
                    false => format!(" {} only", self.positions()),
                };
                let what = &doubt.what;
                let message = format!(
                    "Whether {name} reaches {text}{only} cannot be told in {when}: nobody has said {what}."
                );
                let question = asked(ctx, doubt, Some(format!("it {}", self.holds())), hangs);
                ctx.open(CHECK.name, self.subject(), site, message, question).with_fixes(stating(ctx, doubt))
            }
            Finding::Holds(by, found) => {
                let listeners: Vec<String> = all.iter().map(|it| it.text.clone()).collect();
                let listeners = listed(&listeners);
                let by = by.as_ref().map(|it| format!(", {it}")).unwrap_or_default();
                let message = if self.duty.only.is_empty() {
                    format!("{} never reaches {listeners} in {}.", capital(&name), self.during())
                } else {
                    format!("In {}, {name} reaches {listeners} {} only{by}.", self.during(), self.positions())
                };
                let found: Vec<Found> =
                    found.iter().cloned().chain(all.iter().map(|it| it.found.clone())).collect();
                ctx.clear(CHECK.name, self.subject(), site, message, &found)
            }
        }
    }

    /// "comes with the gear in park or neutral only", "stays away in charging".
    fn holds(&self) -> String {
        match self.duty.only.is_empty() {
            true => format!("stays away in {}", self.during()),
            false => format!("comes {} only", self.positions()),
        }
    }

    /// No cavity listens to it. Where the kind asks for a signal that nobody stated, that question
    /// comes first.
    fn unheard(&self, ctx: &Ctx<'_>) -> Option<Verdict> {
        let part = wired_part(ctx.db, self.place);
        let stated = |name: &str| part.is_some_and(|(_, it)| it.signals.iter().any(|it| it.0.value == name));
        let contacts = part.is_some_and(|(_, it)| !it.contacts.is_empty());
        let asks = ctx.kind_after(self.place).into_iter().flat_map(|(_, kind)| &kind.asks);
        let unanswered = asks.into_iter().any(|(_, ask)| match &ask.asked {
            Asked::Signal(it) => !stated(&it.value),
            _ => false,
        });
        if !contacts && (unanswered || part.is_none()) {
            return None;
        }
        let name = self.name();
        let message = format!(
            "Nobody has said which cavity listens to {name}, so whether it {} cannot be told.",
            self.holds()
        );
        let question = Question {
            what: format!("which cavity listens to {name}"),
            good: None,
            tool: Some("wiring diagram".to_owned()),
            precision: None,
            minutes: Some(15),
            who: Who::Maker,
            gate: Gate::Power,
            hangs: format!("whether {name} {}", self.holds()),
            type_in: Some(format!("in the plug of what listens: … switch {} in", self.duty.signal.value)),
        };
        Some(ctx.open(CHECK.name, self.subject(), change_site(self.place), message, question))
    }
}

fn short(text: &str) -> Doubt {
    Doubt::new(format!("which of supply and ground {text} is to be joined to"))
}

#[cfg(test)]
mod tests;

//! # kind/asked
//!
//! Every question that the trade asks of a part of this kind is answered by the part that comes in:
//! by a figure, an end, a signal, or the word `none`.
//!
//! ## Why it matters
//!
//! The most dangerous specification is the short one: what nobody asked looks as good as what was
//! answered. The questions of a kind are what a careful seller and a careful buyer would ask.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind box { asks face front
//!   asks chain pull_out "converter pull-out", tool "depth gauge", good 20 mm to 24 mm }
//! family Dunlin { built 2009-06 to 2018-12
//!   place gearbox is box }
//! part auto_six is box fills gearbox { face front, pull out 17 mm }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit auto_six }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind box { asks face front
//!   asks chain pull_out "converter pull-out", tool "depth gauge", good 20 mm to 24 mm }
//! family Dunlin { built 2009-06 to 2018-12
//!   place gearbox is box }
//! part auto_six is box fills gearbox { face front, pull out 22 mm }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit auto_six }
//! ```
//!
//! ## References
//!
//! The questions stand in the kinds, each with its tool and its gate; a range that is good stands
//! there with its source. Where a kind names no tool for an end: common practice, no source.

use trunnion_model::built::part;
use trunnion_model::db::Site;
use trunnion_model::decl::{Ask, Asked, EndClass};
use trunnion_model::fact::{Claim, Found, Known};
use trunnion_model::known;
use trunnion_model::name::{Id, Space};
use trunnion_model::verdict::{Fix, Question, Verdict, Who};
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::ctx::{Ctx, question};

/// The check.
pub static CHECK: Check =
    Check { name: "kind/asked", source: include_str!("kind_asked.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let mut verdicts = Vec::new();
    for place in ctx.world.places.iter().filter(|it| it.changed() && it.after.is_filled()) {
        verdicts.extend(one(ctx, place));
    }
    verdicts
}

/// The answer to one question.
enum Answer {
    /// With what it rests on.
    Said(Vec<Found>),
    /// By these of the possible parts, or by what sits there.
    Missing(Vec<Id>),
    /// Claims contradict one another.
    Disputed(Vec<Found>),
    /// A figure lies outside, or not surely inside, what is good.
    Bad { found: Found, wholly: bool },
}

fn one(ctx: &Ctx<'_>, place: &Place) -> Vec<Verdict> {
    let Some((kind, whole)) = ctx.kind_after(place).filter(|(_, whole)| !whole.asks.is_empty()) else {
        return Vec::new();
    };
    let (mut verdicts, mut rests_on) = (Vec::new(), Vec::new());
    for (by, ask) in &whole.asks {
        let asked = Asking { ctx, place, by: *by, ask };
        match asked.answer() {
            Answer::Said(found) => rests_on.extend(found),
            Answer::Missing(of) => verdicts.push(asked.missing(&of)),
            Answer::Disputed(found) => verdicts.push(asked.disputed(&found)),
            Answer::Bad { found, wholly } => verdicts.push(asked.bad(found, wholly)),
        }
    }
    if verdicts.is_empty() {
        let of = with_article(&kind.shown(ctx.db));
        let message = match whole.asks.len() {
            1 => format!("The one question that the trade asks of {of} is answered."),
            count => format!("All {count} questions that the trade asks of {of} are answered."),
        };
        verdicts.push(ctx.clear(
            "kind/asked",
            place.name.to_string(),
            change_site(place),
            message,
            &rests_on,
        ));
    }
    let safety = ctx.safety(place);
    for verdict in &mut verdicts {
        verdict.safety.clone_from(&safety);
    }
    verdicts
}

/// The last change made to a place, else the place.
pub(crate) fn change_site(place: &Place) -> Site {
    place.done.last().map_or(place.site, |it| it.site)
}

/// "an automatic gearbox", "a clutch".
pub(crate) fn with_article(noun: &str) -> String {
    let vowel = noun.chars().next().is_some_and(|it| "aeiouAEIOU".contains(it));
    format!("{} {noun}", if vowel { "an" } else { "a" })
}

/// The title of a measure with the place it is asked of; titles may be whole clauses.
fn of_place(title: &str, place: &str) -> String {
    let first = title.split(' ').next().unwrap_or_default();
    let clause = ["how", "what", "when", "where", "which", "who", "whether", "was", "is"].contains(&first);
    let long = title.contains(',') || title.split(' ').count() > 3;
    match (clause, long) {
        (true, _) => format!("{title} ({place})"),
        (false, true) => format!("the {title} ({place})"),
        (false, false) => format!("the {title} of the {place}"),
    }
}

struct Asking<'c> {
    ctx: &'c Ctx<'c>,
    place: &'c Place,
    by: Id,
    ask: &'c Ask,
}

impl Asking<'_> {
    fn name(&self) -> &str {
        &self.ask.asked.name().value
    }

    fn answer(&self) -> Answer {
        let name = self.name();
        let known = self.ctx.fact(self.place, name);
        match &known {
            Known::Disputed(all) => return Answer::Disputed(all.clone()),
            Known::Nothing(found) => return Answer::Said(vec![found.clone()]),
            Known::Stated(all) => return self.figure(all),
            Known::Unknown => {}
        }
        let parts = self.place.after.parts();
        if parts.is_empty() {
            return Answer::Missing(Vec::new());
        }
        let (mut rests_on, mut silent) = (Vec::new(), Vec::new());
        for id in parts {
            match self.of_part(*id) {
                Answer::Said(found) if !found.is_empty() => rests_on.extend(found),
                Answer::Said(_) | Answer::Missing(_) => silent.push(*id),
                other => return other,
            }
        }
        if silent.is_empty() { Answer::Said(rests_on) } else { Answer::Missing(silent) }
    }

    /// A stated figure against the range that the question calls good.
    fn figure(&self, all: &[Found]) -> Answer {
        let Some(best) = all.first() else { return Answer::Said(Vec::new()) };
        let (Some(good), Some(stated)) = (self.ask.find_out.good, best.quantity()) else {
            return Answer::Said(vec![best.clone()]);
        };
        use trunnion_handbook::quantity::Truth;
        match stated.inside(&good) {
            Ok(Truth::No) => Answer::Bad { found: best.clone(), wholly: true },
            Ok(Truth::Maybe) => Answer::Bad { found: best.clone(), wholly: false },
            // Another dimension is reported where it is written.
            Ok(Truth::Yes) | Err(_) => Answer::Said(vec![best.clone()]),
        }
    }

    /// What one part says itself: its ends, its signals, its own figures.
    fn of_part(&self, id: Id) -> Answer {
        let (db, workspace, name) = (self.ctx.db, self.ctx.workspace, self.name());
        let Some(decl) = part(db, id) else { return Answer::Missing(Vec::new()) };
        let said = |claim: &Claim, span| Answer::Said(vec![known::said(db, workspace, id, claim, span)]);
        match &self.ask.asked {
            Asked::End(..) => match decl.end(name) {
                Some(end) => said(&end.claim, end.span),
                None => Answer::Missing(Vec::new()),
            },
            Asked::Signal(_) => {
                if let Some((signal, _)) = decl.signals.iter().find(|it| it.0.value == name) {
                    return said(&Claim::default(), signal.span);
                }
                let mut cavities = decl.ends.iter().flat_map(|it| &it.cavities);
                match cavities.find(|it| it.what.as_ref().is_some_and(|it| *it.head() == name)) {
                    Some(cavity) => said(&cavity.claim, cavity.span),
                    None => Answer::Missing(Vec::new()),
                }
            }
            Asked::Chain(_) | Asked::Measure(_) => {
                match Known::settle(known::of_part(db, workspace, id, name)) {
                    Known::Unknown => Answer::Missing(Vec::new()),
                    Known::Nothing(found) => Answer::Said(vec![found]),
                    Known::Stated(all) => self.figure(&all),
                    Known::Disputed(all) => Answer::Disputed(all),
                }
            }
        }
    }

    /// What is asked, as a noun phrase: "the mass of the gearbox", "how the level is set (gearbox)".
    fn what(&self) -> String {
        let (place, name) = (self.place.shown(), self.name());
        let plain = name.replace('_', " ");
        let own = self.ask.title.as_ref().map(ToString::to_string).filter(|it| *it != plain);
        match &self.ask.asked {
            Asked::End(class, _) => match own {
                Some(title) => format!("what the {} \"{title}\" of the {place} is", class.word()),
                None => format!("what the {plain} {} of the {place} is", class.word()),
            },
            Asked::Signal(_) => {
                let shown = own.map_or(plain, |it| format!("\"{it}\""));
                format!("where the signal {shown} of the {place} is")
            }
            Asked::Chain(_) | Asked::Measure(_) => {
                let measure = self.ctx.find(self.ctx.world.root(), Space::Measure, name);
                let shown = own.or_else(|| measure.map(|it| it.shown(self.ctx.db))).unwrap_or(plain);
                of_place(&shown, &place)
            }
        }
    }

    fn question(&self) -> Question {
        let hangs = match &self.ask.because {
            Some(because) => because.to_string(),
            None => "whether it can be fitted".to_owned(),
        };
        let mut asked = match &self.ask.asked {
            Asked::Chain(_) | Asked::Measure(_) => self.ctx.question(self.place, self.name(), hangs),
            Asked::End(class, _) => self.of_end(*class, hangs),
            Asked::Signal(_) => {
                let mut asked = question("", &self.ask.find_out, hangs);
                asked.tool = asked.tool.or_else(|| Some("wiring diagram".to_owned()));
                asked.type_in = self.typed_in();
                asked
            }
        };
        asked.what = self.what();
        asked
    }

    /// Ends are looked at: tools and minutes where the kind names none are common practice.
    fn of_end(&self, class: EndClass, hangs: String) -> Question {
        let mut asked = question("", &self.ask.find_out, hangs);
        let (tool, precision, minutes) = match class {
            EndClass::Face => ("calliper", Some("0.1 mm"), 10),
            EndClass::Port => ("calliper and thread gauge", Some("0.1 mm"), 5),
            EndClass::Mount | EndClass::Opening => ("tape and calliper", Some("0.5 mm"), 10),
            EndClass::Plug => ("photograph of the plug and its label", None, 5),
            EndClass::Link => ("photograph of the end", None, 5),
        };
        if asked.tool.is_none() {
            asked.tool = Some(tool.to_owned());
            asked.precision = asked.precision.or_else(|| precision.map(str::to_owned));
        }
        asked.minutes = asked.minutes.or(Some(minutes));
        asked.who = match (self.ask.find_out.from.as_deref(), self.place.donor().is_some()) {
            // A seller sends a photograph; what takes a tool is measured on the donor.
            (None, true) if precision.is_none() => Who::Seller,
            (Some("seller"), false) => Who::Tape,
            _ => asked.who,
        };
        asked.type_in = self.typed_in();
        asked
    }

    /// The statement that answers, with a hole.
    fn statement(&self) -> String {
        match &self.ask.asked {
            Asked::End(class, name) => match class {
                EndClass::Port => match &self.ask.carrying {
                    Some(medium) => format!("port {} is … carrying {}", name.value, medium.text()),
                    None => format!("port {} is …", name.value),
                },
                other => format!("{} {} is …", other.word(), name.value),
            },
            Asked::Signal(name) => format!("signal {} at …", name.value),
            Asked::Chain(name) | Asked::Measure(name) => format!("{} …", name.value.replace('_', " ")),
        }
    }

    fn typed_in(&self) -> Option<String> {
        let part = self.place.after.parts().first()?;
        Some(format!("in part {}: {}", part.name(self.ctx.db), self.statement()))
    }

    fn fixes(&self, of: &[Id]) -> Vec<Fix> {
        let ctx = self.ctx;
        if let (Asked::Chain(_) | Asked::Measure(_), true) =
            (&self.ask.asked, self.place.after.parts().len() < 2)
        {
            let measure = known::measure(ctx.db, ctx.workspace, ctx.world.root(), self.name());
            let unit = measure.and_then(|it| it.unit.as_ref()).map(|it| it.value.as_str());
            return ctx.state_fact(self.place, self.name(), unit).into_iter().collect();
        }
        let statement = self.statement();
        let mut fixes: Vec<Fix> = Vec::new();
        for id in of {
            let edits: Vec<_> = ctx.insert(*id, &statement).into_iter().collect();
            let title = format!("state it of {}: {statement}", id.shown(ctx.db));
            fixes.push(Fix { title, edits });
        }
        if of.is_empty() {
            let from = self.place.donor().unwrap_or(ctx.world.recipient.vehicle);
            let edits: Vec<_> = ctx.insert(from, &format!("has {} …", self.place.name)).into_iter().collect();
            fixes.push(Fix { title: format!("say which part the {} is", self.place.shown()), edits });
        }
        fixes.retain(|it| !it.edits.is_empty());
        fixes
    }

    fn verdict(&self, verdict: Verdict) -> Verdict {
        let verdict = verdict.with_related(self.by.site(self.ask.span), "asked here");
        match &self.ask.because {
            Some(because) => verdict.with_because(because.to_string()),
            None => verdict,
        }
    }

    fn subject(&self) -> String {
        format!("{}.{}", self.place.name, self.name())
    }

    fn missing(&self, of: &[Id]) -> Verdict {
        let many = self.place.after.parts().len() > 1;
        let which = of.iter().map(|it| it.shown(self.ctx.db)).collect::<Vec<_>>().join(" and ");
        let which = if many { format!(", for {which}") } else { String::new() };
        let message = format!("Nobody has said {}{which}.", self.what());
        let site = change_site(self.place);
        let open = self.ctx.open("kind/asked", self.subject(), site, message, self.question());
        self.verdict(open).with_fixes(self.fixes(of))
    }

    fn disputed(&self, all: &[Found]) -> Verdict {
        let said = all.iter().map(|it| format!("{} says {}", it.source, it.display()));
        let message = format!("Sources differ on {}: {}.", self.what(), said.collect::<Vec<_>>().join(", "));
        let site = change_site(self.place);
        let open = self.ctx.open("kind/asked", self.subject(), site, message, self.question());
        self.verdict(crate::ctx::with_found(open, all))
    }

    fn bad(&self, found: Found, wholly: bool) -> Verdict {
        let good = self.ask.find_out.good.map(|it| it.display()).unwrap_or_default();
        let (shown, what) = (found.display(), self.what());
        let (site, found) = (found.site, [found]);
        let verdict = if wholly {
            let message = format!("{shown} is outside what is good for {what}: {good}.");
            self.ctx.clash("kind/asked", self.subject(), site, message, &found)
        } else {
            let message = format!("{shown} may or may not be good for {what}: {good} is.");
            let open = self.ctx.open("kind/asked", self.subject(), site, message, self.question());
            crate::ctx::with_found(open, &found)
        };
        self.verdict(verdict).with_need(good, shown)
    }
}

#[cfg(test)]
mod tests;

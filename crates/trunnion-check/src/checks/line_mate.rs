//! # line/mate
//!
//! A hose or pipe and the two ports it joins go together: both ports are there, all three carry the
//! same medium, and thread, flare and bore are the same wherever they are stated.
//!
//! ## Why it matters
//!
//! Two unions one pitch apart start to screw in and then strip. A hose one size too large is held
//! by its clip until it is hot. Brake fluid swells a hose made for oil.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind box { asks port cooler_out carrying gearbox_oil }
//! kind cooler { asks port oil_in carrying gearbox_oil }
//! family Dunlin { built 2009-06 to 2018-12
//!   place gearbox is box
//!   place radiator is cooler
//!   line to_cooler joins gearbox.cooler_out to radiator.oil_in, 12 mm bore, carrying gearbox_oil }
//! part auto_six is box fills gearbox { port cooler_out carrying gearbox_oil { bore 10 mm } }
//! part core is cooler fills radiator { fitted on Dunlin, port oil_in carrying gearbox_oil { bore 12 mm } }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit auto_six }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind box { asks port cooler_out carrying gearbox_oil }
//! kind cooler { asks port oil_in carrying gearbox_oil }
//! family Dunlin { built 2009-06 to 2018-12
//!   place gearbox is box
//!   place radiator is cooler
//!   line to_cooler joins gearbox.cooler_out to radiator.oil_in, 12 mm bore, carrying gearbox_oil }
//! part auto_six is box fills gearbox { port cooler_out carrying gearbox_oil { bore 12 mm } }
//! part core is cooler fills radiator { fitted on Dunlin, port oil_in carrying gearbox_oil { bore 12 mm } }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit auto_six }
//! ```
//!
//! ## References
//!
//! Comparison of what is stated; of threads their normal form (ISO 261 for metric ones). A line whose
//! ends differ states two values: the one at its first port, then the one at its second. That a
//! line and a port must have one bore: common practice, no source; a bore that may vary is stated
//! with its tolerance.

use trunnion_model::db::Site;
use trunnion_model::decl::End;
use trunnion_model::fact::{Found, Value};
use trunnion_model::known;
use trunnion_model::name::{Id, Space};
use trunnion_model::verdict::{Edit, Fix, Gate, Question, Verdict, Who};
use trunnion_model::world::{Laid, LineAt};
use trunnion_syntax::tree::Span;

use crate::check::{Check, Judge};
use crate::checks::loose_end::{Fate, end_shown, fate};
use crate::ctx::{Ctx, Mate};

/// The check.
pub static CHECK: Check =
    Check { name: "line/mate", source: include_str!("line_mate.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let alone = ctx.world.conversion.is_none();
    let lines = ctx.world.lines.iter().filter(|it| it.joint.after);
    lines
        .filter_map(|line| {
            let ports = [ctx.mate(&line.joint.a)?, ctx.mate(&line.joint.b)?];
            let changes = line.joint.laid == Laid::Conversion || ports.iter().any(|it| it.place.changed());
            if alone || !changes {
                return None;
            }
            let mut verdict = Mating { ctx, line, ports: &ports }.verdict()?;
            for port in &ports {
                verdict.safety.extend(ctx.safety(port.place));
            }
            verdict.safety.sort();
            verdict.safety.dedup();
            Some(verdict)
        })
        .collect()
}

struct Mating<'c, 'a> {
    ctx: &'c Ctx<'a>,
    line: &'c LineAt,
    ports: &'c [Mate<'a>; 2],
}

/// "port cooler out of the gearbox".
fn shown(mate: &Mate<'_>) -> String {
    let end = mate.end.as_ref().map_or_else(|| format!("port {}", mate.at.end.replace('_', " ")), end_shown);
    format!("{end} of the {}", mate.place.shown())
}

/// Whether a port is there.
enum Port {
    There,
    /// Another check speaks of it: the loose end beside it, or what its kind asks.
    Silent,
    /// It is said, or certain, that there is none.
    None(String),
    /// Nobody said.
    Unsaid,
}

/// What came of comparing.
#[derive(Default)]
struct Compared {
    same: Vec<String>,
    differ: Vec<String>,
    missing: Vec<String>,
    fixes: Vec<Fix>,
}

impl Mating<'_, '_> {
    fn name(&self) -> String {
        let line = &self.line.line;
        format!("The line \"{}\"", line.title.clone().unwrap_or_else(|| line.name.value.clone()))
    }

    fn site(&self) -> Site {
        self.line.joint.site
    }

    fn stated<'m>(&self, mate: &'m Mate<'_>) -> Option<(Id, &'m End)> {
        let (id, part) = mate.part?;
        Some((id, part.end(&mate.at.end).filter(|it| !it.absent)?))
    }

    fn port(&self, mate: &Mate<'_>) -> Port {
        let place = mate.place;
        // A line that was there and lost its port leaves a loose end at the other one.
        let left = self.line.joint.before && place.changed();
        if !place.after.is_filled() {
            // Other lines than those of the conversion leave it to loose/end and set/together.
            let why = format!("nothing sits in the place {}", place.shown());
            let own = self.line.joint.laid == Laid::Conversion;
            return if own { Port::None(why) } else { Port::Silent };
        }
        if mate.end.as_ref().is_some_and(|it| it.absent) {
            let why = format!("{} has no {}", mate.part_shown(self.ctx), mate.at.end.replace('_', " "));
            return if left { Port::Silent } else { Port::None(why) };
        }
        if self.stated(mate).is_some() {
            return Port::There;
        }
        let was_joined = self.line.joint.before && !place.changed();
        match fate(self.ctx, place, &mate.at.end) {
            Fate::Gone if left => Port::Silent,
            Fate::Gone if !was_joined => Port::Unsaid,
            // What comes in is asked for its ports by its kind.
            Fate::There if place.changed() && mate.end.as_ref().is_some_and(|it| it.asked.is_some()) => {
                Port::Silent
            }
            _ => Port::There,
        }
    }

    fn verdict(&self) -> Option<Verdict> {
        let ctx = self.ctx;
        let found: Vec<Found> = self
            .ports
            .iter()
            .filter_map(|it| it.found.clone())
            .chain([known::said(
                ctx.db,
                ctx.workspace,
                self.line.id,
                &self.line.line.claim,
                self.line.line.span,
            )])
            .collect();
        let there: Vec<Port> = self.ports.iter().map(|it| self.port(it)).collect();
        let subject = self.line.line.name.value.to_string();
        if let Some(why) = there.iter().find_map(|it| if let Port::None(why) = it { Some(why) } else { None })
        {
            let mates = self.ports.each_ref().map(shown);
            let message = format!("{} joins the {} to the {}, but {why}.", self.name(), mates[0], mates[1]);
            return Some(ctx.clash("line/mate", subject, self.site(), message, &found));
        }
        let mut compared = Compared::default();
        self.media(&mut compared);
        for nth in 0..2 {
            self.ends(nth, &mut compared);
        }
        if !compared.differ.is_empty() {
            let message = format!(
                "{} does not go together with its ports: {}.",
                self.name(),
                compared.differ.join("; ")
            );
            return Some(
                ctx.clash("line/mate", subject, self.site(), message, &found).with_fixes(compared.fixes),
            );
        }
        if there.iter().any(|it| matches!(it, Port::Silent)) {
            return None;
        }
        let unsaid = self.ports.iter().zip(&there).find(|(_, it)| matches!(it, Port::Unsaid));
        if let Some((port, _)) = unsaid {
            let (part, end) = (port.part_shown(ctx), port.at.end.replace('_', " "));
            compared.missing = vec![format!("whether {part} has a port {end}")];
            compared.fixes.clear();
            let statement = format!("port {} is …", port.at.end);
            if let Some(edit) = port.part.and_then(|(id, _)| ctx.insert(id, &statement)) {
                let title = format!("state the port {} of {}", port.at.end, port.part_shown(ctx));
                compared.fixes.push(Fix { title, edits: vec![edit] });
            }
        }
        if !compared.missing.is_empty() {
            let what = compared.missing.join(", ");
            let question = Question {
                what: what.clone(),
                good: (!compared.same.is_empty()).then(|| compared.same.join("; ")),
                tool: Some("calliper and thread gauge".to_owned()),
                precision: Some("0.1 mm".to_owned()),
                minutes: Some(10),
                who: Who::Tape,
                gate: Gate::Buying,
                hangs: format!(
                    "whether the line goes on to the {} and the {}",
                    shown(&self.ports[0]),
                    shown(&self.ports[1])
                ),
                type_in: Some(format!("at the line {subject}: bore, thread or flare, carrying …")),
            };
            let message = format!("{}: nobody has said {what}.", self.name());
            let open = ctx.open("line/mate", subject, self.site(), message, question);
            return Some(crate::ctx::with_found(open, &found).with_fixes(compared.fixes));
        }
        let message = format!("{} goes together with its ports: {}.", self.name(), compared.same.join("; "));
        Some(ctx.clear("line/mate", subject, self.site(), message, &found))
    }

    /// What a port carries: as its part states, else as the kind asks.
    fn carries(&self, mate: &Mate<'_>) -> Option<Carried> {
        let ctx = self.ctx;
        let (from, named) = match self.stated(mate) {
            Some((id, End { carrying: Some(named), .. })) => (id, named),
            _ => {
                let (by, ask) = ctx.kind_after(mate.place)?.1.ask(&mate.at.end)?;
                (*by, ask.carrying.as_ref()?)
            }
        };
        Some(self.carried(from, named))
    }

    fn carried(&self, from: Id, named: &trunnion_model::fact::Ref) -> Carried {
        let name = named.head().to_string();
        let medium = self.ctx.find(from, Space::Medium, &name);
        Carried { shown: medium.map_or_else(|| name.replace('_', " "), |it| it.shown(self.ctx.db)), name }
    }

    fn media(&self, into: &mut Compared) {
        let [a, b] = self.ports;
        let line = self.line.line.medium.as_ref();
        let own = line.map(|it| self.carried(self.line.id, it));
        let (at_a, at_b) = (self.carries(a), self.carries(b));
        let all = [
            (own, "it".to_owned()),
            (at_a, format!("the {}", shown(a))),
            (at_b, format!("the {}", shown(b))),
        ];
        let known: Vec<(&Carried, &str)> =
            all.iter().filter_map(|(it, who)| Some((it.as_ref()?, who.as_str()))).collect();
        if known.iter().any(|it| it.0.name != known[0].0.name) {
            let said = known.iter().map(|(it, who)| format!("{who} carries {}", it.shown));
            into.differ.push(said.collect::<Vec<_>>().join(", "));
            if let (Some(line), [own, a, b]) = (line, known.as_slice())
                && a.0.name == b.0.name
                && own.0.name != a.0.name
            {
                let site = self.line.id.site(line.span);
                into.fixes.push(Fix::replace(format!("let it carry {}", a.0.shown), site, a.0.name.clone()));
            }
            return;
        }
        let one = known.first().map(|it| it.0);
        for (carried, who) in &all {
            if carried.is_none() {
                into.missing.push(format!("what {} carries", if who == "it" { "the line" } else { who }));
            }
        }
        let Some(one) = one else { return };
        into.same.push(one.shown.clone());
        let carrying = format!("carrying {}", one.name);
        if all[0].0.is_none() {
            let at = self.line.line.b.span.end;
            into.fixes.push(added(
                self.line.id,
                at,
                format!(", {carrying}"),
                &format!("the line is {carrying}"),
            ));
        }
        for (port, (carried, _)) in self.ports.iter().zip(&all[1..]) {
            if let (None, Some((id, end))) = (carried, self.stated(port)) {
                let title = format!("the {} is {carrying}", shown(port));
                into.fixes.push(added(id, end.name.span.end, format!(" {carrying}"), &title));
            }
        }
    }

    /// Thread, flare and bore at one end.
    fn ends(&self, nth: usize, into: &mut Compared) {
        let port = &self.ports[nth];
        let geometry = port.geometry.as_ref();
        let at_port = [
            ("thread", geometry.and_then(|it| it.thread.as_ref()).map(|it| it.value.to_string())),
            ("flare", geometry.and_then(|it| it.flare.as_ref()).map(|it| it.0.display())),
        ];
        let mut compared = 0;
        for (name, stated) in at_port {
            let own = self.line_value(name, nth).and_then(Value::word);
            let (Some(own), Some(stated)) = (own, stated) else { continue };
            compared += 1;
            if own == stated.as_str() {
                into.same.push(format!("{name} {own} at the {}", shown(port)));
            } else {
                into.differ.push(format!("{name} {own} against {stated} at the {}", shown(port)));
            }
        }
        let bore = self.line_value("bore", nth).and_then(Value::quantity).or(self.line.line.bore);
        let stated = geometry.and_then(|it| it.facts.iter().find(|it| it.name.value == "bore"));
        let stated = stated.and_then(|it| it.values.first()?.quantity());
        if let (Some(own), Some(stated)) = (bore, stated)
            && let Ok(same) = own.overlaps(&stated)
        {
            compared += 1;
            if same {
                into.same.push(format!("bore {} at the {}", own.display(), shown(port)));
            } else {
                into.differ.push(format!(
                    "bore {} against {} at the {}",
                    own.display(),
                    stated.display(),
                    shown(port)
                ));
            }
        }
        if compared == 0 {
            into.missing
                .push(format!("which thread, flare or bore it has in common with the {}", shown(port)));
            if bore.is_none() && stated.is_some() {
                let at = self.line.line.b.span.end;
                into.fixes.push(added(
                    self.line.id,
                    at,
                    ", … mm bore".to_owned(),
                    "state the bore of the line",
                ));
            }
        }
    }

    /// A figure that the line states for one of its ends: one for both, or the first and the second.
    fn line_value(&self, name: &str, nth: usize) -> Option<&Value> {
        let fact = self.line.line.facts.iter().find(|it| it.target.is_empty() && it.name.value == name)?;
        fact.values.get(nth).or(fact.values.first())
    }
}

/// A medium by name and as it is shown.
struct Carried {
    name: String,
    shown: String,
}

fn added(id: Id, at: u32, text: String, title: &str) -> Fix {
    let site = id.site(Span::new(at, at));
    Fix { title: title.to_owned(), edits: vec![Edit { site, text }] }
}

#[cfg(test)]
mod tests;

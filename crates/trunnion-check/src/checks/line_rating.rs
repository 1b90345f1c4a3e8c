//! # line/rating
//!
//! A hose or pipe stands the pressure, the short peaks and the heat that its two ports give it.
//!
//! ## Why it matters
//!
//! A hose that is good for the old unit bursts on the next one months later, hot, and sprays oil on
//! the exhaust. What flows in it is compared by `line/mate`; how much it must stand, here.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind box { asks port cooler_out carrying gearbox_oil }
//! kind air_box { asks port inlet carrying gearbox_oil }
//! medium gearbox_oil
//! family Dunlin { built 2009-06 to 2018-12
//!   place gearbox is box
//!   place radiator is air_box }
//! part auto_six is box fills gearbox { port cooler_out carrying gearbox_oil, cooler_out.pressure 14 bar }
//! part core is air_box fills radiator { fitted on Dunlin, port inlet carrying gearbox_oil }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit auto_six
//!   line hose joins gearbox.cooler_out to radiator.inlet, 10 mm bore, carrying gearbox_oil, 10 bar pressure }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind box { asks port cooler_out carrying gearbox_oil }
//! kind air_box { asks port inlet carrying gearbox_oil }
//! medium gearbox_oil
//! family Dunlin { built 2009-06 to 2018-12
//!   place gearbox is box
//!   place radiator is air_box }
//! part auto_six is box fills gearbox { port cooler_out carrying gearbox_oil, cooler_out.pressure 14 bar }
//! part core is air_box fills radiator { fitted on Dunlin, port inlet carrying gearbox_oil }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit auto_six
//!   line hose joins gearbox.cooler_out to radiator.inlet, 10 mm bore, carrying gearbox_oil, 25 bar pressure }
//! ```
//!
//! ## References
//!
//! Comparison of what is stated, by the worst case of the tolerances. The higher of the two ports
//! counts, and of pressure the peak where one is stated. A cooler states the pressure that it stands,
//! not one that it gives, and a pump gives none at its `inlet`; what opens the cap of a radiator is the pressure of its coolant. That the
//! rating of a hose holds at its rated temperature: common practice, no source.

use trunnion_handbook::quantity::{Quantity, Truth};
use trunnion_model::decl::Line;
use trunnion_model::fact::{Found, Known};
use trunnion_model::known;
use trunnion_model::verdict::{Edit, Fix, Gate, Question, Verdict, Who};
use trunnion_model::world::{Laid, LineAt, Place};
use trunnion_syntax::tree::Span;

use crate::check::{Check, Judge};
use crate::ctx::{Ctx, Mate};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "line/rating", source: include_str!("line_rating.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let alone = ctx.world.conversion.is_none();
    let lines = ctx.world.lines.iter().filter(|it| it.joint.after);
    lines
        .filter_map(|line| {
            let ports = [ctx.mate(&line.joint.a)?, ctx.mate(&line.joint.b)?];
            let changes = line.joint.laid == Laid::Conversion || ports.iter().any(|it| it.place.changed());
            // What has no port at one end is line/mate's and loose/end's.
            let there = ports.iter().all(|it| it.place.after.is_filled() && it.end.is_some());
            (there && (alone || changes)).then(|| one(ctx, line, &ports)).flatten()
        })
        .collect()
}

/// What a line is held to.
struct Rated {
    /// "pressure", "temperature".
    name: &'static str,
    /// What the line stands.
    stands: Option<Quantity>,
    /// What each port gives, with what sits there.
    gives: Vec<(Found, String)>,
    /// Claims about it that contradict one another.
    disputed: Option<(String, Vec<Found>)>,
    /// Whether it is a port that gives it, not the part as a whole.
    of_port: bool,
    unit: &'static str,
    /// As it is written at the line: `25 bar pressure`, `120 °C hot`.
    tail: &'static str,
}

fn one(ctx: &Ctx<'_>, line: &LineAt, ports: &[Mate<'_>; 2]) -> Option<Verdict> {
    let between_coolers = ports.iter().all(|it| cools(ctx, it.place));
    let both = [pressure(ctx, line, ports), temperature(ctx, line, ports)];
    let rated: Vec<Rated> = both.into_iter().filter(|it| it.begun(line, between_coolers)).collect();
    if rated.is_empty() {
        return None;
    }
    let name = line.line.title.clone().unwrap_or_else(|| line.line.name.value.clone());
    let hangs = format!("whether the line \"{name}\" stands what its ports give");
    let mut sum = Sum::new(ctx, CHECK.name, &*line.line.name.value, line.joint.site, &*hangs);
    sum.safety_of(&[ports[0].place, ports[1].place]);
    sum.work(|sum| {
        let (mut held, mut broken, mut truth) = (Vec::new(), Vec::new(), Truth::Yes);
        let (mut needs, mut stands, mut room) = (Vec::new(), Vec::new(), Vec::new());
        for it in &rated {
            let Some((gives, limit, said)) = it.figures(sum, ctx, line, ports, &hangs) else { continue };
            let verdict = gives.at_most(&limit).ok()?;
            let row = format!("{} of {}", said, gives.display());
            match verdict {
                Truth::No => {
                    broken.push(format!("it stands {}, but {row}", limit.display()));
                    sum.fix(stronger(ctx, line, it, &gives));
                }
                _ => held.push(format!("{} against {row}", limit.display())),
            }
            truth = worse(truth, verdict);
            sum.formula(format!("{} ≤ {}", gives.display(), limit.display()));
            needs.push(gives.display());
            stands.push(limit.display());
            room.extend(limit.sub(&gives).ok().map(|it| it.display()));
        }
        let name = format!("The line \"{name}\"");
        let clear = format!("{name} stands what its ports give: {}.", held.join(", "));
        let clash = format!("{name} is too weak: {}.", broken.join("; "));
        let answer = Answer::sentences(truth, clear, clash).margin(room.join(" and "));
        Some(answer.need(needs.join(" and "), stands.join(" and ")))
    })
}

fn worse(a: Truth, b: Truth) -> Truth {
    match (a, b) {
        (Truth::No, _) | (_, Truth::No) => Truth::No,
        (Truth::Maybe, _) | (_, Truth::Maybe) => Truth::Maybe,
        _ => Truth::Yes,
    }
}

fn pressure(ctx: &Ctx<'_>, line: &LineAt, ports: &[Mate<'_>; 2]) -> Rated {
    let coolant = line.line.medium.as_ref().is_some_and(|it| it.head() == "coolant");
    let mut rated = Rated {
        name: "pressure",
        stands: line.line.pressure,
        gives: Vec::new(),
        disputed: None,
        of_port: false,
        unit: "bar",
        tail: "pressure",
    };
    for port in ports {
        let cooler = ctx.kind_after(port.place).is_some_and(|(_, it)| it.is(ctx.db, "cooler"));
        // A peak says more than the working pressure, and a figure of the port more than one of the part.
        let mut tried = vec![(true, "peak_pressure"), (true, "pressure")];
        // Nor does a pump press into the line that it draws from.
        if !cooler && port.at.end != "inlet" {
            tried.extend([(false, "peak_pressure"), (false, "pressure")]);
        }
        if coolant {
            tried.push((false, "release_pressure"));
        }
        rated.take(ctx, port, &tried);
    }
    rated
}

fn temperature(ctx: &Ctx<'_>, line: &LineAt, ports: &[Mate<'_>; 2]) -> Rated {
    let mut rated = Rated {
        name: "temperature",
        stands: line.line.temperature,
        gives: Vec::new(),
        disputed: None,
        of_port: false,
        unit: "°C",
        tail: "hot",
    };
    for port in ports {
        rated.take(ctx, port, &[(true, "temperature"), (false, "temperature")]);
    }
    rated
}

impl Rated {
    /// Whether anybody stated what there is to compare: what a port itself gives; what the part as a
    /// whole gives to a line that is rated; the rating of a new line that is no piece between coolers.
    fn begun(&self, line: &LineAt, between_coolers: bool) -> bool {
        let new = line.joint.laid == Laid::Conversion;
        let given = !self.gives.is_empty() || self.disputed.is_some();
        match self.stands {
            Some(_) => given || (new && !between_coolers),
            None => self.of_port || (given && new && self.name == "pressure"),
        }
    }

    /// The first of these measures that is stated of a port, or of what sits there.
    fn take(&mut self, ctx: &Ctx<'_>, port: &Mate<'_>, tried: &[(bool, &str)]) {
        for (of_port, measure) in tried {
            let known = match (of_port, port.part) {
                (true, Some((id, _))) => {
                    known::of_part_about(ctx.db, ctx.workspace, id, &port.at.end, measure)
                }
                (true, None) => Known::Unknown,
                (false, _) => ctx.fact(port.place, measure),
            };
            match known {
                Known::Stated(claims) => {
                    self.of_port |= *of_port;
                    let who = format!("{} gives a {}", ctx.part_shown(port.place), measure.replace('_', " "));
                    self.gives.extend(claims.into_iter().next().map(|it| (it, who)));
                    return;
                }
                Known::Disputed(claims) => {
                    self.disputed = Some((format!("the {} of {}", self.name, port.place.shown()), claims));
                    return;
                }
                Known::Nothing(_) => return,
                Known::Unknown => {}
            }
        }
    }

    /// What is given at most, what the line stands, and who gives it; asks for what is missing.
    fn figures(
        &self,
        sum: &mut Sum<'_, '_>,
        ctx: &Ctx<'_>,
        line: &LineAt,
        ports: &[Mate<'_>; 2],
        hangs: &str,
    ) -> Option<(Quantity, Quantity, String)> {
        let own = known::said(ctx.db, ctx.workspace, line.id, &line.line.claim, line.line.span);
        if let Some((what, claims)) = &self.disputed {
            let said: Vec<_> =
                claims.iter().map(|it| format!("{} says {}", it.source, it.display())).collect();
            sum.refuse(format!("{what} is disputed: {}", said.join(", ")));
        }
        let given = self.gives.iter().filter_map(|(it, who)| Some((it.quantity()?, it, who)));
        let most = given.max_by(|a, b| a.0.hi().total_cmp(&b.0.hi()));
        match (&most, self.stands) {
            (None, Some(stands)) if self.disputed.is_none() => {
                let giver = giver(ctx, ports);
                let mut question = ctx.question(giver.place, self.name, hangs);
                question.good = Some(format!("at most {}", stands.display()));
                let port = giver.at.end.replace('_', " ");
                question.what = format!("the {} at the {port} of the {}", self.name, giver.place.shown());
                let fix = giver.part.and_then(|(id, _)| {
                    let statement = format!("{}.{} … {}", giver.at.end, self.name, self.unit);
                    question.type_in = Some(format!("in part {}: {statement}", id.name(ctx.db)));
                    let title = format!("state the {} at the {port} of {}", self.name, id.shown(ctx.db));
                    Some(Fix { title, edits: vec![ctx.insert(id, &statement)?] })
                });
                sum.settle_with(&Known::Unknown, question, fix);
                None
            }
            (Some((gives, ..)), None) => {
                let what = format!("which {} the line stands", self.name);
                sum.settle_with(
                    &Known::Unknown,
                    asked(what, gives, self, &line.line, hangs),
                    added(line, self),
                );
                None
            }
            (Some((gives, found, who)), Some(stands)) => {
                sum.rests_on(&own);
                sum.rests_on(found);
                Some((*gives, stands, (*who).clone()))
            }
            _ => None,
        }
    }
}

fn cools(ctx: &Ctx<'_>, place: &Place) -> bool {
    ctx.kind_after(place).is_some_and(|(_, it)| it.is(ctx.db, "cooler") || it.is(ctx.db, "radiator"))
}

/// The port to ask about: one of what changes, that is no cooler.
fn giver<'m, 'a>(ctx: &Ctx<'_>, ports: &'m [Mate<'a>; 2]) -> &'m Mate<'a> {
    ports
        .iter()
        .find(|it| it.place.changed() && !cools(ctx, it.place))
        .or(ports.iter().find(|it| !cools(ctx, it.place)))
        .unwrap_or(&ports[0])
}

fn asked(what: String, gives: &Quantity, rated: &Rated, line: &Line, hangs: &str) -> Question {
    Question {
        what,
        good: Some(format!("at least {}", gives.display())),
        tool: Some("print on the hose, or data sheet".to_owned()),
        precision: None,
        minutes: Some(5),
        who: Who::Tape,
        gate: Gate::Power,
        hangs: hangs.to_owned(),
        type_in: Some(format!("at the line {}: … {} {}", line.name.value, rated.unit, rated.tail)),
    }
}

/// A way out that states the rating of the line.
fn added(line: &LineAt, rated: &Rated) -> Option<Fix> {
    let at = line.line.b.span.end;
    let edit =
        Edit { site: line.id.site(Span::new(at, at)), text: format!(", … {} {}", rated.unit, rated.tail) };
    Some(Fix { title: format!("state the {} that the line stands", rated.name), edits: vec![edit] })
}

/// A way out of the conversion's own line: one that stands what is given.
fn stronger(ctx: &Ctx<'_>, line: &LineAt, rated: &Rated, gives: &Quantity) -> Option<Fix> {
    if line.joint.laid != Laid::Conversion {
        return None;
    }
    let whole = line.id.item.text(ctx.db);
    let text = whole.get(line.line.span.range())?;
    let end = text.find(&format!(" {}", rated.tail))?;
    let start = text[..end].rfind(',')? + 1;
    let start = start + text[start..end].len() - text[start..end].trim_start().len();
    let at = |offset: usize| line.line.span.start + offset as u32;
    let site = line.id.site(Span::new(at(start), at(end)));
    let least = Quantity::si(gives.hi(), gives.dimension()).ok()?.shown_in(rated.unit).ok()?;
    let title = format!("take a line that stands {}", least.display());
    Some(Fix::replace(title, site, least.display()))
}

#[cfg(test)]
mod tests;

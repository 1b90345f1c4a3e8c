//! # plug/cavity
//!
//! Every wire ends in a cavity that is there, is meant for it and holds no other; and every
//! supply, ground and bus cavity has its wire.
//!
//! ## Why it matters
//!
//! The plug goes in, and two pins have changed places between the early and the late unit: the
//! lamp wire sits on the supply. Or the new wire ends where the loom already has one.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place brake_controller, body_controller is unit
//!   feed F12 is 12 V from on }
//! connector shell6 { cavities 6 }
//! module brake is unit fills brake_controller { fitted on Dunlin
//!   plug B1 is shell6 { 1 supply 12 V, 3 switch stop_lamp out, 4 signal pump out } }
//! module body is unit fills body_controller { fitted on Dunlin, plug J2 is shell6 { 2 signal pump in } }
//! loom main of Dunlin { wire F12 to brake_controller.B1[1], wire F12 to brake_controller.B1[3] }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, wire brake_controller.B1[3] to body_controller.J2[2] 0.5 mm2 }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place brake_controller, body_controller is unit
//!   feed F12 is 12 V from on }
//! connector shell6 { cavities 6 }
//! module brake is unit fills brake_controller { fitted on Dunlin
//!   plug B1 is shell6 { 1 supply 12 V, 3 switch stop_lamp out, 4 signal pump out } }
//! module body is unit fills body_controller { fitted on Dunlin, plug J2 is shell6 { 2 signal pump in } }
//! loom main of Dunlin { wire F12 to brake_controller.B1[1], wire F12 to brake_controller.B1[3] }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, wire brake_controller.B1[4] to body_controller.J2[2] 0.5 mm2 }
//! ```
//!
//! ## References
//!
//! What each cavity is for is stated by the modules, what ends in it by looms and changes.

use std::collections::BTreeMap;

use trunnion_model::db::Site;
use trunnion_model::decl::{Body, Cavity, Connector, End, EndClass};
use trunnion_model::fact::Found;
use trunnion_model::known;
use trunnion_model::name::{Id, Space};
use trunnion_model::verdict::{Fix, Gate, Question, Verdict, Who};
use trunnion_model::world::{EndAt, Laid, Place, WireEnd};

use crate::check::{Check, Judge};
use crate::ctx::{Ctx, listed};
use crate::wiring::{Seat, Wired, same_net, wired};

/// The check.
pub static CHECK: Check =
    Check { name: "plug/cavity", source: include_str!("plug_cavity.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let (wired, alone) = (wired(ctx.world), ctx.world.conversion.is_none());
    let nothing = BTreeMap::new();
    let mut verdicts = Vec::new();
    for place in &ctx.world.places {
        let Some(id) = place.after.part() else { continue };
        let before = place.before.part().and_then(|it| ctx.part(it));
        for end in ctx
            .part(id)
            .into_iter()
            .flat_map(|it| &it.ends)
            .filter(|it| it.class == EndClass::Plug && !it.absent)
        {
            let at = EndAt { place: place.name.clone(), end: end.name.value.clone() };
            let seats = wired.get(&at).unwrap_or(&nothing);
            let named = end.is.as_ref().and_then(|it| ctx.find(id, Space::Connector, it.head()));
            let connector = match named.and_then(|it| it.decl(ctx.db)).map(|it| &it.body) {
                Some(Body::Connector(it)) => named.map(|id| (id, it)),
                _ => None,
            };
            let plug = Plug {
                who: id.shown(ctx.db),
                whole: alone || place.changed(),
                old: before.and_then(|it| it.end(&end.name.value)),
                at,
                place,
                id,
                end,
                connector,
                seats,
                wired: &wired,
            };
            if plug.whole || seats.values().flatten().any(Seat::is_new) || ctx.touched(place) {
                verdicts.extend(plug.judge(ctx));
            }
        }
    }
    verdicts
}

/// A plug of what sits in a place after the changes, with the wires that end in it.
struct Plug<'a> {
    at: EndAt,
    place: &'a Place,
    id: Id,
    who: String,
    end: &'a End,
    connector: Option<(Id, &'a Connector)>,
    /// The plug of that name of what sat there before.
    old: Option<&'a End>,
    /// All of it is looked at; else only what changes touch.
    whole: bool,
    seats: &'a BTreeMap<u32, Vec<Seat<'a>>>,
    wired: &'a Wired<'a>,
}

impl Plug<'_> {
    fn judge(&self, ctx: &Ctx<'_>) -> Vec<Verdict> {
        let mut verdicts = self.declared(ctx);
        let (mut unlisted, mut count) = (Vec::new(), 0);
        for (n, seats) in self.seats {
            let sure: Vec<&Seat<'_>> = seats.iter().filter(|it| it.sure).collect();
            if sure.is_empty() || !(self.whole || sure.iter().any(|it| it.is_new())) {
                continue;
            }
            count += sure.len();
            match self.misplaced(ctx, *n, &sure) {
                Some(verdict) => verdicts.push(verdict),
                None if self.cavity(*n).is_none() && !self.end.cavities.is_empty() => unlisted.push(*n),
                None => verdicts.extend(self.twice(ctx, *n, &sure)),
            }
        }
        if !unlisted.is_empty() {
            verdicts.push(self.unlisted(ctx, &unlisted));
        }
        verdicts.extend(self.empty(ctx));
        if verdicts.is_empty() && count > 0 && !self.end.cavities.is_empty() {
            let wires = self.seats.values().flatten().filter(|it| it.sure);
            let claims = wires.map(|it| {
                known::said(ctx.db, ctx.workspace, it.wire.id, &it.wire.wire.claim, it.wire.wire.span)
            });
            let weakest = claims.min_by_key(|it| it.standing);
            let found: Vec<Found> = std::iter::once(self.said(ctx)).chain(weakest).collect();
            let what =
                if count == 1 { "The one wire".to_owned() } else { format!("Each of the {count} wires") };
            let message = format!(
                "{what} in plug {} of {} ends in a cavity that is there for it.",
                self.end.name.value, self.who
            );
            verdicts.push(ctx.clear("plug/cavity", self.at.text(), self.site(), message, &found));
        }
        for it in &mut verdicts {
            it.safety = ctx.safety(self.place);
        }
        verdicts
    }

    fn site(&self) -> Site {
        self.id.site(self.end.span)
    }

    fn said(&self, ctx: &Ctx<'_>) -> Found {
        known::said(ctx.db, ctx.workspace, self.id, &self.end.claim, self.end.span)
    }

    fn cavity(&self, n: u32) -> Option<&Cavity> {
        self.end.cavities.iter().find(|it| it.number.value == n)
    }

    fn subject(&self, n: u32) -> String {
        format!("{}[{n}]", self.at.text())
    }

    /// How many cavities the housing has, and the housing.
    fn count(&self) -> Option<u32> {
        self.connector?.1.cavities.as_ref().map(|it| it.value)
    }

    fn beyond(&self, ctx: &Ctx<'_>, n: u32) -> Option<String> {
        let (id, _) = self.connector?;
        let count = self.count().filter(|it| n > *it || n == 0)?;
        Some(format!("{} has {count} cavities and no cavity {n}", id.shown(ctx.db)))
    }

    /// Faults of the plug as it is declared: a number twice or outside, another terminal.
    fn declared(&self, ctx: &Ctx<'_>) -> Vec<Verdict> {
        let mut verdicts = Vec::new();
        let mut clash = |cavity: &Cavity, why: String, other: Option<&Cavity>| {
            let site = self.id.site(cavity.span);
            let message = format!("Plug {} of {}: {why}.", self.end.name.value, self.who);
            let found = [known::said(ctx.db, ctx.workspace, self.id, &cavity.claim, cavity.span)];
            let mut verdict =
                ctx.clash("plug/cavity", self.subject(cavity.number.value), site, message, &found);
            if let Some(other) = other {
                verdict = verdict.with_related(self.id.site(other.span), "listed here first");
            }
            let unused = (1..=self.count().unwrap_or(0))
                .find(|n| self.cavity(*n).is_none() && !self.seats.contains_key(n));
            let renumber = |n: u32| {
                Fix::replace(
                    format!("number it {n}, the next free cavity"),
                    self.id.site(cavity.number.span),
                    n.to_string(),
                )
            };
            verdicts.push(verdict.with_fixes(unused.map(renumber)));
        };
        for (nth, cavity) in self.end.cavities.iter().enumerate() {
            let n = cavity.number.value;
            let first = self.end.cavities[..nth].iter().find(|it| it.number.value == n);
            if let Some(first) = first {
                clash(
                    cavity,
                    format!("cavity {n} is listed twice, as {} and as {}", meaning(first), meaning(cavity)),
                    Some(first),
                );
            } else if let Some(why) = self.beyond(ctx, n) {
                clash(cavity, why, None);
            }
        }
        verdicts.extend(self.end.cavities.iter().filter_map(|it| self.terminal(ctx, it)));
        verdicts
    }

    /// A terminal stated for a cavity that its housing does not take.
    fn terminal(&self, ctx: &Ctx<'_>, cavity: &Cavity) -> Option<Verdict> {
        let (housing, connector) = self.connector?;
        let stated = cavity.terminal.as_ref()?;
        let special = connector.special.iter().find(|it| it.0 == cavity.number.value).map(|it| &it.1);
        let taken = special.or(connector.terminal.as_ref())?;
        let find = |from: Id, name: &str| ctx.find(from, Space::Terminal, name);
        let (a, b) = (find(self.id, stated.head())?, find(housing, taken.head())?);
        let n = cavity.number.value;
        let (x, y) = (a.shown(ctx.db), b.shown(ctx.db));
        let message = format!(
            "Cavity {n} of {} takes the terminal {y}, and {} states {x} for it.",
            housing.shown(ctx.db),
            self.who
        );
        let fix = Fix::replace(format!("write {y}"), self.id.site(stated.span), taken.text());
        let clash =
            ctx.clash("plug/cavity", self.subject(n), self.id.site(cavity.span), message, &[self.said(ctx)]);
        (a != b).then(|| clash.with_need(y, x).with_fix(fix))
    }

    /// A wire where there is no cavity, where the cavity is empty, or where another is meant.
    fn misplaced(&self, ctx: &Ctx<'_>, n: u32, seats: &[&Seat<'_>]) -> Option<Verdict> {
        let seat = seats.iter().find(|it| it.is_new()).or(seats.first())?;
        let there = self.cavity(n);
        let was = self
            .old
            .and_then(|it| it.cavities.iter().find(|it| it.number.value == n))
            .filter(|_| !seat.is_new());
        let why = if let Some(why) = self.beyond(ctx, n) {
            why
        } else if let Some(it) = there.filter(|it| it.role.value == "empty") {
            format!("cavity {} of plug {} of {} is empty", it.number.value, self.end.name.value, self.who)
        } else {
            let (was, it) = (was?, there?);
            if !differs(was, it) {
                return None;
            }
            format!("it is for {}, and cavity {n} of {} is for {}", meaning(was), self.who, meaning(it))
        };
        let message = format!("The wire from {} ends in {}, but {why}.", seat.other.text(), self.subject(n));
        let claims = [
            self.said(ctx),
            known::said(ctx.db, ctx.workspace, seat.wire.id, &seat.wire.wire.claim, seat.wire.wire.span),
        ];
        let clash = ctx.clash(
            "plug/cavity",
            self.subject(n),
            seat.wire.id.site(seat.wire.wire.span),
            message,
            &claims,
        );
        Some(clash.with_fixes(self.reseat(ctx, n, seat, was)))
    }

    /// Two wires in one cavity that belong to different nets.
    fn twice(&self, ctx: &Ctx<'_>, n: u32, seats: &[&Seat<'_>]) -> Option<Verdict> {
        let here = WireEnd::Cavity(self.at.clone(), n);
        let (first, rest) = seats.split_first()?;
        let other = rest.iter().find(|it| !same_net(ctx.world, self.wired, &here, first.other, it.other))?;
        let (moved, stays) = if first.is_new() && !other.is_new() { (first, other) } else { (other, first) };
        let message = format!(
            "Cavity {n} of plug {} of {} is taken twice: by the wire from {} and by the one from {}.",
            self.end.name.value,
            self.who,
            stays.other.text(),
            moved.other.text()
        );
        let site = |it: &Seat<'_>| it.wire.id.site(it.wire.wire.span);
        let claim = |it: &Seat<'_>| {
            known::said(ctx.db, ctx.workspace, it.wire.id, &it.wire.wire.claim, it.wire.wire.span)
        };
        let clash =
            ctx.clash("plug/cavity", self.subject(n), site(moved), message, &[claim(stays), claim(moved)]);
        // Two wires of the loom sit in one terminal and can only be moved together.
        let fix =
            if moved.wire.laid == Laid::Conversion { self.reseat(ctx, n, moved, None) } else { Vec::new() };
        Some(clash.with_fixes(fix))
    }

    /// The cavity for a wire: that of the old meaning, else the next signal cavity without a wire.
    fn free(&self, n: u32, was: Option<&Cavity>) -> Option<u32> {
        let unwired = |it: &&Cavity| !self.seats.contains_key(&it.number.value);
        let mut listed: Vec<&Cavity> = self.end.cavities.iter().filter(unwired).collect();
        if let Some(was) = was {
            return listed
                .iter()
                .find(|it| it.role.value != "empty" && !differs(was, it))
                .map(|it| it.number.value);
        }
        if self.end.cavities.is_empty() {
            return (1..=self.count()?).find(|it| !self.seats.contains_key(it));
        }
        listed.retain(|it| !is_fixed(&it.role.value) && it.role.value != "empty");
        listed.sort_by_key(|it| (it.number.value < n, it.number.value));
        listed.first().map(|it| it.number.value)
    }

    fn reseat(&self, ctx: &Ctx<'_>, n: u32, seat: &Seat<'_>, was: Option<&Cavity>) -> Vec<Fix> {
        let Some(to) = self.free(n, was) else { return Vec::new() };
        let title = format!("move it to cavity {to}");
        let path = if seat.is_a { &seat.wire.wire.a } else { &seat.wire.wire.b };
        match &path.index {
            Some(index) if seat.wire.laid == Laid::Conversion => {
                vec![Fix::replace(title, seat.wire.id.site(index.span), to.to_string())]
            }
            _ => ctx
                .add_change(title, &format!("move {} to {}", self.subject(n), self.subject(to)))
                .into_iter()
                .collect(),
        }
    }

    /// Wires in cavities of which nobody has said what they are for.
    fn unlisted(&self, ctx: &Ctx<'_>, numbers: &[u32]) -> Verdict {
        let old = |n: &u32| {
            self.old?
                .cavities
                .iter()
                .find(|it| it.number.value == *n)
                .map(|it| format!("{n}: {}", meaning(it)))
        };
        let good: Vec<String> = numbers.iter().filter_map(old).collect();
        let all = listed(&numbers.iter().map(ToString::to_string).collect::<Vec<_>>());
        let word = if numbers.len() == 1 { "cavity" } else { "cavities" };
        let what = format!(
            "what {word} {all} of plug {} of {} {} for",
            self.end.name.value,
            self.who,
            if numbers.len() == 1 { "is" } else { "are" }
        );
        let message = format!("Nobody has said {what}; wires end there.");
        let question = Question {
            what,
            good: (!good.is_empty()).then(|| format!("as before: {}", good.join(", "))),
            tool: Some("wiring diagram of the module".to_owned()),
            precision: None,
            minutes: Some(20),
            who: Who::Maker,
            gate: Gate::Power,
            hangs: "whether the wires that end there do what they did".to_owned(),
            type_in: Some(format!(
                "in plug {} of {}: {} …",
                self.end.name.value,
                self.id.name(ctx.db),
                numbers[0]
            )),
        };
        ctx.open("plug/cavity", self.at.text(), self.site(), message, question)
    }

    /// Supply, ground and bus cavities without a wire, where looms or changes bring any to the plug.
    fn empty(&self, ctx: &Ctx<'_>) -> Option<Verdict> {
        let left = |n: u32| {
            let here = WireEnd::Cavity(self.at.clone(), n);
            ctx.world.wires.iter().any(|it| it.was.0 == here || it.was.1 == here)
        };
        let bare = self.end.cavities.iter().filter(|it| {
            let n = it.number.value;
            let needs = matches!(it.role.value.as_str(), "supply" | "ground" | "can_high" | "can_low")
                && it.out != Some(true);
            needs && !self.seats.contains_key(&n) && (self.whole || left(n))
        });
        let bare: Vec<&Cavity> = bare.collect();
        if bare.is_empty() || self.seats.is_empty() {
            return None;
        }
        let all = listed(
            &bare.iter().map(|it| format!("{} ({})", it.number.value, meaning(it))).collect::<Vec<_>>(),
        );
        let (word, verb) = if bare.len() == 1 { ("cavity", "has") } else { ("cavities", "have") };
        let message = format!("In plug {} of {} {word} {all} {verb} no wire.", self.end.name.value, self.who);
        let fix = |it: &&Cavity| {
            let to = self.subject(it.number.value);
            ctx.add_change(
                format!("run a wire to cavity {}", it.number.value),
                &format!("wire {to} to … 0.5 mm2"),
            )
        };
        let fixes: Vec<Fix> = bare.iter().filter_map(fix).collect();
        Some(
            ctx.clash("plug/cavity", self.at.text(), self.id.site(bare[0].span), message, &[self.said(ctx)])
                .with_fixes(fixes),
        )
    }
}

/// What a cavity is for, in words: "can high drive".
fn meaning(cavity: &Cavity) -> String {
    let what = cavity.what.as_ref().map(|it| format!(" {}", it.text())).unwrap_or_default();
    format!("{}{what}", cavity.role.value).replace('_', " ")
}

/// Roles that no other can stand in for.
fn is_fixed(role: &str) -> bool {
    matches!(role, "supply" | "ground" | "can_high" | "can_low" | "lin" | "shield")
}

/// Whether a wire that suits one cavity does not suit another, as far as both are stated.
pub fn differs(a: &Cavity, b: &Cavity) -> bool {
    let what = |it: &Cavity| it.what.as_ref().map(|it| it.text());
    let fixed = is_fixed(&a.role.value) || is_fixed(&b.role.value);
    let names = what(a).zip(what(b)).is_some_and(|(a, b)| a != b);
    a.role.value != "empty" && (fixed && a.role.value != b.role.value || names)
}

#[cfg(test)]
mod tests;

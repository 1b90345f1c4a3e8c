//! # wire/fuse
//!
//! A fuse that feeds new or moved wires is large enough for the load behind it, loaded to no more than a
//! share of its rating, and no larger than what the thinnest of these wires may carry; where its type is
//! stated, it opens before a fault bakes that wire.
//!
//! ## Why it matters
//!
//! A fuse protects the wire, not the appliance. One that blows on a hot day gets replaced by a larger one,
//! and then the wire is the fuse.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! basis { current is cfr_183_425, insulation 105 °C, ambient 50 °C }
//! family Curlew { built 2015-02 to 2020-11, place lamp, zone bay, cab
//!   feed F9 is 12 V from battery, fuse 40 A, at bay }
//! part bulb fills lamp { plug L { 1 lamp roof 12 V draw 4 A in, 2 ground } }
//! vehicle camper is Curlew { built 2017-08 }
//! conversion light { recipient camper, fit bulb
//!   wire F9 to lamp.L[1] 1 mm2 RD by bay, cab }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! basis { current is cfr_183_425, insulation 105 °C, ambient 50 °C }
//! family Curlew { built 2015-02 to 2020-11, place lamp, zone bay, cab
//!   feed F9 is 12 V from battery, fuse 7.5 A, at bay }
//! part bulb fills lamp { plug L { 1 lamp roof 12 V draw 4 A in, 2 ground } }
//! vehicle camper is Curlew { built 2017-08 }
//! conversion light { recipient camper, fit bulb
//!   wire F9 to lamp.L[1] 1 mm2 RD by bay, cab }
//! ```
//!
//! ## References
//!
//! What a wire may carry: as `wire/current`. With `fuse is cfr_183_455` in the `basis`, a boat rule lets a
//! fuse be 150 % of that below 50 V (33 CFR 183.455 (b), (c)). A fuse loaded to three quarters: common
//! practice, no source. Opening times: ISO 8820-3 (2015, from memory, unverified). What a wire stands:
//! IEC 60364-5-54 (2011), 543.1.2 and Annex A, adiabatic up to 5 s, from the rating of its insulation to
//! 160 °C (that of PVC, where the `basis` states no `fault temperature`).

use std::collections::BTreeMap;

use trunnion_handbook::fuse::openings;
use trunnion_handbook::quantity::{Quantity, Truth};
use trunnion_handbook::registry;
use trunnion_model::db::Site;
use trunnion_model::fact::Found;
use trunnion_model::known;
use trunnion_model::verdict::{Fix, Verdict};
use trunnion_model::world::{Place, When};

use crate::check::{Check, Judge};
use crate::checks::need::replacements;
use crate::ctx::Ctx;
use crate::loads::carries::{Lies, allowed, lies};
use crate::loads::net::By;
use crate::loads::told::{Told, next_size, resize, said, shown};
use crate::loads::{Loads, concerned, is_splice, lack_draws};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "wire/fuse", source: include_str!("wire_fuse.rs"), judge: Judge::World(judge) };

/// Where the `basis` says nothing: share of its rating that a fuse is loaded with, and what the
/// insulation stands for an instant.
const SHARE: f64 = 75.0;
const FAULT: f64 = 160.0;

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let loads = Loads::of(ctx, When::After);
    let mut behind: BTreeMap<(u8, usize), (By, Vec<usize>)> = BTreeMap::new();
    for wire in concerned(ctx, &loads) {
        let Some(current) = loads.current(wire).filter(|it| !it.ground && !is_splice(&ctx.world.wires[wire]))
        else {
            continue;
        };
        for guard in current.guards.iter().filter(|it| it.amps.is_finite()) {
            let key = match guard.by {
                By::Feed(node) => (0, node),
                By::Fuse(edge) => (1, edge),
                _ => continue,
            };
            let (_, wires) = behind.entry(key).or_insert((guard.by, Vec::new()));
            if !wires.contains(&wire) {
                wires.push(wire);
            }
        }
    }
    let told = behind
        .into_values()
        .filter_map(|(by, wires)| Fuse::of(ctx, &loads, by, loads.volts(wires[0]))?.judge(&wires));
    said(ctx, told.collect(), |count| {
        format!("Each of {count} fuses carries its load and protects its wires")
    })
}

/// A fuse.
struct Fuse<'c, 'a> {
    ctx: &'c Ctx<'a>,
    loads: &'c Loads<'a>,
    /// Its name in sentences, and the path by which it is accepted.
    shown: String,
    subject: String,
    /// Where it sits; none for a feed.
    place: Option<&'a Place>,
    rating: Quantity,
    found: Found,
    /// The most that is drawn through it, and whether that is all.
    load: [f64; 3],
    known: bool,
    /// The voltage of the wires behind it.
    volts: Option<Quantity>,
}

impl<'c, 'a> Fuse<'c, 'a> {
    fn of(ctx: &'c Ctx<'a>, loads: &'c Loads<'a>, by: By, volts: Option<Quantity>) -> Option<Self> {
        let (place, feed) = loads.limiter(by)?;
        let mut load = ([0.0; 3], true);
        let mut count = |amps: [f64; 3], known: bool| {
            (0..3).for_each(|it| load.0[it] += amps[it]);
            load.1 &= known;
        };
        if let Some((id, feed)) = feed.map(|it| &ctx.world.feeds[it]) {
            let By::Feed(node) = by else { return None };
            for (edge, _) in
                loads.supply.edges.iter().enumerate().filter(|(_, it)| it.a == node || it.b == node)
            {
                let flow = loads.through(edge);
                count(if loads.supply.edges[edge].a == node { flow.forth } else { flow.back }, flow.known);
            }
            let found = known::said(ctx.db, ctx.workspace, *id, &feed.claim, feed.span);
            let name = feed.name.value.to_string();
            return Some(Self {
                ctx,
                loads,
                shown: format!("the fuse of {name}"),
                subject: name,
                place: None,
                rating: feed.fuse?,
                found,
                load: load.0,
                known: load.1,
                volts,
            });
        }
        let (place, By::Fuse(edge)) = (place?, by) else { return None };
        let flow = loads.through(edge);
        count(flow.amps(), flow.known);
        let stated = ctx.fact(place, "fuse");
        let way = loads.supply.edges[edge];
        let (shown, subject, rating, found) = match stated.best() {
            Some(it) => {
                (format!("the {}", place.shown()), place.name.to_string(), it.quantity()?, it.clone())
            }
            None => {
                let (at, n) = loads.cavities.get(&way.b)?;
                let id = place.after.part()?;
                let cavities = &ctx.part(id)?.end(&at.end)?.cavities;
                let cavity = cavities.iter().find(|it| it.number.value == *n)?;
                let found = known::said(ctx.db, ctx.workspace, id, &cavity.claim, cavity.span);
                let shown = format!("way {}[{n}] of the {}", at.end, place.shown());
                (shown, format!("{}[{n}]", at.text()), cavity.gives?, found)
            }
        };
        Some(Self {
            ctx,
            loads,
            shown,
            subject,
            place: Some(place),
            rating,
            found,
            load: load.0,
            known: load.1,
            volts,
        })
    }

    fn judge(&self, wires: &[usize]) -> Option<Told> {
        let ctx = self.ctx;
        let chosen = ["current", "insulation", "ambient"].iter().all(|it| ctx.basis(it).best().is_some());
        let first = &ctx.world.wires[*wires.first()?];
        let site: Site = first.id.site(first.wire.span);
        let unsaid = if self.known { Vec::new() } else { self.loads.unsaid(wires[0]) };
        let hangs = "whether the fuses carry their load and protect the wires behind them";
        let mut room = 1.0_f64;
        let mut speaks = true;
        let verdict = Sum::new(ctx, CHECK.name, &*self.subject, site, hangs).work(|sum| {
            sum.rests_on(&self.found);
            self.loads.rests(ctx, wires[0]).iter().for_each(|it| sum.rests_on(it));
            let load = Quantity::si_range(
                self.load[0],
                self.load[1],
                self.load[2],
                trunnion_handbook::quantity::Dimension::CURRENT,
            );
            let load = load.ok()?.shown_in("A").ok()?;
            sum.name("load", &load, "A");
            let share = sum.basis_or("fuse_load", SHARE, "%")?;
            let least = sum.call("fuse_least", &[load, share])?;
            let rating = self.rating;
            let rated = format!("{} is {}", self.shown, rating.display());
            if least.lo() > rating.hi() {
                sum.fixes(self.others(&least, None));
                let needed = format!(
                    "{} behind it want {} at least, loaded to {}",
                    load.display(),
                    least.display(),
                    share.display()
                );
                return Some(Answer::at_least(rating, least, &rated, &needed));
            }
            if !chosen {
                // The question for the basis is asked by wire/current.
                speaks = false;
                return None;
            }
            if !unsaid.is_empty() {
                lack_draws(sum, ctx, &unsaid);
            }
            let lies = lies(sum, self.volts, || 1)?;
            let thin = self.thinnest(sum, wires, &lies);
            let Some(thin) = thin else {
                speaks = false;
                return None;
            };
            room = (1.0 - least.hi() / rating.hi()).min(1.0 - rating.hi() / thin.may.hi());
            if let Some(answer) = self.curve(sum, &thin, &lies) {
                return Some(answer);
            }
            if thin.may.lo() < rating.hi() {
                let size =
                    next_size(&thin.size, |it| self.may(it, &lies).is_some_and(|it| it.lo() >= rating.hi()));
                let wire = &ctx.world.wires[thin.wire];
                sum.fixes(self.others(&least, Some(&thin.may)));
                sum.fix(size.and_then(|it| resize(ctx, wire, &it)));
            }
            let needed = format!(
                "{} behind it want {} at least, and {} ({}) may have {}",
                load.display(),
                least.display(),
                shown(&ctx.world.wires[thin.wire]),
                thin.size.display(),
                thin.may.display()
            );
            let truth = match (rating.at_most(&thin.may), least.at_most(&rating)) {
                (Ok(Truth::Yes), Ok(Truth::Yes)) => Truth::Yes,
                (Ok(Truth::No), _) | (_, Ok(Truth::No)) => Truth::No,
                _ => Truth::Maybe,
            };
            let margin = thin.may.sub(&rating).ok()?.shown_in("A").ok()?;
            Some(
                Answer::told(truth, &rated, &needed)
                    .need(format!("at most {}", thin.may.display()), rating.display())
                    .margin(margin.display()),
            )
        })?;
        speaks.then_some(Told { verdict, room })
    }

    /// The largest fuse that a wire of a size may have: what it carries, or more by a rule for boats.
    fn may(&self, size: &Quantity, lies: &Lies) -> Option<Quantity> {
        let carries = allowed(size, lies).ok()?.amps;
        match self.boat_rule() {
            false => Some(carries),
            true => {
                let volts = self.volts?;
                registry::function("boat_largest_fuse")?.call(&[carries, volts]).ok().map(|it| it.value)
            }
        }
    }

    fn boat_rule(&self) -> bool {
        let known = self.ctx.basis("fuse");
        known.best().and_then(|it| it.values.first()?.word()).is_some_and(|it| it == "cfr_183_455")
    }

    /// The wire that may have the smallest fuse. Sizes that the table does not have are wire/current's.
    fn thinnest(&self, sum: &mut Sum<'_, '_>, wires: &[usize], lies: &Lies) -> Option<Thin> {
        let mut left = 0;
        let each = wires.iter().filter_map(|wire| {
            let size = self.ctx.world.wires[*wire].wire.size?;
            let may = self.may(&size, lies);
            left += usize::from(may.is_none());
            Some(Thin { wire: *wire, size, may: may? })
        });
        let thin = each.min_by(|a, b| a.may.lo().total_cmp(&b.may.lo()))?;
        if left > 0 {
            sum.note(format!("Wires whose size the table does not have are not judged here: {left}."));
        }
        if let Ok(it) = allowed(&thin.size, lies) {
            it.into_sum(sum, &thin.size);
            if self.boat_rule() {
                sum.call("boat_largest_fuse", &[it.amps, self.volts?]);
            }
        }
        Some(thin)
    }

    /// That the fuse opens before a fault bakes the wire, where its curve is in the handbook.
    fn curve(&self, sum: &mut Sum<'_, '_>, thin: &Thin, lies: &Lies) -> Option<Answer> {
        let kind = self
            .place
            .and_then(|it| self.ctx.fact(it, "fuse_type").best().and_then(|it| it.values.first()?.word()));
        let Some(kind) = kind else {
            sum.note("Its type is not stated: its opening times are not held against what the wire stands in a fault.");
            return None;
        };
        if !kind.contains("8820-3") {
            sum.note(format!("The handbook has no opening times of {kind}: they are not judged."));
            return None;
        }
        let end = sum.basis_or("fault_temperature", FAULT, "°C")?;
        let point = |multiple: f64| {
            let amps = Quantity::exact(self.rating.in_unit("A")? * multiple, "A").ok()?;
            let stands = registry::function("wire_withstand_time")?;
            let stands = stands.call(&[thin.size, lies.insulation, end, amps]).ok()?.value;
            Some((amps, stands))
        };
        // The law holds for faults of up to 5 s.
        let tested = openings()
            .filter_map(|it| it.at_most.filter(|most| *most <= 5.0).map(|most| (it.multiple, most)));
        let worst =
            tested.filter_map(|(multiple, most)| point(multiple).map(|(amps, stands)| (amps, stands, most)));
        let (amps, stands, most) = worst.min_by(|a, b| (a.1.lo() / a.2).total_cmp(&(b.1.lo() / b.2)))?;
        sum.call("fuse_opens_by", &[amps, self.rating])?;
        sum.call("wire_withstand_time", &[thin.size, lies.insulation, end, amps])?;
        (stands.lo() < most).then(|| {
            let said = format!(
                "{} of {} may take {most} s to open at {}",
                self.shown,
                self.rating.display(),
                amps.display()
            );
            let needed = format!(
                "{} ({}) stands that for {}",
                shown(&self.ctx.world.wires[thin.wire]),
                thin.size.display(),
                stands.display()
            );
            Answer::told(Truth::No, &said, &needed)
        })
    }

    /// Other fuses that would do: the next standard one, or a part of the catalogue.
    fn others(&self, least: &Quantity, most: Option<&Quantity>) -> Vec<Fix> {
        let fits = |it: &Quantity| it.lo() >= least.hi() && most.is_none_or(|most| it.hi() <= most.lo());
        match self.place {
            Some(place) => replacements(self.ctx, place, &|id| {
                let stated = known::of_part(self.ctx.db, self.ctx.workspace, id, "fuse");
                stated.first().and_then(|it| it.quantity()).is_some_and(|it| fits(&it))
            }),
            None => self.rewritten(&fits, least).into_iter().collect(),
        }
    }

    /// The feed with the next standard fuse, written where it is declared.
    fn rewritten(&self, fits: &dyn Fn(&Quantity) -> bool, least: &Quantity) -> Option<Fix> {
        let next = registry::function("fuse_standard")?.call(&[*least]).ok()?.value;
        let next =
            Quantity::si(next.hi(), next.dimension()).ok()?.shown_in("A").ok().filter(|it| fits(it))?;
        let (id, feed) = self.ctx.world.feeds.iter().find(|(_, it)| *it.name.value == *self.subject)?;
        let text = id.item.text(self.ctx.db);
        let whole = text.get(feed.span.range())?;
        let at = whole.find("fuse ")? + "fuse ".len();
        let length = whole[at..].find(" A")? + " A".len();
        let from = feed.span.start + at as u32;
        let site = id.site(trunnion_syntax::tree::Span::new(from, from + length as u32));
        Some(Fix::replace(format!("put in {}", next.display()), site, next.display()))
    }
}

/// The wire that decides.
struct Thin {
    wire: usize,
    size: Quantity,
    may: Quantity,
}

#[cfg(test)]
mod tests;

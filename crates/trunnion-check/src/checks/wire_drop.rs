//! # wire/drop
//!
//! Each consumer on a new, moved or more loaded wire loses no more voltage there and back than the `basis`
//! allows (3 % where it says nothing), with the wire warm; and keeps the least voltage that it works on.
//!
//! ## Why it matters
//!
//! A fridge that stops at half a battery, a charger that never reaches its voltage, a lamp that is yellow:
//! nothing is broken, the wire is only long.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! basis { cable is iso_6722_thin_wall, drop at most 3 %, ambient 50 °C }
//! family Curlew { built 2015-02 to 2020-11, place fridge, zone bay, cab, galley
//!   run bay to cab 1.8 m
//!   run cab to galley 2.6 m
//!   feed F9 is 12 V from battery, fuse 15 A, at bay
//!   ground G1 at bay }
//! part cooler_45 fills fridge { plug W { 1 supply 12 V draw 5 A, 2 ground } }
//! vehicle camper is Curlew { built 2017-08 }
//! conversion cold { recipient camper, fit cooler_45
//!   wire F9 to fridge.W[1] 2.5 mm2 RD by bay, cab, galley
//!   wire fridge.W[2] to G1 2.5 mm2 BK by galley, cab, bay }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! basis { cable is iso_6722_thin_wall, drop at most 3 %, ambient 50 °C }
//! family Curlew { built 2015-02 to 2020-11, place fridge, zone bay, cab, galley
//!   run bay to cab 1.8 m
//!   run cab to galley 2.6 m
//!   feed F9 is 12 V from battery, fuse 15 A, at bay
//!   ground G1 at bay }
//! part cooler_45 fills fridge { plug W { 1 supply 12 V draw 5 A, 2 ground } }
//! vehicle camper is Curlew { built 2017-08 }
//! conversion cold { recipient camper, fit cooler_45
//!   wire F9 to fridge.W[1] 4 mm2 RD by bay, cab, galley
//!   wire fridge.W[2] to G1 4 mm2 BK by galley, cab, bay }
//! ```
//!
//! ## References
//!
//! Ohm's law along all wires there and back. Resistance by the `cable` that the basis names: ISO 6722-1
//! (2011, from memory, unverified) for road-vehicle cable, IEC 60228 (2004), Tables 1 to 3 for general
//! cable; a gauge as a solid wire by ASTM B258. Copper warms by IEC 60028. The limit of 3 %, a metre a
//! wire to reach its plugs, and 60 °C where no `ambient` is stated: common practice, no source.

use std::collections::{HashMap, HashSet};

use trunnion_handbook::quantity::{Dimension, Quantity};
use trunnion_model::verdict::{Gate, Question, Verdict, Who};
use trunnion_model::world::When;

use crate::check::{Check, Judge};
use crate::ctx::{Ctx, trimmed};
use crate::loads::cable::{Cable, cable};
use crate::loads::path::{Back, Paths, Step};
use crate::loads::told::{Told, next_size, resize, said, shown};
use crate::loads::way::Ways;
use crate::loads::{Load, Loads, Source, concerned, is_splice, lack_draws};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "wire/drop", source: include_str!("wire_drop.rs"), judge: Judge::World(judge) };

/// Where the `basis` says nothing: share that may be lost, and how warm the copper is.
const SHARE: f64 = 3.0;
const WARM: f64 = 60.0;

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let loads = Loads::of(ctx, When::After);
    let touched: HashSet<usize> = concerned(ctx, &loads).into_iter().collect();
    if touched.is_empty() {
        return Vec::new();
    }
    let (ways, mut paths) = (Ways::of(ctx), Paths::of(&loads));
    let mut told = Vec::new();
    for load in loads.loads.iter().filter(|it| it.draws.is_some_and(|it| it.hi() > 0.0)) {
        let mut worst: Option<Told> = None;
        for source in loads.sources_of(load.node) {
            let Some(out) = paths.out(source, load) else { continue };
            let back = paths.back(source, load);
            if matches!(back, Back::Unsaid) {
                // A ground wire that is missing or ends nowhere is told by plug/cavity and wire/end.
                continue;
            }
            let all = out.iter().chain(match &back {
                Back::Wires(it) => it.as_slice(),
                _ => &[],
            });
            if !all.into_iter().any(|(it, _)| touched.contains(it)) {
                continue;
            }
            let way = Circuit { ctx, loads: &loads, ways: &ways, load, source, out: &out, back: &back };
            let it = way.judge(&touched);
            let rank = |it: &Told| match it.verdict.outcome.word() {
                "clash" => -2.0,
                "open" => -1.0,
                _ => it.room,
            };
            if let Some(it) = it
                && worst.as_ref().is_none_or(|other| rank(&it) < rank(other))
            {
                worst = Some(it);
            }
        }
        told.extend(worst);
    }
    said(ctx, told, |count| format!("Each of {count} consumers keeps its voltage"))
}

/// A consumer with one of its sources.
struct Circuit<'c, 'a> {
    ctx: &'c Ctx<'a>,
    loads: &'c Loads<'a>,
    ways: &'c Ways<'a>,
    load: &'c Load,
    source: &'c Source,
    out: &'c [Step],
    back: &'c Back,
}

/// What one wire of the way loses.
struct Loss {
    wire: usize,
    size: Quantity,
    volts: Quantity,
}

impl Circuit<'_, '_> {
    fn judge(&self, touched: &HashSet<usize>) -> Option<Told> {
        let (ctx, load) = (self.ctx, self.load);
        let place = &ctx.world.places[load.place];
        let subject = format!("{}[{}]", load.at.0.text(), load.at.1);
        let new = self.steps().find(|(it, _)| touched.contains(it)).map(|it| &ctx.world.wires[it.0]);
        let site = new.map_or(load.found.site, |it| it.id.site(it.wire.span));
        let mut room = 0.0;
        let sum =
            Sum::new(ctx, CHECK.name, subject, site, "whether consumers on new wires keep their voltage");
        let verdict = sum.work(|sum| {
            let cable = cable(sum)?;
            let share = sum.basis_or("drop", SHARE, "%")?;
            let warm = sum.basis_or("ambient", WARM, "°C")?;
            sum.rests_on(&load.found);
            sum.rests_on(&self.source.found);
            let losses = self.losses(sum, cable, &warm);
            let volts = self.source.volts.or(load.volts);
            let (losses, volts) = (losses?, volts?);
            let mut drop = Quantity::exact(0.0, "V").ok()?;
            for it in &losses {
                drop = drop.add(&it.volts).ok()?;
            }
            let drop = drop.shown_in("V").ok()?;
            let limit = Quantity::si(volts.lo() * share.hi(), volts.dimension()).ok()?.shown_in("V").ok()?;
            let lost = 100.0 * drop.hi() / volts.lo();
            sum.formula(format!(
                "{} = {} V of {} = {} %",
                losses.iter().map(|it| it.volts.display()).collect::<Vec<_>>().join(" + "),
                trimmed(drop.hi(), 3),
                volts.display(),
                trimmed(lost, 2)
            ));
            sum.name("drop", &drop, "V");
            room = 1.0 - drop.hi() / limit.hi();
            self.mend(sum, cable, &warm, &losses, (&drop, &limit), touched);
            let said = format!(
                "{} loses {} V of {}, {} %, there and back",
                load.shown(ctx),
                trimmed(drop.hi(), 2),
                volts.display(),
                trimmed(lost, 1)
            );
            let window = sum.maybe(place, "voltage_window");
            if let Some(window) = window
                && volts.lo() - drop.hi() < window.lo()
            {
                let left = volts.sub(&drop).ok()?;
                let least = Quantity::si(window.lo(), window.dimension()).ok()?.shown_in("V").ok()?;
                return Some(Answer::at_least(
                    left,
                    least,
                    &said,
                    &format!("it works from {}", least.display()),
                ));
            }
            let needed = format!("at most {}, {} V, may be lost", share.display(), trimmed(limit.hi(), 2));
            Some(Answer::at_most(drop, limit, &said, &needed))
        })?;
        Some(Told { verdict, room })
    }

    fn steps(&self) -> impl Iterator<Item = &Step> {
        let back: &[Step] = match self.back {
            Back::Wires(it) => it,
            _ => &[],
        };
        self.out.iter().chain(back)
    }

    /// What each wire loses. All that is missing is asked for at once.
    fn losses(&self, sum: &mut Sum<'_, '_>, cable: Cable, warm: &Quantity) -> Option<Vec<Loss>> {
        match self.back {
            Back::Case => sum.note("It has no ground wire: what its case and the body lose is not counted."),
            Back::Wires(_) if self.source.place.is_none() => {
                sum.note("What the body and the way to the feed lose is not counted.");
            }
            Back::Wires(_) | Back::Unsaid => {}
        }
        let mut losses = Vec::new();
        let mut known: HashMap<String, Quantity> = HashMap::new();
        for (nth, forth) in self.steps() {
            let wire = &self.ctx.world.wires[*nth];
            if is_splice(wire) {
                continue;
            }
            let current = self.loads.current(*nth)?;
            if !current.known {
                let unsaid = self.loads.unsaid(*nth);
                if !unsaid.is_empty() {
                    lack_draws(sum, self.ctx, &unsaid);
                    return None;
                }
                if current.ground {
                    sum.refuse(format!("something behind {} draws nobody knows how much", shown(wire)));
                    return None;
                }
            }
            if current.ring {
                sum.note("Two ways lead to the same place: all of the current is counted on one.");
            }
            let flow = if *forth { current.forth } else { current.back };
            let flow = self.own_ground(*nth).unwrap_or(flow);
            let [least, nominal, most] = flow;
            let amps =
                Quantity::si_range(least, nominal, most, Dimension::CURRENT).ok()?.shown_in("A").ok()?;
            let length = self.ways.length(sum, wire);
            let Some(size) = wire.wire.size else {
                let what = format!("the size of {}", shown(wire));
                let question = size_question(&what, sum.hangs());
                sum.lacks(what, question);
                continue;
            };
            let per_metre = match known.get(&size.display()) {
                Some(it) => *it,
                None => match cable.resistance(&size, warm) {
                    Ok((it, name)) => {
                        sum.formula(it.with_numbers);
                        for source in trunnion_handbook::registry::function(name)?.sources {
                            sum.source(source.to_string());
                        }
                        known.insert(size.display(), it.value);
                        it.value
                    }
                    Err(why) => {
                        sum.refuse(why);
                        return None;
                    }
                },
            };
            let Some(length) = length else { continue };
            let ohms = per_metre.mul(&length).ok()?.shown_in("mΩ").ok()?;
            let volts = sum.call("series_drop", &[amps, ohms])?.shown_in("V").ok()?;
            losses.push(Loss { wire: *nth, size, volts });
        }
        Some(losses)
    }

    /// In the ground wire of the source itself flows what it gives, also where it is charged with more.
    fn own_ground(&self, wire: usize) -> Option<[f64; 3]> {
        let (edge, true) = self.loads.edges[wire]? else { return None };
        let (place, edge) = (self.source.place?, self.loads.ground.edges[edge]);
        let earth = self.loads.earths[place]?;
        (edge.a == earth || edge.b == earth).then(|| self.loads.given[place])
    }

    /// The next size of the wire that loses most with which the whole holds; all like it are laid alike.
    fn mend(
        &self,
        sum: &mut Sum<'_, '_>,
        cable: Cable,
        warm: &Quantity,
        losses: &[Loss],
        (drop, limit): (&Quantity, &Quantity),
        touched: &HashSet<usize>,
    ) -> Option<()> {
        let mine = || losses.iter().filter(|it| touched.contains(&it.wire));
        let most = mine().max_by(|a, b| a.volts.hi().total_cmp(&b.volts.hi()))?;
        let alike: Vec<&Loss> = mine().filter(|it| it.size == most.size).collect();
        let holds = |size: &Quantity| {
            let ratio = cable.resistance(size, warm).ok().zip(cable.resistance(&most.size, warm).ok());
            let Some(ratio) = ratio.map(|((new, _), (old, _))| new.value.hi() / old.value.hi()) else {
                return false;
            };
            let saved: f64 = alike.iter().map(|it| it.volts.hi() * (1.0 - ratio)).sum();
            drop.hi() - saved <= limit.hi()
        };
        let size = next_size(&most.size, holds)?;
        let edits = alike.iter().filter_map(|it| resize(self.ctx, &self.ctx.world.wires[it.wire], &size));
        let mut edits = edits.flat_map(|it| it.edits).collect::<Vec<_>>();
        edits.dedup();
        let title =
            if edits.len() == 1 { format!("lay {size}") } else { format!("lay {size} there and back") };
        sum.fix(Some(trunnion_model::verdict::Fix { title, edits }));
        Some(())
    }
}

fn size_question(what: &str, hangs: String) -> Question {
    Question {
        what: what.to_owned(),
        good: None,
        tool: Some("print on the wire, or calliper and strand count".to_owned()),
        precision: None,
        minutes: Some(5),
        who: Who::Tape,
        gate: Gate::Power,
        hangs,
        type_in: Some("in the wire: … mm2".to_owned()),
    }
}

#[cfg(test)]
mod tests;

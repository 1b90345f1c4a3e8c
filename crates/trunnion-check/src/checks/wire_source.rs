//! # wire/source
//!
//! Each new or moved wire at a battery meets a fuse near it; and that fuse breaks what the battery drives
//! into a dead short.
//!
//! ## Why it matters
//!
//! Up to the first fuse nothing limits the current: a battery drives thousands of amperes through a
//! chafed wire. And a fuse with too little breaking capacity does not open, it burns.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind battery { asks mass }
//! kind unit { asks mass }
//! family Curlew { built 2015-02 to 2020-11, zone locker
//!   place battery is battery
//!   place heater is unit }
//! part lead is battery fills battery { plug P { 1 supply 12 V gives 600 A, 2 ground } }
//! part fan is unit fills heater { plug H { 1 supply 12 V draw 20 A, 2 ground } }
//! vehicle camper is Curlew { built 2017-08 }
//! conversion warm { recipient camper, fit lead, fit fan
//!   wire battery.P[1] to heater.H[1] 4 mm2 RD by locker, 1.2 m long }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind battery { asks mass }
//! kind unit { asks mass }
//! family Curlew { built 2015-02 to 2020-11, zone locker
//!   place battery is battery
//!   place holder is unit
//!   place heater is unit }
//! part lead is battery fills battery { plug P { 1 supply 12 V gives 600 A, 2 ground } }
//! part strip is unit fills holder { plug F { 1 supply 12 V in, 2 supply 12 V out }, fuse 30 A }
//! part fan is unit fills heater { plug H { 1 supply 12 V draw 20 A, 2 ground } }
//! vehicle camper is Curlew { built 2017-08 }
//! conversion warm { recipient camper, fit lead, fit fan, fit strip
//!   wire battery.P[1] to holder.F[1] 4 mm2 RD by locker, 0.2 m long
//!   wire holder.F[2] to heater.H[1] 4 mm2 RD by locker, 1.2 m long }
//! ```
//!
//! ## References
//!
//! With `fuse is cfr_183_455` in the `basis`, a boat rule: within 7 in of the battery (33 CFR 183.455 (a)).
//! Else `fuse distance` of the `basis`, or 0.3 m: common practice, no source. Wires to a starter are
//! not fused: common practice, no source. Short-circuit current: Ohm's law with the inner resistance of the
//! battery and, where the `cable` is named, the wire up to the fuse at 20 °C; the way back is left out,
//! which errs to the safe side.

use std::collections::HashSet;

use trunnion_handbook::quantity::Quantity;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::{Place, When};

use crate::check::{Check, Judge};
use crate::checks::need::replacements;
use crate::ctx::Ctx;
use crate::loads::cable::cable;
use crate::loads::net::Is;
use crate::loads::told::shown;
use crate::loads::way::Ways;
use crate::loads::{Loads, Source, concerned};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "wire/source", source: include_str!("wire_source.rs"), judge: Judge::World(judge) };

/// Where the `basis` says nothing, in m; and by 33 CFR 183.455 (a), in in.
const NEAR: f64 = 0.3;
const NEAR_BOAT: f64 = 7.0;

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let loads = Loads::of(ctx, When::After);
    let touched: HashSet<usize> = concerned(ctx, &loads).into_iter().collect();
    if touched.is_empty() {
        return Vec::new();
    }
    let (ways, beside) = (Ways::of(ctx), loads.supply.beside());
    let mut verdicts = Vec::new();
    for source in loads.sources.iter().filter(|it| it.battery) {
        let Some(battery) = source.place.map(|it| &ctx.world.places[it]) else { continue };
        if ctx.kind_after(battery).is_some_and(|(_, it)| it.is(ctx.db, "traction_battery")) {
            continue;
        }
        let at = At { ctx, loads: &loads, ways: &ways, source, battery };
        for (edge, next) in &beside[source.node] {
            let Is::Wire(wire) = loads.supply.edges[*edge].is else { continue };
            if !touched.contains(&wire) {
                continue;
            }
            let reach = at.reach(&beside, wire, *next);
            verdicts.extend(at.near(&reach));
            for (place, unfused) in &reach.fused {
                verdicts.extend(at.breaks(place, unfused));
            }
        }
    }
    verdicts
}

/// Wires from the battery up to the first fuses, and where they lead without one.
struct Reach<'a> {
    first: usize,
    /// The fuses, each with the wires from the battery to it.
    fused: Vec<(&'a Place, Vec<usize>)>,
    /// What draws current with no fuse before it, and whether it is a starter.
    unfused: Option<(String, bool)>,
}

struct At<'c, 'a> {
    ctx: &'c Ctx<'a>,
    loads: &'c Loads<'a>,
    ways: &'c Ways<'a>,
    source: &'c Source,
    battery: &'c Place,
}

impl<'a> At<'_, 'a> {
    /// Follows a wire from the battery to the first fuses.
    fn reach(&self, beside: &[Vec<(usize, usize)>], first: usize, from: usize) -> Reach<'a> {
        let mut reach = Reach { first, fused: Vec::new(), unfused: None };
        let mut seen = HashSet::from([self.source.node, from]);
        let mut next = vec![(from, vec![first])];
        while let Some((node, wires)) = next.pop() {
            if let Some(load) = self.loads.loads.iter().find(|it| it.node == node) {
                let place = &self.ctx.world.places[load.place];
                let kind = self.ctx.kind_after(place);
                let starter = kind.is_some_and(|(_, it)| it.is(self.ctx.db, "starter"));
                if reach.unfused.as_ref().is_none_or(|(_, other)| *other) {
                    reach.unfused = Some((place.shown(), starter));
                }
            }
            for (edge, other) in &beside[node] {
                let it = &self.loads.supply.edges[*edge];
                if let (Some(_), Is::Inside(place)) = (it.fuse, it.is) {
                    let place = &self.ctx.world.places[place];
                    if !reach.fused.iter().any(|(known, _)| known.name == place.name) {
                        reach.fused.push((place, wires.clone()));
                    }
                } else if seen.insert(*other) {
                    let mut wires = wires.clone();
                    if let Is::Wire(wire) = it.is {
                        wires.push(wire);
                    }
                    next.push((*other, wires));
                }
            }
        }
        reach
    }

    fn sum<'s>(&'s self, subject: String, wire: usize, hangs: &str) -> Sum<'s, 'a> {
        let wire = &self.ctx.world.wires[wire];
        let mut sum = Sum::new(self.ctx, CHECK.name, subject, wire.id.site(wire.wire.span), hangs);
        sum.rests_on(&self.source.found);
        sum
    }

    /// That the first fuse is near.
    fn near(&self, reach: &Reach<'_>) -> Option<Verdict> {
        let wire = &self.ctx.world.wires[reach.first];
        let hangs = "whether a fuse sits near the battery";
        let subject = format!("{}.fuse", self.battery.name);
        self.sum(subject, reach.first, hangs).work(|sum| {
            if let Some((what, starter)) = &reach.unfused {
                if *starter {
                    sum.source("wires to a starter are not fused: common practice, no source");
                    let told = format!(
                        "{} leads to the {what}, which is not fused.",
                        crate::ctx::capital(&shown(wire))
                    );
                    return Some(Answer::sentences(
                        trunnion_handbook::quantity::Truth::Yes,
                        told.clone(),
                        told,
                    ));
                }
                let needed = "nothing limits the current of the battery but a fuse near it";
                let said = format!("{} reaches the {what} without a fuse", shown(wire));
                return Some(Answer::told(trunnion_handbook::quantity::Truth::No, &said, needed));
            }
            let (place, wires) = reach.fused.iter().max_by_key(|(_, it)| it.len())?;
            let mut far = Quantity::exact(0.0, "m").ok()?;
            let mut known = true;
            for wire in wires {
                match self.ways.length(sum, &self.ctx.world.wires[*wire]) {
                    Some(it) => far = far.add(&it).ok()?,
                    None => known = false,
                }
            }
            let boat = self.ctx.basis("fuse");
            let boat =
                boat.best().and_then(|it| it.values.first()?.word()).is_some_and(|it| it == "cfr_183_455");
            let near = if boat {
                sum.source("33 CFR 183.455 (a): within 7 in of the battery; a rule for boats");
                Quantity::exact(NEAR_BOAT, "in").ok()?
            } else {
                sum.basis_or("fuse_distance", NEAR, "m")?
            };
            known.then_some(())?;
            let said = format!(
                "the {} sits {} of wire from the {}",
                place.shown(),
                far.display(),
                self.battery.shown()
            );
            Some(Answer::at_most(far, near, &said, &format!("at most {} are good", near.display())))
        })
    }

    /// That the first fuse breaks a dead short.
    fn breaks(&self, fuse: &Place, wires: &[usize]) -> Option<Verdict> {
        if !self.ctx.stated(fuse, "breaking_capacity") && !self.ctx.stated(self.battery, "inner_resistance") {
            return None;
        }
        let hangs = format!("whether the {} opens on a dead short", fuse.shown());
        let subject = format!("{}.breaking_capacity", fuse.name);
        self.sum(subject, *wires.first()?, &hangs).work(|sum| {
            let inner = sum.figure(self.battery, "inner_resistance");
            let breaks = sum.figure(fuse, "breaking_capacity");
            let volts = sum.maybe(self.battery, "rest_voltage").or(self.source.volts);
            let wire = self.resistance(sum, wires)?;
            let (breaks, volts) = (breaks?, volts?);
            let short = sum.call("short_circuit_current", &[volts, inner?, wire])?.shown_in("A").ok()?;
            sum.name("short-circuit current", &short, "A");
            sum.fixes(replacements(self.ctx, fuse, &|id| {
                let stated =
                    trunnion_model::known::of_part(self.ctx.db, self.ctx.workspace, id, "breaking_capacity");
                stated.first().and_then(|it| it.quantity()).is_some_and(|it| it.lo() >= short.hi())
            }));
            let said = format!("the {} drives {} into a dead short", self.battery.shown(), short.display());
            let limit = format!("the {} breaks {}", fuse.shown(), breaks.display());
            Some(Answer::at_most(short, breaks, &said, &limit))
        })
    }

    /// The resistance of wires at 20 °C, when a short is worst; none of it where the cable is not named.
    fn resistance(&self, sum: &mut Sum<'_, '_>, wires: &[usize]) -> Option<Quantity> {
        let mut all = Quantity::exact(0.0, "mΩ").ok()?;
        if self.ctx.basis("cable").best().is_none() {
            return Some(all);
        }
        let (cable, cold) = (cable(sum)?, Quantity::exact(20.0, "°C").ok()?);
        for wire in wires.iter().map(|it| &self.ctx.world.wires[*it].wire) {
            let (Some(size), Some(length)) = (wire.size, wire.length) else { continue };
            if let Ok((per_metre, _)) = cable.resistance(&size, &cold) {
                sum.formula(per_metre.with_numbers);
                all = all.add(&per_metre.value.mul(&length).ok()?).ok()?;
            }
        }
        all.shown_in("mΩ").ok()
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::{Found, check};

    fn camper(basis: &str, battery: &str, holder: &str, wires: &str) -> Found {
        let source = format!(
            r#"
source sheet "Data sheets" documented
basis {{ {basis} }}
kind battery {{ asks mass }}
kind starter {{ asks mass }}
kind unit {{ asks mass }}
family Curlew {{ built 2015-02 to 2020-11, zone locker
  place battery is battery
  place holder is unit
  place heater is unit
  place starter is starter }}
part lead is battery fills battery {{ plug P {{ 1 supply 12 V gives 600 A, 2 ground }}, {battery} }}
part strip is unit fills holder {{ plug F {{ 1 supply 12 V in, 2 supply 12 V out }}, fuse 30 A, {holder} }}
part strong is unit fills holder {{ plug F {{ 1 supply 12 V in, 2 supply 12 V out }}, fuse 30 A, breaking capacity 10000 A, offer 9 EUR }}
part fan is unit fills heater {{ plug H {{ 1 supply 12 V draw 20 A, 2 ground }} }}
part cranker is starter fills starter {{ plug S {{ 1 supply 12 V draw 400 A }} }}
vehicle camper is Curlew {{ built 2017-08 }}
conversion warm {{ recipient camper, fit lead, fit fan, fit strip, fit cranker
  {wires} }}"#
        );
        check("wire/source", &source)
    }

    const WIRES: &str = "wire battery.P[1] to holder.F[1] 4 mm2 RD by locker, 0.25 m long\n  wire holder.F[2] to heater.H[1] 4 mm2 RD by locker, 1 m long";

    #[test]
    fn a_fuse_near_the_battery_is_clear() {
        let found = camper("drop at most 3 %", "mass 9 kg", "mass 1 kg", WIRES);
        found.clear("The holder sits 0.25 m of wire from the battery; at most 0.3 m are good.");
        assert_eq!(found.only().subject, "battery.fuse");
        assert_eq!(found.only().margin.as_deref(), Some("0.05 m"));
    }

    #[test]
    fn the_boat_rule_is_stricter_and_is_named() {
        let found = camper("fuse is cfr_183_455", "mass 9 kg", "mass 1 kg", WIRES);
        // 33 CFR 183.455 (a): 7 in are 177.8 mm.
        found.clash("The holder sits 0.25 m of wire from the battery, but at most 7 in are good.");
        assert!(found.only().sources.iter().any(|it| it.contains("a rule for boats")));
    }

    #[test]
    fn no_fuse_at_all_is_a_clash_and_a_starter_needs_none() {
        let found = camper(
            "drop at most 3 %",
            "mass 9 kg",
            "mass 1 kg",
            "wire battery.P[1] to heater.H[1] 4 mm2 RD by locker, 1 m long",
        );
        found.clash(
            "The wire from battery.P[1] to heater.H[1] reaches the heater without a fuse, but nothing limits the \
             current of the battery but a fuse near it.",
        );
        assert_eq!(found.text(), "wire battery.P[1] to heater.H[1] 4 mm2 RD by locker, 1 m long");
        camper(
            "drop at most 3 %",
            "mass 9 kg",
            "mass 1 kg",
            "wire battery.P[1] to starter.S[1] 25 mm2 RD by locker, 1 m long",
        )
        .clear("The wire from battery.P[1] to starter.S[1] leads to the starter, which is not fused.");
    }

    #[test]
    fn breaking_capacity_against_the_short_circuit() {
        let found = camper("drop at most 3 %", "inner resistance 4 mΩ", "breaking capacity 2000 A", WIRES);
        let clash = found.about("holder.breaking_capacity");
        // 12 V / 4 mΩ = 3000 A.
        assert_eq!(
            clash.message,
            "The battery drives 3000 A into a dead short, but the holder breaks 2000 A."
        );
        assert!(clash.fixes[0].title.contains("strong"));
        let found =
            camper("cable is iso_6722_thin_wall", "inner resistance 4 mΩ", "breaking capacity 3000 A", WIRES);
        // ISO 6722-1: 4.71 mΩ/m for 4 mm²; 12 V / (4 mΩ + 0.25 m × 4.71 mΩ/m) = 2318 A.
        let clear = found.about("holder.breaking_capacity");
        assert_eq!(clear.outcome.word(), "clear");
        assert!(clear.message.starts_with("The battery drives 2318 A"), "{}", clear.message);
    }

    #[test]
    fn what_nobody_said_is_open() {
        let found = camper("drop at most 3 %", "mass 9 kg", "breaking capacity 2000 A", WIRES);
        let open = found.about("holder.breaking_capacity");
        assert_eq!(open.outcome.word(), "open");
        assert_eq!(
            open.message,
            "Nobody has said the inner resistance of the battery: it decides whether the holder opens on a dead short."
        );
    }
}

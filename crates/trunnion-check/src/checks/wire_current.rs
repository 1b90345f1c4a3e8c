//! # wire/current
//!
//! Each new or moved wire, and each that has to carry more than before, carries its current at worst:
//! all that is drawn behind it, by size, insulation, heat around it and what it is bundled with.
//!
//! ## Why it matters
//!
//! The wire is the fuse nobody planned. One size too thin does not fail at once: it bakes the tape around
//! it for a summer and then meets its neighbour.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! basis { current is cfr_183_425, insulation 105 °C, ambient 50 °C }
//! family Curlew { built 2015-02 to 2020-11, place heater, zone bay, cab
//!   run bay to cab 1.8 m
//!   feed F9 is 12 V from battery, fuse 40 A, at bay }
//! part fan_heater fills heater { plug H { 1 supply 12 V draw 32 A, 2 ground } }
//! vehicle camper is Curlew { built 2017-08 }
//! conversion warm { recipient camper, fit fan_heater
//!   wire F9 to heater.H[1] 2.5 mm2 RD by bay, cab }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! basis { current is cfr_183_425, insulation 105 °C, ambient 50 °C }
//! family Curlew { built 2015-02 to 2020-11, place heater, zone bay, cab
//!   run bay to cab 1.8 m
//!   feed F9 is 12 V from battery, fuse 40 A, at bay }
//! part fan_heater fills heater { plug H { 1 supply 12 V draw 32 A, 2 ground } }
//! vehicle camper is Curlew { built 2017-08 }
//! conversion warm { recipient camper, fit fan_heater
//!   wire F9 to heater.H[1] 4 mm2 RD by bay, cab }
//! ```
//!
//! ## References
//!
//! Which table is taken stands in the `basis`; none is silently the default. `cfr_183_425` is 33 CFR
//! 183.425, Table 5 with its notes 1 and 2: a rule for boats. Note 1 means an engine space of 50 °C;
//! where it is hotter, the square-root law of `trunnion explain current_at_ambient`. Note 2, for bundles,
//! binds from 50 V. Sizes below the table are open. Gauges by ASTM B258.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::verdict::{Gate, Question, Verdict, Who};
use trunnion_model::world::When;

use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::loads::carries::{Lies, allowed, lies};
use crate::loads::told::{Told, next_size, resize, said, shown, subject};
use crate::loads::way::{Ways, passes};
use crate::loads::{Current, Loads, concerned, is_splice, lack_draws};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "wire/current", source: include_str!("wire_current.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let loads = Loads::of(ctx, When::After);
    let ways = Ways::of(ctx);
    let told = concerned(ctx, &loads).into_iter().filter_map(|it| one(ctx, &loads, &ways, it));
    said(ctx, told.collect(), |count| format!("Each of {count} wires carries its current"))
}

/// How many wires of the fullest run that a wire passes carry current.
fn bundled(ctx: &Ctx<'_>, loads: &Loads<'_>, ways: &Ways<'_>, wire: usize) -> usize {
    let carries = |it: &&usize| loads.current(**it).is_some_and(|it| it.amps()[2] > 0.0);
    let counts = passes(&ctx.world.wires[wire])
        .filter_map(|it| ways.shared.get(&it))
        .map(|all| all.iter().filter(carries).count());
    counts.max().unwrap_or(1)
}

/// What a wire carries at worst: what is drawn behind it, else what its fuse lets through.
fn carried(current: &Current) -> Option<(Quantity, bool)> {
    match current.quantity() {
        Some(it) => Some((it, false)),
        None => Some((Quantity::exact(current.most?, "A").ok()?, true)),
    }
}

fn one(ctx: &Ctx<'_>, loads: &Loads<'_>, ways: &Ways<'_>, nth: usize) -> Option<Told> {
    let wire = &ctx.world.wires[nth];
    let current = loads.current(nth).filter(|_| !is_splice(wire))?;
    let chosen = !ctx.basis("current").claims().is_empty();
    let unsaid = if current.known || current.most.is_some() { Vec::new() } else { loads.unsaid(nth) };
    // A return of which part is not known, and not by a consumer near it.
    let vague = current.ground && !current.known && unsaid.is_empty();
    let some = if current.known {
        current.amps()[2] > 0.0
    } else {
        chosen && (vague || current.most.is_some() || !unsaid.is_empty())
    };
    if !some {
        return None;
    }
    let shown = shown(wire);
    let site = wire.id.site(wire.wire.span);
    let mut room = 0.0;
    let hangs = "whether new wires carry their current and their fuses protect them";
    let verdict = Sum::new(ctx, CHECK.name, subject(wire), site, hangs).work(|sum| {
        let lies = lies(sum, loads.volts(nth), || bundled(ctx, loads, ways, nth));
        if !chosen {
            return None;
        }
        if !unsaid.is_empty() {
            lack_draws(sum, ctx, &unsaid);
        }
        if vague {
            sum.refuse(format!("something behind {shown} draws nobody knows how much"));
        }
        loads.rests(ctx, nth).iter().for_each(|it| sum.rests_on(it));
        let Some(size) = wire.wire.size else {
            sum.lacks(format!("the size of {shown}"), size_question(&shown, hangs));
            return None;
        };
        let (lies, (amps, by_fuse)) = (lies?, carried(current)?);
        let made = match allowed(&size, &lies) {
            Ok(it) => it,
            Err(why) => {
                sum.refuse(why);
                return None;
            }
        };
        made.into_sum(sum, &size);
        sum.name("current", &amps, "A");
        if current.ring {
            sum.note(
                "Two ways lead to the same place: the current may divide, at worst all of it goes one way.",
            );
        }
        ways_out(ctx, sum, wire, &size, &amps, &lies);
        room = 1.0 - amps.hi() / made.amps.hi();
        let how = if by_fuse { ", what its fuse lets through" } else { "" };
        let said = format!("{shown} carries {}{how}", display(&amps));
        let limit = format!(
            "{} with insulation for {} may carry {} at {} (33 CFR 183.425)",
            size.display(),
            lies.insulation.display(),
            made.amps.display(),
            lies.ambient.display()
        );
        Some(Answer::at_most(amps, made.amps, &said, &limit))
    })?;
    Some(Told { verdict, room })
}

fn display(amps: &Quantity) -> String {
    if amps.lo() == 0.0 && !amps.is_exact() {
        let most = Quantity::si(amps.hi(), amps.dimension()).and_then(|it| it.shown_in("A"));
        return most.map_or_else(|_| amps.display(), |it| format!("up to {}", it.display()));
    }
    amps.display()
}

fn ways_out(
    ctx: &Ctx<'_>,
    sum: &mut Sum<'_, '_>,
    wire: &trunnion_model::world::WireAt,
    size: &Quantity,
    amps: &Quantity,
    lies: &Lies,
) {
    let holds = |size: &Quantity| allowed(size, lies).is_ok_and(|it| it.amps.hi() >= amps.hi());
    if let Some(next) = next_size(size, holds) {
        sum.fix(resize(ctx, wire, &next));
    }
}

fn size_question(shown: &str, hangs: &str) -> Question {
    Question {
        what: format!("the size of {shown}"),
        good: None,
        tool: Some("print on the wire, or calliper and strand count".to_owned()),
        precision: None,
        minutes: Some(5),
        who: Who::Tape,
        gate: Gate::Power,
        hangs: hangs.to_owned(),
        type_in: Some("in the wire: … mm2".to_owned()),
    }
}

#[cfg(test)]
mod tests;

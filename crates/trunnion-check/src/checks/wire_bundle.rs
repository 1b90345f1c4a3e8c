//! # wire/bundle
//!
//! All wires that pass a grommet or tube go through its bore, where the conversion adds one to them.
//!
//! ## Why it matters
//!
//! The last three wires do not go through, the hole is opened with a file, and the grommet no longer
//! keeps water and sheet metal from the loom.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! basis { cable is iso_6722_thin_wall }
//! family Curlew { built 2015-02 to 2020-11, place fridge, pump, zone cab, galley
//!   run cab to galley 2.6 m through panel, bore 6 mm
//!   ground G1 at cab
//!   feed F9 is 12 V from battery, fuse 15 A, at cab }
//! part cooler fills fridge { plug W { 1 supply 12 V draw 5 A, 2 ground } }
//! vehicle camper is Curlew { built 2017-08 }
//! conversion cold { recipient camper, fit cooler
//!   wire F9 to fridge.W[1] 4 mm2 RD by cab, galley
//!   wire fridge.W[2] to G1 4 mm2 BK by galley, cab }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! basis { cable is iso_6722_thin_wall }
//! family Curlew { built 2015-02 to 2020-11, place fridge, pump, zone cab, galley
//!   run cab to galley 2.6 m through panel, bore 6 mm
//!   ground G1 at cab
//!   feed F9 is 12 V from battery, fuse 15 A, at cab }
//! part cooler fills fridge { plug W { 1 supply 12 V draw 5 A, 2 ground } }
//! vehicle camper is Curlew { built 2017-08 }
//! conversion cold { recipient camper, fit cooler
//!   wire F9 to fridge.W[1] 2.5 mm2 RD by cab, galley
//!   wire fridge.W[2] to G1 2.5 mm2 BK by galley, cab }
//! ```
//!
//! ## References
//!
//! Equal wires up to 20: the published packings of circles (Graham, Lubachevsky, Nurmela, Östergård, Discrete
//! Mathematics 181, 1998). Others: no hole narrower than the two widest wires side by side, or than all areas together,
//! takes them; a packing that is worked out shows one that does. Between the two it is open, with the rule
//! 1.2 √Σd² beside it: common practice, no source, and low for several counts. Outside diameters: ISO
//! 6722-1 (2011, from memory, unverified), thin wall; of a size between two, the larger. Tape or sleeve comes
//! on top; only wires that are stated count.

use std::collections::HashSet;

use trunnion_handbook::bundle::MOST_WIRES;
use trunnion_handbook::quantity::{Quantity, Truth};
use trunnion_model::decl::Run;
use trunnion_model::known;
use trunnion_model::name::Id;
use trunnion_model::verdict::{Gate, Question, Verdict, Who};
use trunnion_model::world::When;

use crate::check::{Check, Judge};
use crate::ctx::{Ctx, trimmed};
use crate::loads::cable::cable;
use crate::loads::told::{Told, said};
use crate::loads::way::{Between, Ways, site};
use crate::loads::{Loads, concerned, is_splice};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "wire/bundle", source: include_str!("wire_bundle.rs"), judge: Judge::World(judge) };

/// As many equal wires have a published packing.
const EQUAL: usize = 20;

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let loads = Loads::of(ctx, When::After);
    let touched: HashSet<usize> = concerned(ctx, &loads).into_iter().collect();
    let ways = Ways::of(ctx);
    let bored = ways.runs.iter().filter(|(_, (_, run))| run.bore.is_some());
    let told = bored.filter_map(|(between, run)| {
        let wires = ways.shared.get(between)?;
        let new = wires.iter().any(|it| touched.contains(it));
        new.then(|| one(ctx, between, run, wires)).flatten()
    });
    said(ctx, told.collect(), |count| format!("Each of {count} bores takes its wires"))
}

fn one(ctx: &Ctx<'_>, between: &Between, run: &(Id, &Run), wires: &[usize]) -> Option<Told> {
    // The question for the cable is asked by wire/drop.
    ctx.basis("cable").best()?;
    let wires: Vec<_> = wires.iter().map(|it| &ctx.world.wires[*it]).filter(|it| !is_splice(it)).collect();
    let new = wires.iter().rev().find(|it| it.laid == trunnion_model::world::Laid::Conversion);
    let place = new.map_or_else(|| site(run), |it| it.id.site(it.wire.span));
    let way = format!("{} to {}", between.0, between.1).replace('_', " ");
    let subject = format!("{}.{}", between.0, between.1);
    let bore = run.1.bore?;
    let mut room = 0.0;
    let hangs = format!("whether all wires go through the bore on the way from {way}");
    let sum = Sum::new(ctx, CHECK.name, subject, place, hangs);
    let verdict = sum.work(|sum| {
        let cable = cable(sum)?;
        let said =
            wires.iter().map(|it| known::said(ctx.db, ctx.workspace, it.id, &it.wire.claim, it.wire.span));
        if let Some(weakest) = said.min_by_key(|it| it.standing) {
            sum.rests_on(&weakest);
        }
        let unsized_wires = wires.iter().filter(|it| it.wire.size.is_none()).count();
        if unsized_wires > 0 {
            let what = match unsized_wires {
                1 => format!("the size of one wire from {way}"),
                count => format!("the sizes of {count} wires from {way}"),
            };
            let question = size_question(&what, sum.hangs());
            sum.lacks(what, question);
            return None;
        }
        if wires.len() > MOST_WIRES {
            sum.refuse(format!(
                "{} wires pass, and a packing is worked out for {MOST_WIRES} at most",
                wires.len()
            ));
            return None;
        }
        let mut widths = Vec::new();
        for size in wires.iter().filter_map(|it| it.wire.size) {
            match cable.diameter(&size) {
                Ok((mm, _)) => widths.push(Quantity::exact(mm, "mm").ok()?),
                Err(why) => {
                    sum.refuse(why);
                    return None;
                }
            }
        }
        sum.source("ISO 6722-1, 2011, thin wall, largest outside diameters (from memory, unverified)");
        sum.note(
            "Tape or sleeve comes on top. Only wires that are stated count: look at what else goes through.",
        );
        let count = match widths.len() {
            1 => "one wire".to_owned(),
            count => format!("{count} wires"),
        };
        let first = widths.first().copied()?;
        let (least, most) = if widths.len() <= EQUAL && widths.iter().all(|it| *it == first) {
            let width = sum.call("bundle_diameter", &[Quantity::number(widths.len() as f64).ok()?, first])?;
            (width, width)
        } else {
            (sum.call("bundle_least", &widths)?, sum.call("bundle_most", &widths)?)
        };
        let mm = |it: &Quantity| format!("{} mm", trimmed(it.in_unit("mm").unwrap_or(f64::NAN), 1));
        room = 1.0 - most.hi() / bore.lo();
        let bore_mm = mm(&bore);
        let margin = bore.sub(&most).ok()?.shown_in("mm").ok()?;
        let (truth, told) = if most.hi() <= bore.lo() {
            (Truth::Yes, format!("from {way} {count} need a bore of {}", mm(&most)))
        } else if least.lo() > bore.hi() {
            (Truth::No, format!("from {way} {count} need a bore of {} at least", mm(&least)))
        } else {
            let rule = sum.call("bundle_rule", &widths)?;
            let between = format!("{} to {}, {} by the workshop's rule", mm(&least), mm(&most), mm(&rule));
            (Truth::Maybe, format!("from {way} {count} need a bore of {between}"))
        };
        let answer = Answer::told(truth, &told, &format!("there are {bore_mm}"));
        Some(
            answer
                .need(mm(&most), bore_mm.clone())
                .margin(format!("{} mm", trimmed(margin.in_unit("mm")?, 1))),
        )
    })?;
    Some(Told { verdict, room })
}

fn size_question(what: &str, hangs: String) -> Question {
    Question {
        what: what.to_owned(),
        good: None,
        tool: Some("print on the wire, or calliper over the insulation".to_owned()),
        precision: None,
        minutes: Some(10),
        who: Who::Tape,
        gate: Gate::NoReturn,
        hangs,
        type_in: Some("in the wire: … mm2".to_owned()),
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::{Found, check};

    fn camper(basis: &str, bore: &str, wires: &str) -> Found {
        let source = format!(
            r#"
basis {{ {basis} }}
family Curlew {{ built 2015-02 to 2020-11, place fridge, pump, zone cab, galley
  run cab to galley 2.6 m through panel, bore {bore}
  ground G1 at cab
  feed F9 is 12 V from battery, fuse 15 A, at cab }}
part cooler fills fridge {{ plug W {{ 1 supply 12 V draw 5 A, 2 ground }} }}
part lift fills pump {{ plug W {{ 1 supply 12 V draw 5 A, 2 ground }} }}
vehicle camper is Curlew {{ built 2017-08 }}
conversion cold {{ recipient camper, fit cooler, fit lift
  {wires} }}"#
        );
        check("wire/bundle", &source)
    }

    const THIN: &str = "cable is iso_6722_thin_wall";
    const TWO: &str = "wire F9 to fridge.W[1] 2.5 mm2 RD by cab, galley\n  wire fridge.W[2] to G1 2.5 mm2 BK by galley, cab";

    #[test]
    fn two_side_by_side_are_exact() {
        // ISO 6722-1, thin wall: 2.5 mm² has 3 mm at most.
        let found = camper(THIN, "7 mm", TWO);
        found.clear("From cab to galley 2 wires need a bore of 6 mm; there are 7 mm.");
        assert_eq!(found.only().margin.as_deref(), Some("1 mm"));
        assert_eq!(found.only().subject, "cab.galley");
        let found = camper(THIN, "5 mm", TWO);
        found.clash("From cab to galley 2 wires need a bore of 6 mm at least, but there are 5 mm.");
        assert_eq!(found.text(), "wire fridge.W[2] to G1 2.5 mm2 BK by galley, cab");
    }

    #[test]
    fn between_both_bounds_it_is_open_with_the_rule_beside_it() {
        let four = format!(
            "{TWO}\n  wire F9 to pump.W[1] 2.5 mm2 RD by cab, galley\n  wire pump.W[2] to G1 2.5 mm2 BK by galley, cab"
        );
        // Four equal circles: 1 + √2 diameters (Graham et al., 1998), 7.243 mm.
        assert_eq!(camper(THIN, "7.2 mm", &four).only().outcome.word(), "clash");
        assert_eq!(camper(THIN, "7.3 mm", &four).only().outcome.word(), "clear");
        // Three of 3 mm touch one another in 2.155 of their diameters, 6.464 mm (the same source); 2.4 mm
        // goes beside them. The two widest side by side are 6 mm.
        let mixed = format!(
            "{TWO}\n  wire F9 to pump.W[1] 2.5 mm2 RD by cab, galley\n  wire pump.W[2] to G1 1.5 mm2 BK by galley, cab"
        );
        let found = camper(THIN, "6.2 mm", &mixed);
        assert_eq!(found.only().outcome.word(), "open", "{}", found.listing());
        assert!(found.only().question.is_some());
        let message = &found.only().message;
        assert!(message.starts_with("From cab to galley 4 wires need a bore of 6 mm to "), "{message}");
        assert!(
            message.ends_with(
                ", 6.9 mm by the workshop's rule; there are 6.2 mm: the tolerances leave both possible."
            ),
            "{message}"
        );
        assert_eq!(camper(THIN, "8 mm", &mixed).only().outcome.word(), "clear");
    }

    #[test]
    fn a_wire_without_size_is_asked_for_and_without_a_cable_it_waits() {
        let found = camper(THIN, "7 mm", &format!("{TWO}\n  wire F9 to pump.W[1] RD by cab, galley"));
        found.open(
            "Nobody has said the size of one wire from cab to galley: it decides whether all wires go through the bore \
             on the way from cab to galley.",
        );
        camper("drop at most 3 %", "7 mm", TWO).silent();
        let found = camper("cable is iec_60228_class_5", "7 mm", TWO);
        assert!(found.only().message.contains("for iso_6722_thin_wall only"), "{}", found.only().message);
    }
}

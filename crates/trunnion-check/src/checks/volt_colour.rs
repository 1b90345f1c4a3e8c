//! # volt/colour
//!
//! Every cable that carries high voltage outside an enclosure is orange, those that are run and those
//! that come with a unit.
//!
//! ## Why it matters
//!
//! Orange is what the next mechanic and the rescue crew go by. Licensed work: clear on paper is not
//! permission.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Plover { built 1968-01 to 1974-12
//!   place traction_battery is traction_battery
//!   place inverter is inverter }
//! part block is traction_battery { plug P { 1 supply 380 V out, 2 ground } }
//! part drive is inverter { plug P { 1 supply 380 V in, 2 ground } }
//! vehicle roadster is Plover { built 1971-05 }
//! conversion electric { recipient roadster, fit block for traction_battery, fit drive for inverter
//!   wire traction_battery.P[1] to inverter.P[1] 50 mm2 RD }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! family Plover { built 1968-01 to 1974-12
//!   place traction_battery is traction_battery
//!   place inverter is inverter }
//! part block is traction_battery { plug P { 1 supply 380 V out, 2 ground } }
//! part drive is inverter { plug P { 1 supply 380 V in, 2 ground } }
//! vehicle roadster is Plover { built 1971-05 }
//! conversion electric { recipient roadster, fit block for traction_battery, fit drive for inverter
//!   wire traction_battery.P[1] to inverter.P[1] 50 mm2 OG }
//! ```
//!
//! ## References
//!
//! UN Regulation No. 100, 02 series of amendments, 5.1.1.5.3: cables of high-voltage buses outside
//! enclosures have an orange outer covering. Colour letters: IEC 60757.

use trunnion_handbook::quantity::Truth;
use trunnion_model::verdict::{Edit, Fix, Gate, Question, Verdict, Who};
use trunnion_model::world::{Place, WireAt};

use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::pack::{HIGH_SOURCE, high_wires, pack};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "volt/colour", source: include_str!("volt_colour.rs"), judge: Judge::World(judge) };

const RULE: &str = "UN Regulation No. 100, 02 series of amendments, 5.1.1.5.3: orange outer covering";

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let Some(pack) = pack(ctx) else { return Vec::new() };
    let wires = high_wires(ctx).into_iter().filter_map(|it| wire(ctx, pack.place, it));
    let cables = pack.all().filter(|it| ctx.stated(it, "cable_colour"));
    wires.chain(cables.filter_map(|it| cable(ctx, it))).collect()
}

fn wire(ctx: &Ctx<'_>, battery: &Place, wire: &WireAt) -> Option<Verdict> {
    let (subject, site) = (wire.a.text(), wire.id.site(wire.wire.span));
    let hangs = "whether the cable is known for what it is";
    let mut sum = Sum::new(ctx, CHECK.name, subject, site, hangs);
    sum.safety_of(&[battery]);
    sum.source(RULE);
    sum.source(HIGH_SOURCE);
    let what = format!("the wire from {} to {} carries high voltage", wire.a.text(), wire.b.text());
    sum.work(|sum| {
        let Some(colour) = &wire.wire.colour else {
            sum.lacks(
                format!("the colour of the wire from {} to {}", wire.a.text(), wire.b.text()),
                question(hangs),
            );
            return None;
        };
        let orange = colour.value == "OG";
        let name = trunnion_handbook::colour::colours(&colour.value).map(|it| it.join(" and "));
        let edit = Edit { site: wire.id.site(colour.span), text: "OG".to_owned() };
        sum.fix(Some(Fix { title: "make it orange".to_owned(), edits: vec![edit] }));
        let there = name.unwrap_or_else(|| colour.value.to_string());
        let truth = if orange { Truth::Yes } else { Truth::No };
        Some(Answer::told(truth, &what, &format!("it is {there}")).need("orange", there))
    })
}

fn cable(ctx: &Ctx<'_>, unit: &Place) -> Option<Verdict> {
    let site = unit.done.last().map_or(unit.site, |it| it.site);
    let subject = format!("{}.cable_colour", unit.name);
    let mut sum = Sum::new(ctx, CHECK.name, subject, site, "whether its cables are known for what they are");
    sum.safety_of(&[unit]);
    sum.source(RULE);
    sum.work(|sum| {
        let colour = sum.word(unit, "cable_colour")?;
        let orange = colour == "orange" || colour == "OG";
        let truth = if orange { Truth::Yes } else { Truth::No };
        let said = format!("the cables of {} carry high voltage", ctx.part_shown(unit));
        Some(Answer::told(truth, &said, &format!("they are {colour}")).need("orange", colour))
    })
}

fn question(hangs: &str) -> Question {
    Question {
        what: "the colour of the cable".to_owned(),
        good: Some("orange (OG)".to_owned()),
        tool: Some("look".to_owned()),
        precision: None,
        minutes: Some(5),
        who: Who::Tape,
        gate: Gate::Power,
        hangs: hangs.to_owned(),
        type_in: Some("wire … OG".to_owned()),
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn wired(volts: &str, wire: &str, unit: &str) -> String {
        format!(
            r#"
family Plover {{ built 1968-01 to 1974-12
  place traction_battery is traction_battery
  place inverter is inverter }}
part block is traction_battery {{ {unit} plug P {{ 1 supply {volts} out, 2 ground }} }}
part drive is inverter {{ plug P {{ 1 supply {volts} in, 2 ground }} }}
vehicle roadster is Plover {{ built 1971-05 }}
conversion electric {{ recipient roadster, fit block for traction_battery, fit drive for inverter
  wire traction_battery.P[1] to inverter.P[1] {wire} }}"#
        )
    }

    #[test]
    fn orange_is_clear() {
        check("volt/colour", &wired("380 V", "50 mm2 OG", "")).clear(
            "The wire from traction_battery.P[1] to inverter.P[1] carries high voltage; it is orange.",
        );
    }

    #[test]
    fn another_colour_is_a_clash_and_is_mended() {
        let found = check("volt/colour", &wired("380 V", "50 mm2 RD", ""));
        found.clash(
            "The wire from traction_battery.P[1] to inverter.P[1] carries high voltage, but it is red.",
        );
        assert!(found.fixed(0).contains("50 mm2 OG"));
    }

    #[test]
    fn a_colour_nobody_stated_is_open() {
        check("volt/colour", &wired("380 V", "50 mm2", "")).open(
            "Nobody has said the colour of the wire from traction_battery.P[1] to inverter.P[1]: it decides whether \
             the cable is known for what it is.",
        );
    }

    #[test]
    fn low_voltage_may_be_any_colour() {
        check("volt/colour", &wired("48 V", "50 mm2 RD", "")).silent();
    }

    #[test]
    fn cables_that_come_with_a_unit_count_too() {
        let found = check("volt/colour", &wired("48 V", "50 mm2 RD", "cable colour \"black\","));
        found.clash("The cables of block carry high voltage, but they are black.");
    }
}

//! # bus/rate
//!
//! Every module on a bus speaks its protocol at its rate, on both of its wires.
//!
//! ## Why it matters
//!
//! One module at another rate does not merely stay silent: it spoils every frame of the others,
//! and the whole bus goes down with all that hangs on it.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place gearbox_controller is unit
//!   bus drive is CAN at 500 kbit/s }
//! connector shell24 { cavities 24 }
//! module kit_unit is unit fills gearbox_controller {
//!   plug K1 is shell24 { 3 can_high drive, 4 can_low drive }
//!   can rate 250 kbit/s }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit kit_unit }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place gearbox_controller is unit
//!   bus drive is CAN at 500 kbit/s }
//! connector shell24 { cavities 24 }
//! module kit_unit is unit fills gearbox_controller {
//!   plug K1 is shell24 { 3 can_high drive, 4 can_low drive }
//!   can rate 500 kbit/s }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit kit_unit }
//! ```
//!
//! ## References
//!
//! All nodes of a CAN network use one nominal bit rate: ISO 11898-1 (bit timing). A module that
//! left the factory on a family speaks at the rate of that family's bus of the same name; of any
//! other the rate must be stated.

use trunnion_model::built::family;
use trunnion_model::fact::{Found, Known, Value, ValueKind};
use trunnion_model::known;
use trunnion_model::name::{Id, Space};
use trunnion_model::verdict::{Gate, Question, Verdict, Who};
use trunnion_model::world::When;

use crate::bus::{Bus, Node, buses, cavities, is_bus_role, protocol};
use crate::check::{Check, Judge};
use crate::ctx::{Ctx, listed};

/// The check.
pub static CHECK: Check =
    Check { name: "bus/rate", source: include_str!("bus_rate.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let mut verdicts: Vec<Verdict> = Vec::new();
    for bus in buses(ctx).iter().filter(|it| it.touched) {
        verdicts.extend(on_bus(ctx, bus));
    }
    verdicts.extend(nameless(ctx));
    verdicts
}

/// The verdicts on one bus: a clash or an open for each module, or one clear for all of it.
fn on_bus(ctx: &Ctx<'_>, bus: &Bus<'_>) -> Vec<Verdict> {
    let site = bus.id.site(bus.decl.span);
    let Some(rate) = bus.decl.rate else {
        let measure = if bus.is_can() { "can_rate" } else { "lin_rate" };
        let Some(node) = bus.nodes.iter().find(|it| it.place.changed()) else { return Vec::new() };
        let hangs = format!("whether {} can speak on it", node.id.shown(ctx.db));
        let mut question = ctx.question(node.place, measure, hangs);
        question.what = format!("the rate of {}", bus.shown());
        question.who = Who::Maker;
        question.type_in = Some(format!("bus {} is {} at … kbit/s", bus.name(), bus.decl.protocol.value));
        let message = format!("Nobody has said the rate of {}.", bus.shown());
        return vec![ctx.open("bus/rate", bus.name(), site, message, question)];
    };
    let stated = Value { kind: ValueKind::Quantity(rate), per: None, span: bus.decl.span };
    let own = trunnion_model::built::found(
        ctx.db,
        ctx.workspace,
        bus.id,
        &bus.decl.claim,
        vec![stated],
        bus.decl.span,
    );
    let mut found = vec![own.clone()];
    let (mut verdicts, mut alike) = (Vec::new(), Vec::new());
    for node in &bus.nodes {
        match module(ctx, bus, node, &own) {
            Ok(claims) => {
                found.extend(claims);
                alike.push(node.id.shown(ctx.db));
            }
            Err(verdict) => verdicts.extend(verdict.map(|it| *it)),
        }
    }
    if verdicts.is_empty() && !alike.is_empty() {
        let shown = format!("{} at {}", protocol(bus.decl), rate.display());
        let message = format!("These speak {shown} on {}: {}.", bus.shown(), listed(&alike));
        verdicts
            .push(ctx.clear("bus/rate", bus.name(), site, message, &found).with_need(shown.clone(), shown));
    }
    verdicts
}

/// The claims by which a module speaks as the bus does, or what is to be said of it; nothing
/// is said of an unchanged module of which nobody knows more.
fn module(
    ctx: &Ctx<'_>,
    bus: &Bus<'_>,
    node: &Node<'_>,
    own: &Found,
) -> Result<Vec<Found>, Option<Box<Verdict>>> {
    let (who, changed) = (node.id.shown(ctx.db), node.place.changed());
    let subject = format!("{}.{}", node.place.name, bus.name());
    let site = node.id.name_site(ctx.db);
    let pins = cavities(node.part, bus.name());
    let can = bus.is_can();
    if let Some((end, pin)) = pins.iter().find(|(_, it)| (it.role.value == "lin") == can) {
        let role = if can { "LIN" } else { "CAN" };
        let message = format!(
            "Cavity {} of plug {} of {who} is {role}, but {} is {}.",
            pin.number.value,
            end.name.value,
            bus.shown(),
            protocol(bus.decl),
        );
        let claims = [known::said(ctx.db, ctx.workspace, node.id, &pin.claim, pin.span), own.clone()];
        return Err(Some(Box::new(ctx.clash("bus/rate", subject, node.id.site(pin.span), message, &claims))));
    }
    let missing: Vec<String> = ["can_high", "can_low"]
        .iter()
        .filter(|role| can && !pins.iter().any(|(_, it)| it.role.value == **role))
        .map(|it| it.replace("can_", ""))
        .collect();
    if !missing.is_empty() && changed {
        let what = format!("which cavity of {who} is {} of {}", listed(&missing), bus.shown());
        let question =
            asked(what.clone(), Who::Maker, format!("whether {who} can be joined to {}", bus.shown()));
        return Err(Some(Box::new(ctx.open(
            "bus/rate",
            subject,
            site,
            format!("Nobody has said {what}."),
            question,
        ))));
    }
    match rate(ctx, bus, node) {
        Known::Unknown | Known::Nothing(_) if !changed => Err(None),
        Known::Unknown | Known::Nothing(_) => {
            let measure = if can { "can_rate" } else { "lin_rate" };
            let hangs = format!("whether {who} speaks on {} or brings it down", bus.shown());
            let mut question = ctx.question(node.place, measure, hangs);
            question.what = format!("the rate at which {who} speaks");
            question.good = Some(own.display());
            let message = format!(
                "Nobody has said at which rate {who} speaks; {} runs at {}.",
                bus.shown(),
                own.display()
            );
            let unit = Some("kbit/s");
            let open = ctx.open("bus/rate", subject, site, message, question);
            Err(Some(Box::new(open.with_fixes(ctx.state_fact(node.place, measure, unit)))))
        }
        Known::Disputed(claims) => {
            let said: Vec<String> =
                claims.iter().map(|it| format!("{} by {}", it.display(), it.source)).collect();
            let what = format!("which is the rate at which {who} speaks");
            let hangs = format!("whether {who} can be on {}", bus.shown());
            let mut question = asked(what, Who::Maker, hangs);
            question.good = Some(own.display());
            let message = format!("It is disputed at which rate {who} speaks: {}.", said.join(", "));
            let open = ctx.open("bus/rate", subject, claims[0].site, message, question);
            Err(Some(Box::new(crate::ctx::with_found(open, &claims))))
        }
        Known::Stated(claims) => {
            let same = |it: &Found| it.values.iter().zip(&own.values).all(|(a, b)| a.agrees(b));
            let Some(other) = claims.first().filter(|it| !same(it)) else { return Ok(claims) };
            let (a, b) = (other.display(), own.display());
            let message = format!("{who} speaks at {a}, but {} runs at {b}.", bus.shown());
            let clash = ctx.clash("bus/rate", subject, other.site, message, &[other.clone(), own.clone()]);
            let fixes = crate::checks::need::replacements(ctx, node.place, &|id| {
                let Some(part) = ctx.part(id) else { return false };
                let as_node = Node { place: node.place, id, part, sure: false };
                crate::bus::is_on(part, bus.name()) && rate(ctx, bus, &as_node).best().is_some_and(same)
            });
            Err(Some(Box::new(clash.with_need(b, a).with_fixes(fixes))))
        }
    }
}

fn asked(what: String, who: Who, hangs: String) -> Question {
    Question {
        what,
        good: None,
        tool: Some("wiring diagram of the module".to_owned()),
        precision: None,
        minutes: Some(20),
        who,
        gate: Gate::Power,
        hangs,
        type_in: None,
    }
}

/// The rate at which a module speaks: stated of it, else that of the bus it left the factory on.
fn rate(ctx: &Ctx<'_>, bus: &Bus<'_>, node: &Node<'_>) -> Known {
    let measure = if bus.is_can() { "can_rate" } else { "lin_rate" };
    let plugs: Vec<&str> =
        cavities(node.part, bus.name()).iter().map(|it| it.0.name.value.as_str()).collect();
    let meant = |it: &str| it == bus.name() || plugs.contains(&it);
    let facts = node.part.facts.iter().filter(|it| it.name.value == measure);
    let of_end: Vec<Found> = facts
        .filter(|it| matches!(it.target.as_slice(), [only] if meant(&only.value)))
        .map(|it| {
            trunnion_model::built::found(
                ctx.db,
                ctx.workspace,
                node.id,
                &it.claim,
                it.values.clone(),
                it.span,
            )
        })
        .collect();
    if !of_end.is_empty() {
        return Known::settle(of_end);
    }
    let stated = if node.sure {
        known::claims(ctx.db, ctx.workspace, ctx.world, node.place, measure, When::After)
    } else {
        known::of_part(ctx.db, ctx.workspace, node.id, measure)
    };
    if !stated.is_empty() {
        return Known::settle(stated);
    }
    let claims = node.part.fitted.iter().flat_map(|fitted| {
        let families: Vec<Id> = match &fitted.family {
            Some(named) => ctx.find(node.id, Space::Family, named.head()).into_iter().collect(),
            None => ctx.built().families.clone(),
        };
        families.into_iter().filter_map(|id| {
            let there = family(ctx.db, id)?.buses.iter().find(|it| it.name.value == bus.name())?;
            let value = Value { kind: ValueKind::Quantity(there.rate?), per: None, span: there.span };
            let said = trunnion_model::built::found(
                ctx.db,
                ctx.workspace,
                id,
                &there.claim,
                vec![value.clone()],
                there.span,
            );
            let fitted = trunnion_model::built::found(
                ctx.db,
                ctx.workspace,
                node.id,
                &fitted.claim,
                vec![value],
                fitted.span,
            );
            Some(if fitted.standing < said.standing { fitted } else { said })
        })
    });
    Known::settle(claims.collect())
}

/// Changed modules with bus cavities that name no bus of this vehicle.
fn nameless(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let mut verdicts = Vec::new();
    for place in ctx.world.places.iter().filter(|it| it.changed()) {
        let Some(id) = place.after.part() else { continue };
        let cavities = ctx.part(id).into_iter().flat_map(|it| &it.ends).flat_map(|it| &it.cavities);
        let here = |name: &str| ctx.world.buses.iter().any(|(_, it)| it.name.value == name);
        let strange = cavities
            .filter(|it| is_bus_role(&it.role.value))
            .find(|it| it.what.as_ref().is_none_or(|it| !here(it.head())));
        let Some(cavity) = strange else { continue };
        let (who, vehicle) = (id.shown(ctx.db), ctx.built().vehicle.shown(ctx.db));
        let message = match &cavity.what {
            Some(bus) => {
                format!("{who} is made for a bus called {}, and {vehicle} has none of that name.", bus.text())
            }
            None => format!("Nobody has said on which bus cavity {} of {who} is.", cavity.number.value),
        };
        let what = format!("which bus of {vehicle} {who} is joined to");
        let question = asked(what, Who::Maker, format!("whether {who} and that bus speak alike"));
        let site = id.site(cavity.span);
        verdicts.push(ctx.open("bus/rate", place.name.to_string(), site, message, question));
    }
    verdicts
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn fitted(module: &str) -> String {
        format!(
            r#"
kind unit {{ asks mass }}
source wiring "Wiring diagrams" documented
family Dunlin {{ built 2009-06 to 2018-12
  place gearbox_controller, brake_controller is unit
  bus drive is CAN at 500 kbit/s per wiring }}
family Tern {{ built 2009-06 to 2018-12
  place gearbox_controller is unit
  bus drive is CAN at 250 kbit/s per wiring }}
module brake is unit fills brake_controller {{ fitted on Dunlin per wiring
  plug B1 {{ 14 can_high drive, 15 can_low drive }} }}
module kit is unit fills gearbox_controller {{ {module} }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{ recipient van, fit kit }}"#
        )
    }

    #[test]
    fn all_at_one_rate_are_clear() {
        let found = check(
            "bus/rate",
            &fitted("plug K1 { 3 can_high drive, 4 can_low drive }, can rate 500 kbit/s per wiring"),
        );
        found.clear("These speak CAN at 500 kbit/s on the drive bus: kit and brake.");
        assert_eq!(found.only().outcome.word(), "clear");
    }

    #[test]
    fn another_rate_is_a_clash() {
        let found =
            check("bus/rate", &fitted("plug K1 { 3 can_high drive, 4 can_low drive }, can rate 250 kbit/s"));
        found.clash("kit speaks at 250 kbit/s, but the drive bus runs at 500 kbit/s.");
        assert_eq!(found.text(), "can rate 250 kbit/s");
    }

    #[test]
    fn a_module_speaks_as_the_family_it_was_fitted_on() {
        check("bus/rate", &fitted("fitted on Tern, plug K1 { 3 can_high drive, 4 can_low drive }"))
            .clash("kit speaks at 250 kbit/s, but the drive bus runs at 500 kbit/s.");
    }

    #[test]
    fn a_lin_cavity_on_a_can_bus_is_a_clash() {
        check("bus/rate", &fitted("plug K1 { 3 lin drive }"))
            .clash("Cavity 3 of plug K1 of kit is LIN, but the drive bus is CAN.");
    }

    #[test]
    fn a_rate_nobody_stated_is_open() {
        let found = check("bus/rate", &fitted("plug K1 { 3 can_high drive, 4 can_low drive }"));
        found.open("Nobody has said at which rate kit speaks; the drive bus runs at 500 kbit/s.");
        assert_eq!(found.only().question.as_ref().expect("asked").good.as_deref(), Some("500 kbit/s"));
        assert!(found.fixed(0).contains("can rate … kbit/s }"));
    }

    #[test]
    fn a_missing_wire_and_a_strange_bus_are_open() {
        check("bus/rate", &fitted("plug K1 { 3 can_high drive }, can rate 500 kbit/s"))
            .open("Nobody has said which cavity of kit is low of the drive bus.");
        check("bus/rate", &fitted("plug K1 { 3 can_high chassis, 4 can_low chassis }"))
            .open("kit is made for a bus called chassis, and van has none of that name.");
    }
}

//! # bus/message
//!
//! Every message that a module must hear has exactly one sender, on its own bus or through a
//! gateway, and no two messages on a bus share an identifier.
//!
//! ## Why it matters
//!
//! A controller that waits in vain for a message runs in limp mode, and the message was sent by
//! the very unit that was taken out. Two senders of one message contradict each other, and the
//! listener follows now the one and now the other.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place brake_controller, gearbox_controller is unit
//!   bus drive is CAN at 500 kbit/s }
//! module brake_early is unit fills brake_controller { fitted on Dunlin, sends wheel_speed on drive }
//! module late_unit is unit fills gearbox_controller { hears torque_cut on drive }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit late_unit }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place brake_controller, gearbox_controller is unit
//!   bus drive is CAN at 500 kbit/s }
//! module brake_early is unit fills brake_controller { fitted on Dunlin, sends wheel_speed on drive }
//! module brake_late is unit fills brake_controller { sends wheel_speed on drive, sends torque_cut on drive }
//! module late_unit is unit fills gearbox_controller { hears torque_cut on drive }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit late_unit, fit brake_late }
//! ```
//!
//! ## References
//!
//! That two nodes may not send one identifier: ISO 11898-1 (arbitration decides by the
//! identifier alone). The rest is what the specification states of its modules.

use trunnion_model::decl::MessageUse;
use trunnion_model::fact::{Found, Value};
use trunnion_model::known;
use trunnion_model::name::Id;
use trunnion_model::verdict::{Fix, Gate, Question, Verdict, Who};
use trunnion_model::world::Place;

use crate::bus::{Bus, Node, Sender, buses, gateways, is_on, named, senders};
use crate::check::{Check, Judge};
use crate::checks::need::replacements;
use crate::ctx::{Ctx, listed};

/// The check.
pub static CHECK: Check =
    Check { name: "bus/message", source: include_str!("bus_message.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let all = buses(ctx);
    let mut verdicts: Vec<Verdict> = Vec::new();
    for bus in &all {
        verdicts.extend(unknown(ctx, &all, bus));
        let mut said: Vec<(String, String)> = Vec::new();
        for node in &bus.nodes {
            for hears in node.part.hears.iter().filter(|it| is_heard_on(it, node, bus)) {
                let key = (node.place.name.to_string(), hears.name.value.to_string());
                if !said.contains(&key) && touched(&all, bus, &hears.name.value, 0) {
                    said.push(key);
                    verdicts.extend(heard(ctx, &all, bus, node, hears));
                }
            }
        }
        if bus.touched {
            verdicts.extend(same_identifier(ctx, bus));
        }
    }
    verdicts
}

/// A message without a bus is meant on the only one its module is on.
fn is_heard_on(hears: &MessageUse, node: &Node<'_>, bus: &Bus<'_>) -> bool {
    hears.bus.as_ref().map_or_else(|| is_on(node.part, bus.name()), |it| it.head() == bus.name())
}

/// Whether modules change on the bus, or on one from which a gateway brings the message.
fn touched(all: &[Bus<'_>], bus: &Bus<'_>, message: &str, depth: usize) -> bool {
    let behind = |it: &MessageUse| {
        all.iter().any(|from| named(it.bus.as_ref(), from) && touched(all, from, message, depth + 1))
    };
    bus.touched || depth < all.len() && gateways(bus, message).any(|(_, it)| behind(it))
}

fn heard(
    ctx: &Ctx<'_>,
    all: &[Bus<'_>],
    bus: &Bus<'_>,
    node: &Node<'_>,
    hears: &MessageUse,
) -> Option<Verdict> {
    let message = hears.name.value.as_str();
    let (senders, idle) = senders(all, bus, message, 0);
    let mut places: Vec<&Place> = Vec::new();
    for it in &senders {
        if !places.iter().any(|place| place.name == it.place.name) {
            places.push(it.place);
        }
    }
    // Where an unknown module may send it, the one open about that module says so.
    if senders.is_empty() && !bus.unknown.is_empty() {
        return None;
    }
    // A message that names no bus and is found on another bus of its module is judged there.
    let elsewhere = |it: &Bus<'_>| {
        it.name() != bus.name()
            && is_heard_on(hears, node, it)
            && !crate::bus::senders(all, it, message, 0).0.is_empty()
    };
    if hears.bus.is_none() && senders.is_empty() && all.iter().any(elsewhere) {
        return None;
    }
    let (who, shown) = (node.id.shown(ctx.db), message.replace('_', " "));
    let subject = format!("{}.{message}", node.place.name);
    let site = node.id.site(hears.span);
    let mut claims: Vec<Found> = vec![said(ctx, node.id, hears)];
    claims.extend(senders.iter().flat_map(|it| &it.claims).map(|(id, it)| said(ctx, *id, it)));
    let names = |sure: bool| {
        listed(
            &senders.iter().filter(|it| it.sure || !sure).map(|it| it.id.shown(ctx.db)).collect::<Vec<_>>(),
        )
    };
    let need = format!("one sender of {shown} on {}", bus.shown());
    let mut verdict = match (places.as_slice(), senders.iter().all(|it| it.sure)) {
        ([], _) => {
            let idle = idle
                .first()
                .map(|it| format!("; {} would pass it on, but nobody sends it there", it.id.shown(ctx.db)));
            let text = format!(
                "{who} waits for {shown} on {}, and nothing there sends it{}.",
                bus.shown(),
                idle.unwrap_or_default()
            );
            ctx.clash("bus/message", subject, site, text, &claims)
                .with_need(need, "none")
                .with_fixes(by_whom(ctx, bus, hears))
        }
        ([only], true) => {
            let origin = senders.iter().find_map(|it| it.origin);
            let from = hears.sender.as_ref().and_then(|it| ctx.world.place(it.head()));
            if let Some(from) =
                from.filter(|it| it.name != only.name && origin.is_none_or(|o| o.name != it.name))
            {
                let text = format!(
                    "{who} must hear {shown} from the {}, but {} sends it.",
                    from.shown(),
                    names(false)
                );
                ctx.clash("bus/message", subject, site, text, &claims)
                    .with_need(format!("the {} sends it", from.shown()), names(false))
            } else {
                let way =
                    origin.map(|it| format!(", which has it from the {}", it.shown())).unwrap_or_default();
                let text = format!("{who} hears {shown} on {} from {}{way}.", bus.shown(), names(false));
                ctx.clear("bus/message", subject, site, text, &claims).with_need(need, names(false))
            }
        }
        (many, _)
            if many.iter().filter(|it| senders.iter().any(|s| s.sure && s.place.name == it.name)).count()
                > 1 =>
        {
            let text = format!(
                "{who} hears {shown} on {} from {} at once; one is to send it.",
                bus.shown(),
                names(true)
            );
            ctx.clash("bus/message", subject, site, text, &claims).with_need(need, names(true))
        }
        (maybe, _) if maybe.len() == 1 && every_candidate(&senders, maybe[0]) => {
            let text = format!(
                "{who} hears {shown} on {} from the {}, whichever sits there.",
                bus.shown(),
                maybe[0].shown()
            );
            ctx.clear("bus/message", subject, site, text, &claims).with_need(need, names(false))
        }
        (maybe, _) => {
            let doubt: Vec<&&Place> = maybe.iter().filter(|it| it.after.parts().len() > 1).collect();
            let at = doubt.first().map_or_else(|| maybe[0].shown(), |it| it.shown());
            let text = format!(
                "{who} waits for {shown} on {}; whether it is sent once depends on which {at} sits there.",
                bus.shown()
            );
            let question = question(
                format!("which {at} sits there"),
                Some(names(false)),
                format!("whether {who} hears {shown}"),
            );
            ctx.open("bus/message", subject, site, text, question)
        }
    };
    verdict.safety = ctx.safety(node.place);
    Some(verdict)
}

fn every_candidate(senders: &[Sender<'_>], place: &Place) -> bool {
    place.after.parts().iter().all(|id| senders.iter().any(|it| it.id == *id))
}

fn said(ctx: &Ctx<'_>, id: Id, it: &MessageUse) -> Found {
    known::said(ctx.db, ctx.workspace, id, &it.claim, it.span)
}

/// Parts that send a message, for the places on the bus and for the one it must come from.
fn by_whom(ctx: &Ctx<'_>, bus: &Bus<'_>, hears: &MessageUse) -> Vec<Fix> {
    let from = hears.sender.as_ref().and_then(|it| ctx.world.place(it.head()));
    let places: Vec<&Place> = match from {
        Some(it) => vec![it],
        None => ctx.world.places.iter().collect(),
    };
    let sends = |id: Id| {
        let sends = ctx.part(id).into_iter().flat_map(|it| &it.sends);
        sends
            .into_iter()
            .any(|it| it.name.value == hears.name.value && (it.bus.is_none() || named(it.bus.as_ref(), bus)))
    };
    let mut fixes: Vec<Fix> = places.into_iter().flat_map(|it| replacements(ctx, it, &sends)).collect();
    fixes.truncate(4);
    fixes
}

/// One open for each wholly unknown module on a bus, with the messages that wait for it.
fn unknown(ctx: &Ctx<'_>, all: &[Bus<'_>], bus: &Bus<'_>) -> Vec<Verdict> {
    if !bus.touched {
        return Vec::new();
    }
    let mut unsent: Vec<String> = Vec::new();
    for (node, hears) in bus.nodes.iter().flat_map(|node| node.part.hears.iter().map(move |it| (node, it))) {
        let shown = hears.name.value.replace('_', " ");
        let waits = is_heard_on(hears, node, bus) && senders(all, bus, &hears.name.value, 0).0.is_empty();
        if waits && !unsent.contains(&shown) {
            unsent.push(shown);
        }
    }
    let one = |place: &&Place| {
        let who = ctx.holding_shown(&place.after, place);
        let wanted = if unsent.is_empty() {
            String::new()
        } else {
            format!("; still without a sender: {}", listed(&unsent))
        };
        let message = format!("Nobody has said what {who} sends and hears on {}{wanted}.", bus.shown());
        let good = (!unsent.is_empty()).then(|| format!("it sends {}", listed(&unsent)));
        let what = format!("which module sits in the {}, and what it sends and hears", place.shown());
        let question =
            question(what, good, format!("whether every message on {} has one sender", bus.shown()));
        let site = place.done.last().map_or(place.site, |it| it.site);
        ctx.open("bus/message", format!("{}.{}", place.name, bus.name()), site, message, question)
    };
    bus.unknown.iter().map(one).collect()
}

fn question(what: String, good: Option<String>, hangs: String) -> Question {
    Question {
        what,
        good,
        tool: Some("label of the module, and its wiring diagram".to_owned()),
        precision: None,
        minutes: Some(20),
        who: Who::Maker,
        gate: Gate::Buying,
        hangs,
        type_in: None,
    }
}

/// Two messages that share an identifier, where one of their senders changes.
fn same_identifier(ctx: &Ctx<'_>, bus: &Bus<'_>) -> Vec<Verdict> {
    let alone = ctx.world.conversion.is_none();
    let mut seen: std::collections::BTreeMap<String, (&Node<'_>, &MessageUse)> =
        std::collections::BTreeMap::new();
    let mut verdicts = Vec::new();
    for (node, sends) in bus.nodes.iter().flat_map(|node| node.part.sends.iter().map(move |it| (node, it))) {
        let Some(id) = sends.id.as_ref().filter(|_| sends.bus.is_none() || named(sends.bus.as_ref(), bus))
        else {
            continue;
        };
        let Some(key) = identifier(ctx, node.id, id) else { continue };
        let (other, first) = *seen.entry(key).or_insert((node, sends));
        let changed = alone || other.place.changed() || node.place.changed();
        if first.name.value == sends.name.value || !changed || !(node.sure && other.sure) {
            continue;
        }
        let shown = |it: &MessageUse| it.name.value.replace('_', " ");
        let text = format!(
            "{} sends {} and {} sends {} under one identifier, {}, on {}.",
            other.id.shown(ctx.db),
            shown(first),
            node.id.shown(ctx.db),
            shown(sends),
            id.display(),
            bus.shown()
        );
        let claims = [said(ctx, other.id, first), said(ctx, node.id, sends)];
        let subject = format!("{}.{}", node.place.name, sends.name.value);
        verdicts.push(
            ctx.clash("bus/message", subject, node.id.site(sends.span), text, &claims)
                .with_source("ISO 11898-1"),
        );
    }
    verdicts
}

/// An identifier in one form, so that `"0x1A0"` is 416; none where only its first digits could
/// be read, which is reported where it stands.
fn identifier(ctx: &Ctx<'_>, from: Id, id: &Value) -> Option<String> {
    let text = from.item.text(ctx.db);
    let next = text.get(id.span.end as usize..).and_then(|it| it.chars().next());
    if next.is_some_and(char::is_alphanumeric) {
        return None;
    }
    let shown = id.display().to_lowercase();
    let hex = shown.strip_prefix("0x").and_then(|it| u32::from_str_radix(it, 16).ok());
    Some(hex.map_or(shown, |it| it.to_string()))
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn bus(late: &str, more: &str) -> String {
        format!(
            r"
kind unit {{ asks mass }}
family Dunlin {{ built 2009-06 to 2018-12
  place brake_controller, gearbox_controller, cluster is unit
  bus drive is CAN at 500 kbit/s
  bus body is CAN at 125 kbit/s }}
module brake_early is unit fills brake_controller {{ fitted on Dunlin, sends wheel_speed on drive id 416 }}
module dials is unit fills cluster {{ fitted on Dunlin, passes wheel_speed from drive to body }}
module late_unit is unit fills gearbox_controller {{ {late} }}
{more}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{ recipient van, fit late_unit }}"
        )
    }

    #[test]
    fn one_sender_is_clear() {
        let found = check("bus/message", &bus("hears wheel_speed on drive from brake_controller", ""));
        found.clear("late unit hears wheel speed on the drive bus from brake early.");
        assert_eq!(found.text(), "hears wheel_speed on drive from brake_controller");
    }

    #[test]
    fn a_message_through_a_gateway_is_clear() {
        check("bus/message", &bus("hears wheel_speed on body", "")).clear(
            "late unit hears wheel speed on the body bus from dials, which has it from the brake controller.",
        );
    }

    #[test]
    fn no_sender_is_a_clash_and_a_part_that_sends_it_mends_it() {
        let late =
            "module brake_late is unit fills brake_controller { sends torque_cut on drive, offer 90 EUR }";
        let found = check("bus/message", &bus("hears torque_cut on drive", late));
        found.clash("late unit waits for torque cut on the drive bus, and nothing there sends it.");
        let mended = found.fixed(0);
        assert!(mended.contains("fit late_unit, replace brake_controller with brake_late }"), "{mended}");
        assert_eq!(
            check("bus/message", &mended).about("gearbox_controller.torque_cut").outcome.word(),
            "clear"
        );
    }

    #[test]
    fn two_senders_are_a_clash() {
        let dials = "module clock is unit fills cluster { hears wheel_speed on drive }";
        let source =
            bus("sends wheel_speed on drive", dials).replace("fit late_unit }", "fit late_unit, fit clock }");
        check("bus/message", &source)
            .clash("clock hears wheel speed on the drive bus from brake early and late unit at once; one is to send it.");
    }

    #[test]
    fn another_sender_than_the_one_it_must_come_from_is_a_clash() {
        check("bus/message", &bus("hears wheel_speed on drive from cluster", ""))
            .clash("late unit must hear wheel speed from the cluster, but brake early sends it.");
    }

    #[test]
    fn one_identifier_for_two_messages_is_a_clash() {
        check("bus/message", &bus("sends gear on drive id \"0x1A0\"", "")).clash(
            "brake early sends wheel speed and late unit sends gear under one identifier, 0x1A0, on the drive bus.",
        );
        check("bus/message", &bus("sends gear on drive id 417", "")).silent();
    }

    #[test]
    fn a_sender_that_depends_on_a_choice_is_open() {
        let more = "module brake_late is unit fills brake_controller { sends torque_cut on drive }";
        let source = bus("hears torque_cut on drive", more).replace(
            "fit late_unit }",
            "fit late_unit, choose brake_controller from brake_early, brake_late }",
        );
        check("bus/message", &source).open(
            "late unit waits for torque cut on the drive bus; whether it is sent once depends on which brake \
             controller sits there.",
        );
    }

    #[test]
    fn a_module_of_which_nothing_is_known_is_one_open() {
        let more = "vehicle breaker is Dunlin { built 2015-09 }";
        let source = bus("hears wheel_speed on drive", more)
            .replace("fitted on Dunlin, sends", "fitted on Dunlin to 2013-08, sends")
            .replace("fit late_unit }", "donor breaker, fit late_unit, take brake_controller from breaker }");
        check("bus/message", &source).open(
            "Nobody has said what an unknown brake controller sends and hears on the drive bus; still without a \
             sender: wheel speed.",
        );
    }
}

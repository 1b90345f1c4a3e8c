//! # bus/gateway
//!
//! A message that comes through a gateway arrives in time: its wait on the first bus, the delay of the
//! gateway and its wait on the second together stay within its deadline.
//!
//! ## Why it matters
//!
//! Each bus alone may be quick enough, and the module at the end still waits too long. A control unit
//! that misses a road speed for a moment stores a fault or falls back to limp mode.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place cluster, brake_controller, fan_controller is unit
//!   bus drive is CAN at 500 kbit/s
//!   bus body is CAN at 125 kbit/s }
//! module brake_unit is unit fills brake_controller { fitted on Dunlin
//!   sends road_speed on drive every 20 ms, id "0x1B0", road_speed.data_bytes 8 }
//! module passer is unit fills cluster { passes road_speed from drive to body, road_speed.delay 25 ms }
//! module fan_unit is unit fills fan_controller { fitted on Dunlin, hears road_speed on body, road_speed.deadline 20 ms }
//! basis { bus jitter at most 1 ms }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit passer }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place cluster, brake_controller, fan_controller is unit
//!   bus drive is CAN at 500 kbit/s
//!   bus body is CAN at 125 kbit/s }
//! module brake_unit is unit fills brake_controller { fitted on Dunlin
//!   sends road_speed on drive every 20 ms, id "0x1B0", road_speed.data_bytes 8 }
//! module passer is unit fills cluster { passes road_speed from drive to body, road_speed.delay 5 ms }
//! module fan_unit is unit fills fan_controller { fitted on Dunlin, hears road_speed on body, road_speed.deadline 20 ms }
//! basis { bus jitter at most 1 ms }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit passer }
//! ```
//!
//! ## References
//!
//! The wait on each bus: R. I. Davis, A. Burns, R. J. Bril, J. J. Lukkien, Real-Time Systems 35(3), 2007.
//! The sum: see `trunnion explain response_through_gateway`.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::decl::MessageUse;
use trunnion_model::fact::Known;
use trunnion_model::verdict::Verdict;

use super::bus_deadline::latest;
use crate::bus::{Bus, Node, buses, named, protocol};
use crate::check::{Check, Judge};
use crate::ctx::{Ctx, capital};
use crate::frames::frames;
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "bus/gateway", source: include_str!("bus_gateway.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let all = buses(ctx);
    let mut verdicts = Vec::new();
    for onto in &all {
        for node in &onto.nodes {
            let passes = node.part.passes.iter().filter(|it| named(it.onto.as_ref(), onto));
            for pass in passes {
                let Some(from) = all.iter().find(|it| named(pass.bus.as_ref(), it)) else { continue };
                if onto.touched || from.touched {
                    verdicts.extend(one(ctx, &all, [from, onto], node, pass));
                }
            }
        }
    }
    verdicts
}

fn one(
    ctx: &Ctx<'_>,
    all: &[Bus<'_>],
    [from, onto]: [&Bus<'_>; 2],
    node: &Node<'_>,
    pass: &MessageUse,
) -> Option<Verdict> {
    let name = &pass.name.value;
    // Without a sender it is bus/message that speaks.
    let (first, second) = (frames(ctx, all, from), frames(ctx, all, onto));
    let at_first = first.iter().position(|it| it.name == *name)?;
    let at_second = second.iter().position(|it| it.name == *name && it.place.name == node.place.name)?;
    let own = &second[at_second];
    if own.stated(ctx, "deadline") == Known::Unknown {
        return None;
    }
    let subject = format!("{}.{name}", node.place.name);
    let site = node.place.done.last().map_or_else(|| node.id.site(pass.span), |it| it.site);
    let hangs = format!("whether {} comes through the {} in time", own.shown(), node.place.shown());
    let sum = Sum::new(ctx, CHECK.name, subject, site, hangs);
    let mut late = false;
    let verdict = sum.work(|sum| {
        let deadline = own.figure(ctx, sum, "deadline");
        let delay = own.figure(ctx, sum, "delay");
        if let Some(other) = [from, onto].into_iter().find(|it| protocol(it.decl) != "CAN") {
            sum.refuse(format!("how long a message waits on {} is not worked out", other.shown()));
            return None;
        }
        // A gateway that alone takes too long is too slow whatever the buses do.
        late = delay.zip(deadline).is_some_and(|(delay, deadline)| delay.lo() > deadline.hi());
        if late {
            let (delay, deadline) = (delay?, deadline?);
            let said = format!("the {} holds {} for {}", node.place.shown(), own.shown(), delay.display());
            return Some(Answer::at_most(
                delay,
                deadline,
                &said,
                &format!("{} are allowed in all", deadline.display()),
            ));
        }
        let one = latest(ctx, sum, from, &first, at_first);
        let two = latest(ctx, sum, onto, &second, at_second);
        let total: Quantity = sum.call("response_through_gateway", &[one?, delay?, two?])?;
        let most = Quantity::si(total.hi(), total.dimension()).ok()?.shown_in("ms").ok()?;
        let said = format!(
            "{} has come through the {} after {} at the latest",
            capital(&own.shown()),
            node.place.shown(),
            most.display()
        );
        Some(Answer::at_most(total, deadline?, &said, &format!("{} are allowed", deadline?.display())))
    });
    verdict.filter(|_| late || from.unknown.is_empty() && onto.unknown.is_empty())
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn buses(passer: &str, deadline: &str) -> String {
        format!(
            r#"
kind unit {{ asks mass }}
family Dunlin {{ built 2009-06 to 2018-12
  place cluster, brake_controller, fan_controller is unit
  bus drive is CAN at 500 kbit/s
  bus body is CAN at 125 kbit/s }}
module brake_unit is unit fills brake_controller {{ fitted on Dunlin
  sends road_speed on drive every 20 ms, id "0x1B0", road_speed.data_bytes 8, road_speed.jitter 0 ms }}
module passer is unit fills cluster {{ passes road_speed from drive to body{passer} }}
module fan_unit is unit fills fan_controller {{ fitted on Dunlin, hears road_speed on body{deadline} }}
vehicle van is Dunlin {{ built 2012-04 }}
basis {{ bus jitter at most 0 ms }}
conversion easy {{ recipient van, fit passer }}"#
        )
    }

    /// Alone on both buses a frame of 8 bytes waits for nobody: 135 bits as the paper counts them, at
    /// 2 µs and at 8 µs, and 5 ms between: 0.27 + 5 + 1.08.
    #[test]
    fn bus_gateway_and_bus_together_are_in_time() {
        let found = check("bus/gateway", &buses(", road_speed.delay 5 ms", ", road_speed.deadline 20 ms"));
        found
            .clear("Road speed has come through the cluster after 6.35 ms at the latest; 20 ms are allowed.");
        assert_eq!(found.text(), "fit passer");
    }

    #[test]
    fn together_they_are_late() {
        let found = check("bus/gateway", &buses(", road_speed.delay 5 ms", ", road_speed.deadline 5.1 ms"));
        found.clash(
            "Road speed has come through the cluster after 6.35 ms at the latest, but 5.1 ms are allowed.",
        );
        let found = check("bus/gateway", &buses(", road_speed.delay 25 ms", ", road_speed.deadline 20 ms"));
        found.clash("The cluster holds road speed for 25 ms, but 20 ms are allowed in all.");
    }

    #[test]
    fn a_delay_that_nobody_said_is_open() {
        let found = check("bus/gateway", &buses("", ", road_speed.deadline 20 ms"));
        found.open(
            "Nobody has said the delay of the message road speed: it decides whether road speed comes through \
             the cluster in time.",
        );
        check("bus/gateway", &buses(", road_speed.delay 5 ms", "")).silent();
    }
}

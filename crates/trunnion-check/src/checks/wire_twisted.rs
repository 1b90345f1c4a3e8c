//! # wire/twisted
//!
//! A twisted pair stays a pair: where one of its terminals is moved, the other goes into the same plug; and
//! the two wires of a CAN bus that are run anew go the same way and are as long as one another.
//!
//! ## Why it matters
//!
//! Two wires that lie close together pick up the same disturbance, and the receiver takes it out. Apart
//! they work on the bench, and lose messages when the starter or a blower runs.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place brake_controller, cluster is unit
//!   zone bay, cabin, tunnel
//!   bus drive is CAN at 500 kbit/s }
//! module brake is unit fills brake_controller { plug B1 { 14 can_high drive, 15 can_low drive } }
//! module dials is unit fills cluster { fitted on Dunlin, plug C1 { 5 can_high drive, 6 can_low drive } }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit brake
//!   wire brake_controller.B1[14] to cluster.C1[5] 0.5 mm2 GN by bay, cabin
//!   wire brake_controller.B1[15] to cluster.C1[6] 0.5 mm2 BN by bay, tunnel, cabin }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place brake_controller, cluster is unit
//!   zone bay, cabin, tunnel
//!   bus drive is CAN at 500 kbit/s }
//! module brake is unit fills brake_controller { plug B1 { 14 can_high drive, 15 can_low drive } }
//! module dials is unit fills cluster { fitted on Dunlin, plug C1 { 5 can_high drive, 6 can_low drive } }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit brake
//!   wire brake_controller.B1[14] to cluster.C1[5] 0.5 mm2 GN by bay, cabin
//!   wire brake_controller.B1[15] to cluster.C1[6] 0.5 mm2 BN by bay, cabin }
//! ```
//!
//! ## References
//!
//! Balanced two-wire lines: ISO 11898-2. That they are twisted, a turn every 25 to 50 mm, and untwisted
//! over a few centimetres at a plug at most: common practice, no source.

use trunnion_handbook::quantity::Truth;
use trunnion_model::decl::{Body, Verb};
use trunnion_model::fact::Ref;
use trunnion_model::known;
use trunnion_model::name::Id;
use trunnion_model::verdict::{Gate, Question, Verdict, Who};
use trunnion_model::world::{EndAt, Laid, WireAt, WireEnd};

use crate::check::{Check, Judge};
use crate::ctx::{Ctx, listed};
use crate::pack::cavity;
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "wire/twisted", source: include_str!("wire_twisted.rs"), judge: Judge::World(judge) };

const TWIST: &str = "twist them together, a turn every 25 to 50 mm: common practice, no source";

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let mut verdicts: Vec<Verdict> = Vec::new();
    let mut looms: Vec<Id> = Vec::new();
    for wire in &ctx.world.wires {
        if !looms.contains(&wire.id) {
            looms.push(wire.id);
        }
    }
    for id in looms {
        let Some(Body::Loom(loom)) = id.decl(ctx.db).map(|it| &it.body) else { continue };
        verdicts.extend(loom.twisted.iter().filter_map(|(a, b)| kept(ctx, id, a, b)));
    }
    let laid = ctx.world.wires.iter().filter(|it| it.laid == Laid::Conversion);
    verdicts.extend(laid.filter_map(|it| run(ctx, it)));
    verdicts
}

/// Where the loom's wire that was in a cavity ends after the changes.
fn now<'a>(ctx: &Ctx<'a>, id: Id, was: &Ref) -> Option<(&'a WireAt, &'a WireEnd)> {
    let (end, number) = (EndAt::of(was)?, was.index.as_ref()?.value.parse().ok()?);
    let was = WireEnd::Cavity(end, number);
    let own = ctx.world.wires.iter().filter(|it| it.id == id);
    own.filter_map(|it| {
        if it.was.0 == was {
            Some((it, &it.a))
        } else if it.was.1 == was {
            Some((it, &it.b))
        } else {
            None
        }
    })
    .next()
}

/// A pair of a loom of which a terminal is moved.
fn kept(ctx: &Ctx<'_>, id: Id, a: &Ref, b: &Ref) -> Option<Verdict> {
    let ((_, first), (_, second)) = (now(ctx, id, a)?, now(ctx, id, b)?);
    if first.text() == a.text() && second.text() == b.text() {
        return None;
    }
    let mut moves = ctx.world.changes.iter().filter(|it| {
        matches!(&it.verb, Verb::Move { from, .. } if from.text() == a.text() || from.text() == b.text())
    });
    let site = moves.next_back().map_or(id.site(a.span), |it| ctx.world.root().site(it.span));
    let subject = format!("{}.pair", a.text());
    let hangs = format!("whether {} and {} stay a pair", a.text(), b.text());
    let sum = Sum::new(ctx, CHECK.name, subject, site, hangs);
    sum.work(|sum| {
        sum.source("twisted pairs: common practice, no source");
        let plug = |it: &WireEnd| match it {
            WireEnd::Cavity(end, _) => Some(end.clone()),
            _ => None,
        };
        let together = plug(first).is_some() && plug(first) == plug(second);
        let said = format!(
            "of the pair {} and {} the ends go to {} and {}",
            a.text(),
            b.text(),
            first.text(),
            second.text()
        );
        Some(match together {
            true => Answer::told(Truth::Yes, &said, "they stay side by side"),
            false => Answer::told(Truth::No, &said, "a pair ends in one plug"),
        })
    })
}

/// A new wire of a bus, seen from its high end; the low one is its twin.
fn run(ctx: &Ctx<'_>, high: &WireAt) -> Option<Verdict> {
    let of = |end: &WireEnd, role: &str| {
        let (place, it) = cavity(ctx, end)?;
        (it.role.value == role).then(|| (place, it.what.clone()))
    };
    let at = [&high.a, &high.b].into_iter().find(|it| of(it, "can_high").is_some())?;
    let (place, bus) = of(at, "can_high")?;
    let WireEnd::Cavity(plug, _) = at else { return None };
    let is_twin = |it: &&WireAt| {
        [&it.a, &it.b].into_iter().any(|end| {
            let same = matches!(end, WireEnd::Cavity(here, _) if here == plug);
            same && of(end, "can_low")
                .is_some_and(|(_, what)| what.as_ref().map(Ref::text) == bus.as_ref().map(Ref::text))
        })
    };
    let low: &WireAt = ctx.world.wires.iter().find(is_twin)?;
    // A wire that is spliced in runs where the old one runs.
    let spliced = |it: &WireAt| {
        let splice = ctx.world.changes.iter().find(|change| change.span == it.wire.span);
        splice.is_some_and(|it| matches!(it.verb, Verb::Splice { .. }))
    };
    if spliced(high) || spliced(low) {
        return None;
    }
    // Where nobody said which way either goes there is nothing to be held against each other.
    if high.wire.zones.is_empty()
        && low.wire.zones.is_empty()
        && high.wire.length.zip(low.wire.length).is_none()
    {
        return None;
    }
    let site = high.id.site(high.wire.span);
    let hangs = format!("whether the bus wires of the {} run as a pair", place.shown());
    let sum = Sum::new(ctx, CHECK.name, format!("{}.pair", at.text()), site, hangs);
    sum.work(|sum| {
        for it in [high, low] {
            sum.rests_on(&known::said(ctx.db, ctx.workspace, it.id, &it.wire.claim, it.wire.span));
        }
        sum.source("balanced two-wire lines: ISO 11898-2");
        sum.note(TWIST);
        let way = |it: &WireAt| it.wire.zones.iter().map(|it| it.head().to_string()).collect::<Vec<_>>();
        let (mut one, two) = (way(high), way(low));
        let said = format!("the bus wires of the {} are run anew", place.shown());
        if one.first() != two.first() {
            one.reverse();
        }
        if one.is_empty() != two.is_empty() {
            let silent = if one.is_empty() { high } else { low };
            let text = format!("{} to {}", silent.wire.a.text(), silent.wire.b.text());
            let what = format!("which way the wire {text} goes");
            let question = Question {
                what: what.clone(),
                good: Some("the same way as its twin".to_owned()),
                tool: None,
                precision: None,
                minutes: None,
                who: Who::Owner,
                gate: Gate::NoReturn,
                hangs: sum.hangs(),
                type_in: Some(format!("wire {text} … by …")),
            };
            sum.lacks(what, question);
            return None;
        }
        if one != two {
            let needed = format!("one goes by {}, the other by {}", listed(&way(high)), listed(&two));
            return Some(Answer::told(Truth::No, &said, &needed));
        }
        let lengths = high.wire.length.zip(low.wire.length);
        if let Some((a, b)) = lengths {
            let allowed = sum.basis_or("pair_difference", 50.0, "mm")?;
            let apart = a.sub(&b).ok()?.abs().ok()?.shown_in("mm").ok()?;
            let needed = format!("{} apart in length, and {} are good", apart.display(), allowed.display());
            return Some(Answer::at_most(apart, allowed, &said, &needed));
        }
        Some(Answer::told(Truth::Yes, &said, &format!("both go by {}", listed(&two))))
    })
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn van(loom: &str, changes: &str) -> String {
        format!(
            r"
kind unit {{ asks mass }}
family Dunlin {{ built 2009-06 to 2018-12
  place brake_controller, cluster is unit
  zone bay, cabin, tunnel
  bus drive is CAN at 500 kbit/s }}
module brake is unit fills brake_controller {{ fitted on Dunlin
  plug B1 {{ 14 can_high drive, 15 can_low drive, 20 empty, 21 empty }}
  plug B2 {{ 1 empty }} }}
module dials is unit fills cluster {{ fitted on Dunlin, plug C1 {{ 5 can_high drive, 6 can_low drive }} }}
{loom}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{ recipient van
{changes} }}"
        )
    }

    const LOOM: &str = "loom main of Dunlin {
  wire brake_controller.B1[14] to cluster.C1[5] 0.5 mm2 GN
  wire brake_controller.B1[15] to cluster.C1[6] 0.5 mm2 BN
  twisted brake_controller.B1[14] with brake_controller.B1[15] }";

    #[test]
    fn a_pair_that_moves_together_stays_one() {
        check(
            "wire/twisted",
            &van(LOOM, "move brake_controller.B1[14] to brake_controller.B1[20]\nmove brake_controller.B1[15] to brake_controller.B1[21]"),
        )
        .clear(
            "Of the pair brake_controller.B1[14] and brake_controller.B1[15] the ends go to brake_controller.B1[20] \
             and brake_controller.B1[21]; they stay side by side.",
        );
        check("wire/twisted", &van(LOOM, "")).silent();
    }

    #[test]
    fn a_pair_that_is_torn_clashes() {
        let found =
            check("wire/twisted", &van(LOOM, "move brake_controller.B1[14] to brake_controller.B2[1]"));
        found.clash(
            "Of the pair brake_controller.B1[14] and brake_controller.B1[15] the ends go to brake_controller.B2[1] \
             and brake_controller.B1[15], but a pair ends in one plug.",
        );
        assert_eq!(found.text(), "move brake_controller.B1[14] to brake_controller.B2[1]");
    }

    #[test]
    fn new_bus_wires_go_the_same_way() {
        let wires = |high: &str, low: &str| {
            van(
                "",
                &format!(
                    "wire brake_controller.B1[14] to cluster.C1[5] 0.5 mm2 GN by {high}\nwire brake_controller.B1[15] to cluster.C1[6] 0.5 mm2 BN by {low}"
                ),
            )
        };
        check("wire/twisted", &wires("bay, cabin", "bay, cabin"))
            .clear("The bus wires of the brake controller are run anew; both go by bay and cabin.");
        let found = check("wire/twisted", &wires("bay, cabin", "bay, tunnel, cabin"));
        found.clash(
            "The bus wires of the brake controller are run anew, but one goes by bay and cabin, the other by bay, \
             tunnel and cabin.",
        );
        assert_eq!(found.text(), "wire brake_controller.B1[14] to cluster.C1[5] 0.5 mm2 GN by bay, cabin");
        check("wire/twisted", &wires("bay, cabin, 2.1 m long", "bay, cabin, 2.4 m long")).clash(
            "The bus wires of the brake controller are run anew, but 300 mm apart in length, and 50 mm are good.",
        );
        let open = format!(
            "basis {{ pair difference 200 mm to 400 mm }}\n{}",
            wires("bay, cabin, 2.1 m long", "bay, cabin, 2.4 m long")
        );
        check("wire/twisted", &open).open(
            "The bus wires of the brake controller are run anew; 300 mm apart in length, and 200 to 400 mm are \
             good: the tolerances leave both possible.",
        );
    }
}

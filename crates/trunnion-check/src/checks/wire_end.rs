//! # wire/end
//!
//! Each new wire ends in something that is there: a cavity of a plug, a splice, a feed, a ground.
//!
//! ## Why it matters
//!
//! A splice that came with a later loom is not on an earlier van; a fuse holder that was not bought
//! leaves a live end. The drawing looks whole, the wire ends in the air.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Dunlin { built 2009-06 to 2018-12, place lamp, zone bay
//!   ground G1 at bay }
//! part bulb fills lamp { plug L1 { 1 supply 12 V, 2 ground } }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion light { recipient van, fit bulb
//!   wire lamp.L1[2] to G7  0.5 mm2 BN }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! family Dunlin { built 2009-06 to 2018-12, place lamp, zone bay
//!   ground G1 at bay }
//! part bulb fills lamp { plug L1 { 1 supply 12 V, 2 ground } }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion light { recipient van, fit bulb
//!   wire lamp.L1[2] to G1  0.5 mm2 BN }
//! ```
//!
//! ## References
//!
//! Graph of what is wired; common practice, no source.

use trunnion_model::built::Holding;
use trunnion_model::db::Site;
use trunnion_model::name::nearest;
use trunnion_model::verdict::{Fix, Gate, Question, Verdict, Who};
use trunnion_model::world::{EndAt, Laid, WireAt, WireEnd};

use crate::check::{Check, Judge};
use crate::ctx::Ctx;

/// The check.
pub static CHECK: Check =
    Check { name: "wire/end", source: include_str!("wire_end.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let new: Vec<&WireAt> = ctx.world.wires.iter().filter(|it| it.laid == Laid::Conversion).collect();
    let mut verdicts: Vec<Verdict> = Vec::new();
    for wire in &new {
        let ends = [(&wire.a, wire.wire.a.span), (&wire.b, wire.wire.b.span)];
        for (end, span) in ends {
            verdicts.extend(one(ctx, end, wire.id.site(span)));
        }
    }
    verdicts.dedup_by(|a, b| a.subject == b.subject && a.message == b.message);
    if verdicts.is_empty() && !new.is_empty() {
        let message = match new.len() {
            1 => "Both ends of the new wire are there.".to_owned(),
            count => format!("Both ends of all {count} new wires are there."),
        };
        let subject = ctx.world.root().name(ctx.db).to_string();
        verdicts.push(ctx.clear("wire/end", subject, ctx.root_site(), message, &[]));
    }
    verdicts
}

fn one(ctx: &Ctx<'_>, end: &WireEnd, site: Site) -> Option<Verdict> {
    match end {
        WireEnd::Splice(_) | WireEnd::Feed(_) | WireEnd::Ground(_) => None,
        WireEnd::Strange(name) => Some(strange(ctx, name, site)),
        WireEnd::Cavity(at, n) => cavity(ctx, at, *n, site),
    }
}

/// An end that is none of the things a wire can end in.
fn strange(ctx: &Ctx<'_>, name: &str, site: Site) -> Verdict {
    let known = ctx.world.splices.iter().chain(&ctx.world.grounds);
    let feeds = ctx.world.feeds.iter().map(|(_, it)| &it.name.value);
    let near = nearest(name, known.chain(feeds).map(|it| it.as_str()));
    let vehicle = ctx.world.recipient.vehicle.shown(ctx.db);
    let message = format!(
        "A new wire ends in {name}, but {vehicle} has no splice, feed, ground or cavity of that name as it was built."
    );
    let mut verdict = ctx.clash("wire/end", name, site, message, &[]);
    if let Some(near) = near {
        verdict = verdict.with_fix(Fix::replace(format!("write {near}"), site, near));
    }
    verdict
}

fn cavity(ctx: &Ctx<'_>, at: &EndAt, n: u32, site: Site) -> Option<Verdict> {
    let subject = at.text();
    // The loose end of a loom wire is named by the cavity it went to.
    let of_loom = ctx.world.wires.iter().filter(|it| it.laid != Laid::Conversion);
    let cavity = WireEnd::Cavity(at.clone(), n);
    if of_loom.into_iter().any(|it| it.was.0 == cavity || it.was.1 == cavity) {
        return None;
    }
    let Some(place) = ctx.world.place(&at.place) else {
        let message = format!("A new wire ends in {}, but there is no place {}.", cavity.text(), at.place);
        return Some(ctx.clash("wire/end", subject, site, message, &[]));
    };
    let shown = ctx.holding_shown(&place.after, place);
    match &place.after {
        Holding::Nothing => {
            let message =
                format!("A new wire ends in {}, but nothing sits in the {}.", cavity.text(), place.shown());
            Some(ctx.clash("wire/end", subject, site, message, &[]))
        }
        Holding::Part(id) => {
            let has = ctx.part(*id)?.end(&at.end).is_some_and(|it| !it.absent);
            let message =
                format!("A new wire ends in {}, but {shown} states no plug {}.", cavity.text(), at.end);
            (!has).then(|| open(ctx, &subject, site, message, &shown, at))
        }
        Holding::Unknown | Holding::Hollow(_) => {
            let message =
                format!("A new wire ends in {}; nobody has said which plugs {shown} has.", cavity.text());
            Some(open(ctx, &subject, site, message, &shown, at))
        }
        Holding::Several(_) | Holding::Choice(_) => None,
    }
}

fn open(ctx: &Ctx<'_>, subject: &str, site: Site, message: String, shown: &str, at: &EndAt) -> Verdict {
    let question = Question {
        what: format!("which plugs {shown} has, and what each cavity is for"),
        good: Some(format!("a plug {}", at.end)),
        tool: Some("wiring diagram, and a photograph of the plug".to_owned()),
        precision: None,
        minutes: Some(15),
        who: Who::Maker,
        gate: Gate::Power,
        hangs: "where the new wire ends".to_owned(),
        type_in: Some(format!("plug {} {{ … }}", at.end)),
    };
    ctx.open("wire/end", subject, site, message, question)
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn wired(wire: &str) -> String {
        format!(
            "family Dunlin {{ built 2009-06 to 2018-12, place lamp, switch, zone bay\n  ground G1 at bay }}\n\
             part bulb fills lamp {{ plug L1 {{ 1 supply 12 V, 2 ground }} }}\n\
             vehicle van is Dunlin {{ built 2012-04 }}\n\
             conversion light {{ recipient van, fit bulb\n  {wire} }}"
        )
    }

    #[test]
    fn ends_that_are_there_are_clear() {
        check("wire/end", &wired("wire lamp.L1[2] to G1 0.5 mm2 BN"))
            .clear("Both ends of the new wire are there.");
    }

    #[test]
    fn a_ground_that_is_not_there_is_a_clash_with_the_near_name() {
        let found = check("wire/end", &wired("wire lamp.L1[2] to G2 0.5 mm2 BN"));
        found.clash(
            "A new wire ends in G2, but van has no splice, feed, ground or cavity of that name as it was built.",
        );
        assert_eq!(found.text(), "G2");
        assert!(found.fixed(0).contains("to G1 0.5"));
    }

    #[test]
    fn an_empty_place_is_a_clash() {
        check("wire/end", &wired("remove switch\n  wire lamp.L1[2] to switch.S1[1]"))
            .clash("A new wire ends in switch.S1[1], but nothing sits in the switch.");
    }

    #[test]
    fn an_unknown_part_is_open() {
        check("wire/end", &wired("wire lamp.L1[2] to switch.S1[1]"))
            .open("A new wire ends in switch.S1[1]; nobody has said which plugs an unknown switch has.");
    }
}

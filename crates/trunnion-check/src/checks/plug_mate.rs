//! # plug/mate
//!
//! The loom's connector goes into what is fitted: the same housing as before, its keying, male or
//! female, and as many cavities; and two plugs that are joined go into each other.
//!
//! ## Why it matters
//!
//! A plug of another housing, or of the same with another coding rib, does not go in. Cutting it
//! off and crimping a new one is a day's work on a loom, and it is known from a photograph.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place brake_controller is unit }
//! connector shell38 { cavities 38, keying A }
//! connector shell46 { cavities 46, keying A }
//! module brake_early is unit fills brake_controller { fitted on Dunlin, plug B1 is shell38 }
//! module brake_late is unit fills brake_controller { plug B1 is shell46 }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit brake_late }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place brake_controller is unit }
//! connector shell38 { cavities 38, keying A }
//! module brake_early is unit fills brake_controller { fitted on Dunlin, plug B1 is shell38 }
//! module brake_mid is unit fills brake_controller { plug B1 is shell38 }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit brake_mid }
//! ```
//!
//! ## References
//!
//! Geometry; what fits what is stated by the connectors (`mates`, `keying`, `cavities`). The
//! connector on the loom is the counterpart of the plug of what sat there as built.

use trunnion_model::built::Holding;
use trunnion_model::db::Site;
use trunnion_model::decl::{Body, Connector, End, EndClass, Side};
use trunnion_model::fact::Found;
use trunnion_model::known;
use trunnion_model::name::{Id, Space};
use trunnion_model::verdict::{Fix, Gate, Question, Verdict, Who};
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::checks::need::replacements;
use crate::ctx::{Ctx, Mate};

/// The check.
pub static CHECK: Check =
    Check { name: "plug/mate", source: include_str!("plug_mate.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let mut verdicts = Vec::new();
    for place in ctx.world.places.iter().filter(|it| it.changed()) {
        let Holding::Part(before) = place.before else { continue };
        // Which of several sits there is build/ambiguous; a choice is judged for each candidate.
        let candidates = if let Holding::Several(_) = place.after { &[] } else { place.after.parts() };
        for after in candidates {
            let ends = ctx.part(before).into_iter().flat_map(|it| &it.ends);
            for old in ends.filter(|it| it.class == EndClass::Plug && !it.absent) {
                let new = ctx.part(*after).and_then(|it| it.end(&old.name.value)).filter(|it| !it.absent);
                verdicts.extend(new.and_then(|new| swapped(ctx, place, (before, old), (*after, new))));
            }
        }
    }
    verdicts.extend(ctx.mates().iter().filter_map(|(a, b, site)| joined(ctx, a, b, *site)));
    verdicts
}

/// A plug of a part.
type Plug<'a> = (Id, &'a End);

/// The housing of a plug.
fn housing<'a>(ctx: &Ctx<'a>, (id, end): Plug<'_>) -> Option<(Id, &'a Connector)> {
    let named = ctx.find(id, Space::Connector, end.is.as_ref()?.head())?;
    match &named.decl(ctx.db)?.body {
        Body::Connector(it) => Some((named, it)),
        _ => None,
    }
}

fn mates(ctx: &Ctx<'_>, (id, connector): (Id, &Connector), other: Id) -> bool {
    connector.mates.as_ref().and_then(|it| ctx.find(id, Space::Connector, it.head())) == Some(other)
}

fn said(ctx: &Ctx<'_>, (id, end): Plug<'_>) -> Found {
    known::said(ctx.db, ctx.workspace, id, &end.claim, end.span)
}

/// What was plugged into the old part against what is plugged into the new one.
fn swapped(ctx: &Ctx<'_>, place: &Place, old: Plug<'_>, new: Plug<'_>) -> Option<Verdict> {
    if misnamed(ctx, old) || misnamed(ctx, new) {
        return None;
    }
    let plug = &old.1.name.value;
    let mut subject = format!("{}.{plug}", place.name);
    if place.after.parts().len() > 1 {
        subject = format!("{subject}.{}", new.0.name(ctx.db));
    }
    let site = new.0.site(new.1.span);
    let (a, b) = (housing(ctx, old), housing(ctx, new));
    let mut verdict = match (a, b) {
        (Some(a), Some(b)) => {
            let found = [said(ctx, old), said(ctx, new)];
            let (shown_a, shown_b) = (a.0.shown(ctx.db), b.0.shown(ctx.db));
            let verdict = match difference(ctx, (a, old.1), (b, new.1)) {
                None => {
                    let message = format!(
                        "The loom's connector for plug {plug} of the {} goes into {}: {shown_b}.",
                        place.shown(),
                        new.0.shown(ctx.db)
                    );
                    ctx.clear("plug/mate", subject, site, message, &found)
                }
                Some(why) => {
                    let message = format!(
                        "The loom's connector for plug {plug} of the {} does not go into {}: {why}.",
                        place.shown(),
                        new.0.shown(ctx.db)
                    );
                    let clash = ctx.clash("plug/mate", subject, site, message, &found);
                    clash.with_fixes(replacements(ctx, place, &|id| {
                        let Some(end) = ctx.part(id).and_then(|it| it.end(plug)) else { return false };
                        housing(ctx, (id, end))
                            .is_some_and(|it| difference(ctx, (a, old.1), (it, end)).is_none())
                    }))
                }
            };
            verdict.with_need(shown_a, shown_b)
        }
        (None, None) => unknown(ctx, place, (place, new), &subject, None),
        (Some(a), None) => unknown(ctx, place, (place, new), &subject, Some(a.0.shown(ctx.db))),
        (None, Some(b)) => unknown(ctx, place, (place, old), &subject, Some(b.0.shown(ctx.db))),
    };
    verdict.safety = ctx.safety(place);
    Some(verdict)
}

/// A connector is named that is declared nowhere; that is said where it stands.
fn misnamed(ctx: &Ctx<'_>, plug: Plug<'_>) -> bool {
    plug.1.is.is_some() && housing(ctx, plug).is_none()
}

/// Why the connector that fitted one plug does not fit another; none where it does.
fn difference(
    ctx: &Ctx<'_>,
    (a, old): ((Id, &Connector), &End),
    (b, new): ((Id, &Connector), &End),
) -> Option<String> {
    if let (Some(x), Some(y)) = (old.side, new.side)
        && x != y
    {
        return Some(format!("{} against {}", side(x), side(y)));
    }
    if a.0 == b.0 || mates(ctx, a, b.0) || mates(ctx, b, a.0) {
        return None;
    }
    let mut why = vec![format!("{} against {}", a.0.shown(ctx.db), b.0.shown(ctx.db))];
    if let (Some(x), Some(y)) = (&a.1.cavities, &b.1.cavities)
        && x.value != y.value
    {
        why.push(format!("{} cavities against {}", x.value, y.value));
    }
    if let (Some(x), Some(y)) = (&a.1.keying, &b.1.keying)
        && x.display() != y.display()
    {
        why.push(format!("keying {} against {}", x.display(), y.display()));
    }
    if let (Some(x), Some(y)) = (a.1.side, b.1.side)
        && x != y
    {
        why.push(format!("{} against {}", side(x), side(y)));
    }
    Some(why.join(", "))
}

fn side(side: Side) -> &'static str {
    match side {
        Side::Male => "male",
        Side::Female => "female",
    }
}

/// Nobody has said which housing a plug has.
fn unknown(
    ctx: &Ctx<'_>,
    place: &Place,
    (at, plug): (&Place, Plug<'_>),
    subject: &str,
    good: Option<String>,
) -> Verdict {
    let (id, end) = plug;
    let name = &end.name.value;
    let who = id.shown(ctx.db);
    let what = format!("which connector plug {name} of {who} is");
    let asked = if at.donor().is_some() && at.after.part() == Some(id) { Who::Seller } else { Who::Tape };
    let question = Question {
        what: what.clone(),
        good,
        tool: Some("photograph of the plug, coding rib in view; count the cavities".to_owned()),
        precision: None,
        minutes: Some(5),
        who: asked,
        gate: Gate::Buying,
        hangs: format!("whether the loom's connector goes into the {}", place.shown()),
        type_in: Some(format!("in {who}: plug {name} is …")),
    };
    let message = format!("Nobody has said {what}.");
    let open = ctx.open("plug/mate", subject, id.site(end.span), message, question);
    // Where the plug names no connector, its name goes right after that of the plug.
    let after = trunnion_syntax::tree::Span::new(end.name.span.end, end.name.span.end);
    let fix = end.is.is_none().then(|| {
        Fix::replace(format!("state the connector of plug {name} of {who}"), id.site(after), " is …")
    });
    open.with_fixes(fix)
}

fn stated<'a>(mate: &Mate<'a>) -> Option<Plug<'a>> {
    let (id, part) = mate.part?;
    Some((id, part.end(&mate.at.end)?))
}

/// Two plugs that are joined to each other.
fn joined(ctx: &Ctx<'_>, a: &Mate<'_>, b: &Mate<'_>, site: Site) -> Option<Verdict> {
    let plug = |it: &Mate<'_>| it.end.as_ref().is_some_and(|it| it.class == EndClass::Plug && !it.absent);
    if !plug(a) || !plug(b) {
        return None;
    }
    // A part of which nothing is known is asked for by its kind.
    let (end_a, end_b) = (stated(a)?, stated(b)?);
    if misnamed(ctx, end_a) || misnamed(ctx, end_b) {
        return None;
    }
    let subject = format!("{}-{}", a.at.text(), b.at.text());
    let found = [said(ctx, end_a), said(ctx, end_b)];
    let (x, y) = match (housing(ctx, end_a), housing(ctx, end_b)) {
        (Some(x), Some(y)) => (x, y),
        (None, other) => {
            return Some(unknown(
                ctx,
                a.place,
                (a.place, end_a),
                &subject,
                other.map(|it| it.0.shown(ctx.db)),
            ));
        }
        (other, None) => {
            return Some(unknown(
                ctx,
                b.place,
                (b.place, end_b),
                &subject,
                other.map(|it| it.0.shown(ctx.db)),
            ));
        }
    };
    let (shown_x, shown_y) = (x.0.shown(ctx.db), y.0.shown(ctx.db));
    let pair = format!("the {} ({shown_x}) and the {} ({shown_y})", a.shown(), b.shown());
    let sides = (end_a.1.side.or(x.1.side), end_b.1.side.or(y.1.side));
    let same_side = sides.0.is_some() && sides.0 == sides.1;
    let verdict = if same_side {
        let both = sides.0.map_or("", side);
        let message = format!("Both {pair} are {both}; they do not go into each other.");
        ctx.clash("plug/mate", subject, site, message, &found)
    } else if mates(ctx, x, y.0) || mates(ctx, y, x.0) {
        let message = format!("The plugs go into each other: {pair}.");
        ctx.clear("plug/mate", subject, site, message, &found)
    } else if x.1.mates.is_some() || y.1.mates.is_some() {
        let wants =
            x.1.mates
                .as_ref()
                .map(|it| (&shown_x, it))
                .or_else(|| y.1.mates.as_ref().map(|it| (&shown_y, it)));
        let why = wants
            .map(|(it, other)| format!("{it} goes into {}", other.text().replace('_', " ")))
            .unwrap_or_default();
        let message = format!("The plugs do not go into each other, {pair}: {why}.");
        ctx.clash("plug/mate", subject, site, message, &found)
    } else {
        let what = format!("whether {shown_x} goes into {shown_y}");
        let question = Question {
            what: what.clone(),
            good: Some("it does".to_owned()),
            tool: Some("try it, or data sheet of the connectors".to_owned()),
            precision: None,
            minutes: Some(5),
            who: Who::Tape,
            gate: Gate::Buying,
            hangs: format!("whether {} plugs into {}", a.part_shown(ctx), b.part_shown(ctx)),
            type_in: Some(format!("in connector {}: mates {}", x.0.name(ctx.db), y.0.name(ctx.db))),
        };
        let message = format!("Nobody has said {what}.");
        let edit = ctx.insert(x.0, &format!("mates {}", y.0.name(ctx.db)));
        let fix = edit.map(|edit| Fix {
            title: format!("state that {shown_x} goes into {shown_y}"),
            edits: vec![edit],
        });
        ctx.open("plug/mate", subject, site, message, question).with_fixes(fix)
    };
    Some(verdict.with_need(shown_x, shown_y))
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn swapped(old: &str, new: &str) -> String {
        format!(
            r"
kind unit {{ asks mass }}
family Dunlin {{ built 2009-06 to 2018-12
  place brake_controller is unit }}
connector shell38 {{ cavities 38, keying A }}
connector shell38b {{ cavities 38, keying B }}
connector header38 {{ cavities 38, mates shell38 }}
module brake_early is unit fills brake_controller {{ fitted on Dunlin, {old} }}
module brake_late is unit fills brake_controller {{ {new} }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{ recipient van, fit brake_late }}"
        )
    }

    #[test]
    fn the_same_housing_or_its_counterpart_is_clear() {
        check("plug/mate", &swapped("plug B1 is shell38", "plug B1 is shell38"))
            .clear("The loom's connector for plug B1 of the brake controller goes into brake late: shell38.");
        check("plug/mate", &swapped("plug B1 is shell38", "plug B1 is header38")).clear(
            "The loom's connector for plug B1 of the brake controller goes into brake late: header38.",
        );
    }

    #[test]
    fn another_keying_is_a_clash() {
        let more = "plug B1 is shell38, mass 3 kg }\nmodule other is unit fills brake_controller { offer 9 EUR, plug B1 is shell38";
        let found = check("plug/mate", &swapped(more, "plug B1 is shell38b"));
        found.clash(
            "The loom's connector for plug B1 of the brake controller does not go into brake late: \
             shell38 against shell38b, keying A against B.",
        );
        assert_eq!(found.text(), "plug B1 is shell38b");
        assert!(found.fixed(0).contains("replace brake_controller with"), "{}", found.fixed(0));
    }

    #[test]
    fn male_against_female_is_a_clash() {
        check("plug/mate", &swapped("plug B1 is shell38 male", "plug B1 is shell38 female")).clash(
            "The loom's connector for plug B1 of the brake controller does not go into brake late: male against female.",
        );
    }

    #[test]
    fn a_connector_nobody_named_is_open() {
        let found = check("plug/mate", &swapped("plug B1 is shell38", "plug B1 { 1 ground }"));
        found.open("Nobody has said which connector plug B1 of brake late is.");
        assert_eq!(found.only().question.as_ref().expect("asked").good.as_deref(), Some("shell38"));
        assert!(found.fixed(0).contains("plug B1 is … { 1 ground }"));
    }

    fn joined(a: &str, b: &str) -> String {
        format!(
            r"
kind unit {{ asks mass }}
family Dunlin {{ built 2009-06 to 2018-12
  place adaptor, sensor is unit
  joint adaptor.A1 to sensor.S1 }}
connector small_socket {{ cavities 3, female }}
connector small_pins {{ cavities 3, male, mates small_socket }}
connector other_pins {{ cavities 3 }}
part lead is unit fills adaptor {{ plug A1 is {a} }}
part probe is unit fills sensor {{ fitted on Dunlin, plug S1 is {b} }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{ recipient van, fit lead }}"
        )
    }

    #[test]
    fn joined_plugs_go_into_each_other_or_not() {
        check("plug/mate", &joined("small_pins", "small_socket"))
            .clear("The plugs go into each other: the A1 of adaptor (small pins) and the S1 of sensor (small socket).");
        check("plug/mate", &joined("small_pins", "other_pins")).clash(
            "The plugs do not go into each other, the A1 of adaptor (small pins) and the S1 of sensor \
             (other pins): small pins goes into small socket.",
        );
        check("plug/mate", &joined("small_pins", "small_pins")).clash(
            "Both the A1 of adaptor (small pins) and the S1 of sensor (small pins) are male; they do not go into each other.",
        );
    }

    #[test]
    fn joined_plugs_of_which_nobody_said_so_are_open() {
        let found = check("plug/mate", &joined("other_pins", "small_socket"));
        found.open("Nobody has said whether other pins goes into small socket.");
        assert!(found.fixed(0).contains("connector other_pins { cavities 3, mates small_socket }"));
    }
}

//! # fit/pattern
//!
//! Two faces that are brought together have the same holes: count, circle, threads or clearance
//! holes that let the bolt through, and dowels.
//!
//! ## Why it matters
//!
//! Two bell housings of one maker can differ by one hole and four millimetres. It shows when the
//! unit hangs on the crane.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place engine, gearbox is unit
//!   joint engine.rear to gearbox.front }
//! pattern bell_22 { holes 8 on 320 mm, thread M10x1.5 }
//! pattern bell_20 { holes 6 on 320 mm, bore 11 mm }
//! part diesel is unit fills engine { fitted on Dunlin, face rear is bell_22 }
//! part box is unit fills gearbox { face front is bell_20 }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit box }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place engine, gearbox is unit
//!   joint engine.rear to gearbox.front }
//! pattern bell_22 { holes 8 on 320 mm, thread M10x1.5 }
//! pattern bell_fit { holes 8 on 320 mm, bore 11 mm }
//! part diesel is unit fills engine { fitted on Dunlin, face rear is bell_22 }
//! part box is unit fills gearbox { face front is bell_fit }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit box }
//! ```
//!
//! ## References
//!
//! Geometry of hole circles: with a bolt of diameter d through a hole of diameter D, the circles
//! may differ by D − d. Clearance holes: ISO 273. Thread diameters: ISO 261, ISO 724.

use trunnion_model::db::Site;
use trunnion_model::decl::{Dowels, Geometry, Holes};
use trunnion_model::name::{Id, Space};
use trunnion_model::verdict::{Gate, Question, Verdict, Who};

use crate::check::{Check, Judge};
use crate::checks::need::replacements;
use crate::ctx::{Ctx, Mate, figure};

/// The check.
pub static CHECK: Check =
    Check { name: "fit/pattern", source: include_str!("fit_pattern.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    ctx.mates().iter().filter_map(|(a, b, site)| one(ctx, a, b, *site)).collect()
}

fn one(ctx: &Ctx<'_>, a: &Mate<'_>, b: &Mate<'_>, joint: Site) -> Option<Verdict> {
    let subject = format!("{}-{}", a.at.text(), b.at.text());
    let bolted = |it: &Mate<'_>| it.geometry.as_ref().is_some_and(|it| !it.holes.is_empty());
    if !bolted(a) && !bolted(b) {
        return None;
    }
    let found: Vec<_> = a.found.iter().chain(&b.found).cloned().collect();
    for (known, other) in [(a, b), (b, a)] {
        if !bolted(other) {
            return Some(open(ctx, known, other, &subject, joint));
        }
    }
    let (ga, gb) = (a.geometry.as_ref()?, b.geometry.as_ref()?);
    let (shown_a, shown_b) = (holes_shown(ga), holes_shown(gb));
    let verdict = match difference(ga, gb) {
        None => {
            let message = format!("The {} and the {} have the same holes: {shown_a}.", a.shown(), b.shown());
            ctx.clear("fit/pattern", subject, joint, message, &found)
        }
        Some(why) => {
            let message = format!("The {} does not fit the {}: {why}.", a.shown(), b.shown());
            let mut fixes = replacements(ctx, b.place, &|id| fits(ctx, id, b, ga));
            fixes.extend(replacements(ctx, a.place, &|id| fits(ctx, id, a, gb)));
            ctx.clash("fit/pattern", subject, joint, message, &found).with_fixes(fixes)
        }
    };
    let mut verdict = verdict.with_need(shown_a, shown_b);
    verdict.safety = both_safety(ctx, a, b);
    Some(verdict)
}

/// Areas of safety that either side of a joint concerns.
pub(crate) fn both_safety(ctx: &Ctx<'_>, a: &Mate<'_>, b: &Mate<'_>) -> Vec<String> {
    let mut areas = ctx.safety(a.place);
    for area in ctx.safety(b.place) {
        if !areas.contains(&area) {
            areas.push(area);
        }
    }
    areas
}

/// Whether another part would fit here, and as far as is known wherever else its place is joined.
fn fits(ctx: &Ctx<'_>, id: Id, at: &Mate<'_>, other: &Geometry) -> bool {
    let holes = |name: &str| {
        let end = ctx.part(id)?.end(name)?;
        let pattern = end.is.as_ref().and_then(|it| ctx.find(id, Space::Pattern, it.head()));
        ctx.geometry(pattern, &end.geometry, end.side).filter(|it| !it.holes.is_empty())
    };
    if holes(&at.at.end).is_none_or(|it| difference(&it, other).is_some()) {
        return false;
    }
    let joints = ctx.world.joints.iter().filter(|it| it.after);
    let met = joints.flat_map(|it| [(&it.a, &it.b), (&it.b, &it.a)]);
    met.filter(|(own, _)| own.place == at.at.place && own.end != at.at.end).all(|(own, other)| {
        match (holes(&own.end), ctx.mate(other).and_then(|it| it.geometry)) {
            (Some(own), Some(met)) if !met.holes.is_empty() => difference(&own, &met).is_none(),
            _ => true,
        }
    })
}

fn open(ctx: &Ctx<'_>, known: &Mate<'_>, other: &Mate<'_>, subject: &str, joint: Site) -> Verdict {
    let good = known.geometry.as_ref().map(holes_shown);
    let question = Question {
        what: format!("the hole pattern at the {}", other.shown()),
        good,
        tool: Some("calliper".to_owned()),
        precision: Some("0.1 mm".to_owned()),
        minutes: Some(10),
        who: Who::Tape,
        gate: Gate::Buying,
        hangs: format!("whether {} bolts to {}", other.part_shown(ctx), known.part_shown(ctx)),
        type_in: Some(format!("face {} is …", other.at.end)),
    };
    let message = format!("Nobody has said which holes the {} has.", other.shown());
    let mut verdict = ctx.open("fit/pattern", subject, joint, message, question);
    if let Some((id, _)) = other.part {
        let edit = ctx.insert(id, &format!("face {} is …", other.at.end));
        verdict = verdict.with_fixes(edit.map(|edit| trunnion_model::verdict::Fix {
            title: format!("state the face {} of {}", other.at.end, id.shown(ctx.db)),
            edits: vec![edit],
        }));
    }
    verdict.safety = both_safety(ctx, known, other);
    verdict
}

/// Where two patterns differ, as a sentence part; none where they go together.
pub fn difference(a: &Geometry, b: &Geometry) -> Option<String> {
    if a.holes.len() != b.holes.len() {
        return Some(format!("{} hole circles against {}", a.holes.len(), b.holes.len()));
    }
    let holes = a.holes.iter().zip(&b.holes).find_map(|(a, b)| holes_differ(a, b));
    holes.or_else(|| dowels_differ(a.dowels.as_ref(), b.dowels.as_ref()))
}

fn holes_differ(a: &Holes, b: &Holes) -> Option<String> {
    if a.count.value != b.count.value {
        return Some(format!("{} holes against {}", a.count.value, b.count.value));
    }
    let (da, db) = (a.circle.nominal() * 1e3, b.circle.nominal() * 1e3);
    let play = play(a, b).unwrap_or(0.0);
    // Worst case of the stated circles; the play of the bolts in their holes is what may be bridged.
    let apart = (da - db).abs();
    if apart > play + 1e-9 {
        let (sa, sb) = (figure(a.circle, "mm"), figure(b.circle, "mm"));
        let play = crate::ctx::trimmed(play, 2);
        return Some(format!("the holes are on {sa} mm against {sb} mm; the bolts leave {play} mm of play"));
    }
    match (&a.thread, &b.thread) {
        (Some(a), Some(b)) if a != b => Some(format!("threads {a} against {b}")),
        (Some(thread), None) => too_small(thread, b),
        (None, Some(thread)) => too_small(thread, a),
        _ => None,
    }
}

/// How far two circles may differ: what the bolt leaves free in its hole.
fn play(a: &Holes, b: &Holes) -> Option<f64> {
    let (thread, hole) = match (&a.thread, &b.thread) {
        (Some(thread), None) => (thread, b.bore?),
        (None, Some(thread)) => (thread, a.bore?),
        _ => return None,
    };
    Some((hole.nominal() * 1e3 - bolt_diameter(thread)?).max(0.0))
}

/// A bolt that does not go through its hole.
fn too_small(thread: &str, holes: &Holes) -> Option<String> {
    let bolt = bolt_diameter(thread)?;
    let hole = holes.bore?.nominal() * 1e3;
    let shown = crate::ctx::trimmed(hole, 2);
    (hole < bolt).then(|| format!("a bolt {thread} does not go through a hole of {shown} mm"))
}

/// The outer diameter of a metric bolt in mm: the figure after M, by ISO 261.
fn bolt_diameter(thread: &str) -> Option<f64> {
    thread.strip_prefix('M')?.split('x').next()?.parse().ok()
}

fn dowels_differ(a: Option<&Dowels>, b: Option<&Dowels>) -> Option<String> {
    let (a, b) = (a?, b?);
    if a.count != b.count {
        return Some(format!("{} dowels against {}", a.count, b.count));
    }
    let differ = |x: Option<trunnion_handbook::quantity::Quantity>,
                  y: Option<trunnion_handbook::quantity::Quantity>| match (x, y) {
        (Some(x), Some(y)) => (x.overlaps(&y) != Ok(true)).then(|| (figure(x, "mm"), figure(y, "mm"))),
        _ => None,
    };
    if let Some((x, y)) = differ(a.circle, b.circle) {
        return Some(format!("the dowels are on {x} mm against {y} mm"));
    }
    differ(a.size, b.size).map(|(x, y)| format!("dowels of {x} mm against {y} mm"))
}

fn holes_shown(geometry: &Geometry) -> String {
    let one = |it: &Holes| {
        let tail = match (&it.thread, it.bore) {
            (Some(thread), _) => format!(", {thread}"),
            (None, Some(bore)) => format!(", bore {}", bore.display()),
            (None, None) => String::new(),
        };
        format!("{} on {}{tail}", it.count.value, it.circle.display())
    };
    geometry.holes.iter().map(one).collect::<Vec<_>>().join("; ")
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn joined(front: &str) -> String {
        format!(
            r"
kind unit {{ asks mass }}
family Dunlin {{ built 2009-06 to 2018-12
  place engine, gearbox is unit
  joint engine.rear to gearbox.front }}
pattern bell_22 {{ holes 8 on 320 mm, thread M10x1.5 }}
part diesel is unit fills engine {{ fitted on Dunlin, face rear is bell_22 }}
part box is unit fills gearbox {{ {front} }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{ recipient van, fit box }}"
        )
    }

    #[test]
    fn the_same_holes_are_clear() {
        check("fit/pattern", &joined("face front { holes 8 on 320.5 mm, bore 11 mm }"))
            .clear("The rear of engine and the front of gearbox have the same holes: 8 on 320 mm, M10x1.5.");
    }

    #[test]
    fn another_count_is_a_clash() {
        let found = check("fit/pattern", &joined("face front { holes 6 on 320 mm, bore 11 mm }"));
        found.clash("The rear of engine does not fit the front of gearbox: 8 holes against 6.");
        assert_eq!(found.text(), "joint engine.rear to gearbox.front");
    }

    #[test]
    fn another_circle_is_a_clash_beyond_the_play_of_the_bolts() {
        check("fit/pattern", &joined("face front { holes 8 on 322 mm, bore 11 mm }")).clash(
            "The rear of engine does not fit the front of gearbox: the holes are on 320 mm against 322 mm; \
             the bolts leave 1 mm of play.",
        );
    }

    #[test]
    fn holes_nobody_stated_are_open() {
        let found = check("fit/pattern", &joined("mass 80 kg"));
        found.open("Nobody has said which holes the front of gearbox has.");
        let question = found.only().question.as_ref().expect("asked");
        assert_eq!(question.good.as_deref(), Some("8 on 320 mm, M10x1.5"));
        assert!(found.fixed(0).contains("mass 80 kg, face front is … }"));
    }
}

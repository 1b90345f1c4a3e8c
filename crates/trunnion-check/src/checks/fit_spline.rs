//! # fit/spline
//!
//! A splined shaft goes into its hub: same standard, number of teeth, module or pitch, pressure
//! angle and size, one outer and one inner, and long enough where the length is stated.
//!
//! ## Why it matters
//!
//! A clutch disc with one tooth more than the shaft slides on to nothing. Two splines of one size
//! and another pressure angle can even be pushed together, and strip on the first hill.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place clutch, gearbox is unit
//!   joint clutch.hub to gearbox.input }
//! part disc is unit fills clutch { fitted on Dunlin, face hub female { spline "DIN 5480", teeth 24, module 1.25 mm, size 32 mm } }
//! part box is unit fills gearbox { face input male { spline "DIN 5480", teeth 22, module 1.25 mm, size 30 mm } }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit box }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place clutch, gearbox is unit
//!   joint clutch.hub to gearbox.input }
//! part disc is unit fills clutch { fitted on Dunlin, face hub female { spline "DIN 5480", teeth 24, module 1.25 mm, size 32 mm } }
//! part box is unit fills gearbox { face input male { spline "DIN 5480", teeth 24, module 1.25 mm, size 32 mm } }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit box }
//! ```
//!
//! ## References
//!
//! What makes two splines one: DIN 5480-1 (module, teeth, reference diameter; 30° throughout),
//! ISO 4156-1 (module, teeth, pressure angle), ANSI B92.1 and B92.2M (pitch or module, teeth,
//! pressure angle), ISO 14 (straight sides: number and diameter).

use trunnion_handbook::quantity::Quantity;
use trunnion_model::db::Site;
use trunnion_model::decl::{Geometry, Side, Spline};
use trunnion_model::fact::Found;
use trunnion_model::name::{Id, Space};
use trunnion_model::verdict::{Fix, Gate, Question, Verdict, Who};

use crate::check::{Check, Judge};
use crate::checks::fit_pattern::both_safety;
use crate::checks::fit_register::{holes_on_one_side, register_on_one_side, sourced};
use crate::checks::need::replacements;
use crate::ctx::{Ctx, Mate};

/// The check.
pub static CHECK: Check =
    Check { name: "fit/spline", source: include_str!("fit_spline.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    ctx.mates().iter().filter_map(|(a, b, site)| one(ctx, a, b, *site)).collect()
}

fn spline<'m>(mate: &'m Mate<'_>) -> Option<&'m Spline> {
    mate.geometry.as_ref()?.spline.as_ref()
}

fn one(ctx: &Ctx<'_>, a: &Mate<'_>, b: &Mate<'_>, joint: Site) -> Option<Verdict> {
    let subject = format!("{}-{}", a.at.text(), b.at.text());
    let mut verdict = match (spline(a), spline(b)) {
        (None, None) => return None,
        (Some(it), None) => one_sided(ctx, a, it, b, subject, joint)?,
        (None, Some(it)) => one_sided(ctx, b, it, a, subject, joint)?,
        (Some(x), Some(y)) => both(ctx, (a, x), (b, y), subject, joint),
    };
    verdict.safety = both_safety(ctx, a, b);
    Some(verdict)
}

fn claims(ctx: &Ctx<'_>, mates: [(&Mate<'_>, &Spline); 2]) -> Vec<Found> {
    let mut found = Vec::new();
    for (mate, spline) in mates {
        let own =
            mate.part.and_then(|(_, it)| it.end(&mate.at.end)).is_some_and(|it| it.geometry.spline.is_some());
        found.extend(mate.found.clone());
        found.extend(sourced(ctx, mate, &spline.claim, spline.span, own));
    }
    found
}

fn both(
    ctx: &Ctx<'_>,
    (a, x): (&Mate<'_>, &Spline),
    (b, y): (&Mate<'_>, &Spline),
    subject: String,
    joint: Site,
) -> Verdict {
    let found = claims(ctx, [(a, x), (b, y)]);
    let same_pattern = a.pattern.is_some() && a.pattern == b.pattern && x == y;
    let sides = [a, b].map(|it| it.geometry.as_ref().and_then(|it| it.side));
    let compared = compare(x, y, sides, same_pattern);
    let changed = if b.place.changed() { (b, x, sides[0]) } else { (a, y, sides[1]) };
    let verdict = if let Some(why) = compared.clash {
        let message = format!("The {} does not go together with the {}: {why}.", a.shown(), b.shown());
        ctx.clash(CHECK.name, subject, joint, message, &found).with_fixes(replacements(
            ctx,
            changed.0.place,
            &|id| fits(ctx, id, changed.0, changed.1, changed.2),
        ))
    } else if compared.missing.is_empty() {
        let message = format!("The {} goes together with the {}: {}.", a.shown(), b.shown(), shown(x));
        ctx.clear(CHECK.name, subject, joint, message, &found)
    } else {
        let what = compared.missing.join(", ");
        let message = format!(
            "Whether the {} goes together with the {} cannot be told: nobody has said the {what} of both.",
            a.shown(),
            b.shown()
        );
        let (known, other) = if stated(x) >= stated(y) { (a, b) } else { (b, a) };
        let good = spline(known).map(shown);
        ctx.open(CHECK.name, subject, joint, message, question(ctx, known, other, &what, good))
    };
    let mut verdict = verdict.with_need(shown(x), shown(y));
    verdict.formula = compared.formula;
    verdict
}

fn one_sided(
    ctx: &Ctx<'_>,
    known: &Mate<'_>,
    spline: &Spline,
    other: &Mate<'_>,
    subject: String,
    joint: Site,
) -> Option<Verdict> {
    // One cause, one verdict: an end of which nothing fits is asked about where its holes are.
    if holes_on_one_side(known, other) || register_on_one_side(known, other) {
        return None;
    }
    let good = Some(shown(spline));
    let question = question(ctx, known, other, "spline", good);
    let message = format!(
        "The {} is splined ({}); nobody has said which spline the {} has.",
        known.shown(),
        shown(spline),
        other.shown()
    );
    let mut verdict = ctx.open(CHECK.name, subject, joint, message, question);
    if let Some((id, part)) = other.part
        && part.end(&other.at.end).is_none()
    {
        let title = format!("state the face {} of {}", other.at.end, id.shown(ctx.db));
        let edit = ctx.insert(id, &format!("face {} {{ spline … }}", other.at.end));
        verdict = verdict.with_fixes(edit.map(|edit| Fix { title, edits: vec![edit] }));
    }
    Some(verdict)
}

fn question(ctx: &Ctx<'_>, known: &Mate<'_>, other: &Mate<'_>, what: &str, good: Option<String>) -> Question {
    Question {
        what: format!("the {what} at the {}", other.shown()),
        good,
        tool: Some("count the teeth; calliper over the tips".to_owned()),
        precision: Some("0.05 mm".to_owned()),
        minutes: Some(10),
        who: Who::Tape,
        gate: Gate::Buying,
        hangs: format!("whether {} slides on to {}", other.part_shown(ctx), known.part_shown(ctx)),
        type_in: Some(format!("face {} {{ spline … }}", other.at.end)),
    }
}

fn fits(ctx: &Ctx<'_>, id: Id, at: &Mate<'_>, other: &Spline, side: Option<Side>) -> bool {
    let Some(end) = ctx.part(id).and_then(|it| it.end(&at.at.end)) else {
        return false;
    };
    let pattern = end.is.as_ref().and_then(|it| ctx.find(id, Space::Pattern, it.head()));
    let Some(Geometry { spline: Some(own), side: own_side, .. }) =
        ctx.geometry(pattern, &end.geometry, end.side)
    else {
        return false;
    };
    let compared = compare(&own, other, [own_side, side], false);
    compared.clash.is_none() && compared.missing.is_empty()
}

#[derive(Default)]
struct Compared {
    clash: Option<String>,
    missing: Vec<&'static str>,
    formula: Option<String>,
}

/// What of a spline its standard leaves open, so that both sides must state it.
struct Asks {
    pitch: bool,
    angle: bool,
    size: bool,
}

fn asks(standard: &str) -> Asks {
    let bare: String = standard.to_uppercase().chars().filter(|it| it.is_alphanumeric()).collect();
    if bare.starts_with("DIN5480") {
        Asks { pitch: true, angle: false, size: true }
    } else if bare.starts_with("ISO14") {
        Asks { pitch: false, angle: false, size: true }
    } else if bare.starts_with("ISO4156") || bare.contains("B921") || bare.contains("B922") {
        Asks { pitch: true, angle: true, size: false }
    } else {
        Asks { pitch: true, angle: true, size: true }
    }
}

fn compare(x: &Spline, y: &Spline, sides: [Option<Side>; 2], same_pattern: bool) -> Compared {
    let mut into = Compared::default();
    if let [Some(Side::Male), Some(Side::Male)] = sides {
        into.clash = Some("both are shafts".to_owned());
        return into;
    }
    if let [Some(Side::Female), Some(Side::Female)] = sides {
        into.clash = Some("both are hubs".to_owned());
        return into;
    }
    if same_pattern {
        return into;
    }
    let (a, b) = (x.standard.display(), y.standard.display());
    let mut differ: Vec<String> = Vec::new();
    if letters(&a) != letters(&b) {
        differ.push(format!("{a} against {b}"));
    }
    let asked = asks(&a);
    match (x.teeth, y.teeth) {
        (Some(a), Some(b)) if a != b => differ.push(format!("{a} teeth against {b}")),
        (Some(_), Some(_)) => {}
        _ => into.missing.push("number of teeth"),
    }
    let pitched = match (x.module, y.module) {
        (Some(a), Some(b)) => Some(figures("module", Some(a), Some(b))),
        _ => match (&x.pitch, &y.pitch) {
            (Some(a), Some(b)) => {
                Some((!a.agrees(b)).then(|| format!("pitch {} against {}", a.display(), b.display())))
            }
            _ => None,
        },
    };
    match pitched {
        Some(other) => differ.extend(other),
        None if asked.pitch || x.module.is_some() || y.module.is_some() => {
            into.missing.push("module or pitch")
        }
        None => {}
    }
    for (name, a, b, asked) in
        [("angle", x.angle, y.angle, asked.angle), ("size", x.size, y.size, asked.size)]
    {
        match (a, b) {
            (Some(_), Some(_)) => differ.extend(figures(name, a, b)),
            _ if asked => into.missing.push(if name == "angle" { "pressure angle" } else { "size" }),
            _ => {}
        }
    }
    differ.extend(too_short(x, y, sides, &mut into.formula));
    if !differ.is_empty() {
        into.clash = Some(differ.join("; "));
    }
    into
}

fn letters(text: &str) -> String {
    text.to_uppercase().chars().filter(|it| it.is_alphanumeric()).collect()
}

/// Two figures that cannot be the same, in words.
fn figures(name: &str, a: Option<Quantity>, b: Option<Quantity>) -> Option<String> {
    let (a, b) = (a?, b?);
    (a.overlaps(&b) != Ok(true)).then(|| format!("{name} {} against {}", a.display(), b.display()))
}

/// A shaft whose splines end before its hub does.
fn too_short(
    x: &Spline,
    y: &Spline,
    sides: [Option<Side>; 2],
    formula: &mut Option<String>,
) -> Option<String> {
    let (shaft, hub) = match sides {
        [Some(Side::Male), _] | [_, Some(Side::Female)] => (x.engaged?, y.engaged?),
        [Some(Side::Female), _] | [_, Some(Side::Male)] => (y.engaged?, x.engaged?),
        _ => return None,
    };
    let room = shaft.sub(&hub).ok()?;
    *formula = Some(format!("{} − {} = {}", shaft.display(), hub.display(), room.display()));
    (room.hi() < 0.0)
        .then(|| format!("the shaft is splined over {}, the hub wants {}", shaft.display(), hub.display()))
}

fn stated(spline: &Spline) -> usize {
    let figures = [spline.module, spline.angle, spline.size];
    figures.iter().flatten().count()
        + usize::from(spline.teeth.is_some())
        + usize::from(spline.pitch.is_some())
}

fn shown(spline: &Spline) -> String {
    let mut words = vec![spline.standard.display()];
    words.extend(spline.teeth.map(|it| format!("{it} teeth")));
    words.extend(spline.module.map(|it| format!("module {}", it.display())));
    words.extend(spline.pitch.as_ref().map(|it| format!("pitch {}", it.display())));
    words.extend(spline.angle.map(|it| it.display()));
    words.extend(spline.size.map(|it| format!("size {}", it.display())));
    words.join(", ")
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn joined(input: &str) -> String {
        format!(
            r#"
kind unit {{ asks mass }}
source manual "Workshop manual" documented
family Dunlin {{ built 2009-06 to 2018-12
  place clutch, gearbox is unit
  joint clutch.hub to gearbox.input }}
pattern spline_24 {{ spline "DIN 5480", teeth 24, module 1.25 mm, angle 30 °, size 32 mm, engaged 22 mm }}
part disc is unit fills clutch {{ fitted on Dunlin, face hub is spline_24 female per manual }}
part box is unit fills gearbox {{ {input} }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{ recipient van, fit box }}"#
        )
    }

    #[test]
    fn the_same_spline_is_clear() {
        let words = "The hub of clutch goes together with the input of gearbox: \
                     DIN 5480, 24 teeth, module 1.25 mm, 30°, size 32 mm.";
        check("fit/spline", &joined("face input is spline_24 male")).clear(words);
        let own =
            "face input male { spline \"din 5480\", teeth 24, module 1.25 mm, size 32 mm, engaged 25 mm }";
        let found = check("fit/spline", &joined(own));
        found.clear(words);
        assert_eq!(found.only().formula.as_deref(), Some("25 mm − 22 mm = 3 mm"));
        assert_eq!(found.text(), "joint clutch.hub to gearbox.input");
    }

    #[test]
    fn every_difference_is_named() {
        let other = "face input male { spline \"DIN 5480\", teeth 22, module 1.25 mm, size 30 mm }";
        let better = "\npart good is unit fills gearbox { offer 90 EUR, face input is spline_24 male }";
        let found = check("fit/spline", &(joined(other) + better));
        found.clash(
            "The hub of clutch does not go together with the input of gearbox: 24 teeth against 22; size 32 mm against 30 mm.",
        );
        assert!(found.fixed(0).contains("replace gearbox with good"));
    }

    #[test]
    fn two_hubs_and_a_short_shaft_are_clashes() {
        check("fit/spline", &joined("face input is spline_24 female"))
            .clash("The hub of clutch does not go together with the input of gearbox: both are hubs.");
        let short =
            "face input male { spline \"DIN 5480\", teeth 24, module 1.25 mm, size 32 mm, engaged 18 mm }";
        check("fit/spline", &joined(short)).clash(
            "The hub of clutch does not go together with the input of gearbox: \
             the shaft is splined over 18 mm, the hub wants 22 mm.",
        );
    }

    #[test]
    fn what_one_side_leaves_out_is_open() {
        let found = check(
            "fit/spline",
            &joined("face input male { spline \"DIN 5480\", module 1.25 mm, size 32 mm }"),
        );
        found.open(
            "Whether the hub of clutch goes together with the input of gearbox cannot be told: \
             nobody has said the number of teeth of both.",
        );
        let found = check("fit/spline", &joined("mass 80 kg"));
        found.open(
            "The hub of clutch is splined (DIN 5480, 24 teeth, module 1.25 mm, 30°, size 32 mm); \
             nobody has said which spline the input of gearbox has.",
        );
        assert!(found.fixed(0).contains("mass 80 kg, face input { spline … }"));
    }
}

//! # fit/register
//!
//! The spigot of one face goes into the bore of the other and centres it: with clearance or
//! interference as their tolerance classes say, or as the stated sizes give.
//!
//! ## Why it matters
//!
//! Bolts clamp, the register centres. A flange that hangs in its bolts by three tenths shakes the
//! floor at every speed, and no balancing takes it away.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place engine, flywheel is unit
//!   joint engine.crank to flywheel.crank }
//! part diesel is unit fills engine { fitted on Dunlin, face crank { holes 6 on 76 mm, thread M12x1.5, register 44 mm H7 } }
//! part plate is unit fills flywheel { face crank { holes 6 on 76 mm, bore 13 mm, register 46 mm g6 } }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit plate }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place engine, flywheel is unit
//!   joint engine.crank to flywheel.crank }
//! part diesel is unit fills engine { fitted on Dunlin, face crank { holes 6 on 76 mm, thread M12x1.5, register 44 mm H7 } }
//! part plate is unit fills flywheel { face crank { holes 6 on 76 mm, bore 13 mm, register 44 mm g6 } }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit plate }
//! ```
//!
//! ## References
//!
//! Limits of the tolerance classes: ISO 286-1:2010, ISO 286-2:2010, sizes to 500 mm. A register
//! with more than 0.1 mm of play no longer centres: common practice, no source.

use trunnion_model::db::Site;
use trunnion_model::decl::{Geometry, Register};
use trunnion_model::fact::{Claim, Found};
use trunnion_model::known;
use trunnion_model::name::{Id, Space};
use trunnion_model::verdict::{Fix, Gate, Question, Verdict, Who};
use trunnion_syntax::tree::Span;

use crate::check::{Check, Judge};
use crate::checks::fit_pattern::both_safety;
use crate::checks::need::replacements;
use crate::ctx::{Ctx, Mate, trimmed};
use crate::spigot::{Answer, Form, PLAY, shown, sized, together};

/// The check.
pub static CHECK: Check =
    Check { name: "fit/register", source: include_str!("fit_register.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    ctx.mates().iter().filter_map(|(a, b, site)| one(ctx, a, b, *site)).collect()
}

fn registers<'m>(mate: &'m Mate<'_>) -> &'m [Register] {
    mate.geometry.as_ref().map_or(&[], |it| it.registers.as_slice())
}

/// Whether exactly one side states holes: then `fit/pattern` asks about the other.
pub(crate) fn holes_on_one_side(a: &Mate<'_>, b: &Mate<'_>) -> bool {
    let bolted = |it: &Mate<'_>| it.geometry.as_ref().is_some_and(|it| !it.holes.is_empty());
    bolted(a) != bolted(b)
}

/// Whether exactly one side states a register.
pub(crate) fn register_on_one_side(a: &Mate<'_>, b: &Mate<'_>) -> bool {
    registers(a).is_empty() != registers(b).is_empty()
}

/// Whether the faces have different numbers of holes: they are not each other's, `fit/pattern`
/// says so, and their registers say nothing more.
fn other_faces(a: &Mate<'_>, b: &Mate<'_>) -> bool {
    let counts = |it: &Mate<'_>| -> Vec<u32> {
        it.geometry.iter().flat_map(|it| &it.holes).map(|it| it.count.value).collect()
    };
    let (a, b) = (counts(a), counts(b));
    !a.is_empty() && !b.is_empty() && a != b
}

fn one(ctx: &Ctx<'_>, a: &Mate<'_>, b: &Mate<'_>, joint: Site) -> Option<Verdict> {
    if other_faces(a, b) {
        return None;
    }
    let subject = format!("{}-{}", a.at.text(), b.at.text());
    let mut verdict = match (registers(a), registers(b)) {
        ([], []) => return None,
        ([], _) => one_sided(ctx, b, a, subject, joint)?,
        (_, []) => one_sided(ctx, a, b, subject, joint)?,
        _ => both(ctx, a, b, subject, joint)?,
    };
    verdict.safety = both_safety(ctx, a, b);
    Some(verdict)
}

/// The claims on which the registers of both sides rest.
fn claims(ctx: &Ctx<'_>, mates: [&Mate<'_>; 2]) -> Vec<Found> {
    let mut found = Vec::new();
    for mate in mates {
        let own = mate
            .part
            .and_then(|(_, it)| it.end(&mate.at.end))
            .is_some_and(|it| !it.geometry.registers.is_empty());
        let stated = registers(mate).first().map(|it| (&it.claim, it.span));
        found.extend(mate.found.clone());
        found.extend(stated.and_then(|(claim, span)| sourced(ctx, mate, claim, span, own)));
    }
    found
}

/// The claim of a statement of an end's geometry that names a source: its own, else that of the
/// whole pattern.
pub(crate) fn sourced(ctx: &Ctx<'_>, mate: &Mate<'_>, claim: &Claim, span: Span, own: bool) -> Option<Found> {
    let id = if own { mate.part?.0 } else { mate.pattern? };
    let claim = if claim.per.is_some() { claim } else { &id.decl(ctx.db)?.claim };
    claim.per.as_ref()?;
    Some(known::said(ctx.db, ctx.workspace, id, claim, span))
}

fn both(ctx: &Ctx<'_>, a: &Mate<'_>, b: &Mate<'_>, subject: String, joint: Site) -> Option<Verdict> {
    let (ga, gb) = (a.geometry.as_ref()?, b.geometry.as_ref()?);
    let found = claims(ctx, [a, b]);
    let (shown_a, shown_b) = (shown(&ga.registers), shown(&gb.registers));
    let same = a.pattern.filter(|it| Some(*it) == b.pattern && ga.registers == gb.registers);
    if let Some(id) = same.filter(|_| ga.side.is_none() || ga.side != gb.side) {
        let name = id.shown(ctx.db);
        let message = format!("The {} and the {} are both {name}: {shown_a}.", a.shown(), b.shown());
        return Some(ctx.clear(CHECK.name, subject, joint, message, &found));
    }
    let fit = together(ga, gb);
    let changed = if b.place.changed() { b } else { a };
    let other = if changed.at == a.at { gb } else { ga };
    let verdict = match &fit.answer {
        Answer::Clear => {
            let message = format!("The {} centres in the {}: {}.", a.shown(), b.shown(), fit.words);
            ctx.clear(CHECK.name, subject, joint, message, &found)
        }
        Answer::Clash => {
            let message = format!("The {} does not fit the {}: {}.", a.shown(), b.shown(), fit.words);
            ctx.clash(CHECK.name, subject, joint, message, &found).with_fixes(replacements(
                ctx,
                changed.place,
                &|id| fits(ctx, id, changed, other),
            ))
        }
        Answer::Open => {
            let message = format!(
                "Whether the {} centres in the {} cannot be told: {}.",
                a.shown(),
                b.shown(),
                fit.words
            );
            let known = if changed.at == a.at { b } else { a };
            ctx.open(CHECK.name, subject, joint, message, question(ctx, known, changed))
        }
    };
    let mut verdict = verdict.with_need(shown_a, shown_b);
    verdict.formula = fit.formula;
    verdict.margin = fit.margin;
    for source in fit.sources {
        verdict = verdict.with_source(source);
    }
    Some(verdict)
}

fn one_sided(
    ctx: &Ctx<'_>,
    known: &Mate<'_>,
    other: &Mate<'_>,
    subject: String,
    joint: Site,
) -> Option<Verdict> {
    if holes_on_one_side(known, other) {
        return None;
    }
    let there = shown(registers(known));
    let dowels = |it: &Mate<'_>| it.geometry.as_ref().and_then(|it| it.dowels.as_ref()).map(|it| it.count);
    if let (Some(count), Some(_)) = (dowels(known), dowels(other)) {
        let message = format!(
            "The {} has a register of {there} that the {} lacks; {count} dowels centre them.",
            known.shown(),
            other.shown()
        );
        return Some(ctx.clear(CHECK.name, subject, joint, message, &claims(ctx, [known, other])));
    }
    let message = format!(
        "The {} has a register of {there}; nobody has said what centres the {} on it.",
        known.shown(),
        other.shown()
    );
    let mut verdict = ctx.open(CHECK.name, subject, joint, message, question(ctx, known, other));
    verdict.need = Some(there);
    if let Some((id, part)) = other.part {
        let statement = match part.end(&other.at.end) {
            Some(_) => return Some(verdict),
            None => format!("face {} {{ register … }}", other.at.end),
        };
        let title = format!("state the face {} of {}", other.at.end, id.shown(ctx.db));
        verdict = verdict.with_fixes(ctx.insert(id, &statement).map(|edit| Fix { title, edits: vec![edit] }));
    }
    Some(verdict)
}

fn question(ctx: &Ctx<'_>, known: &Mate<'_>, other: &Mate<'_>) -> Question {
    Question {
        what: format!("what centres the {}, and its size", other.shown()),
        good: known.geometry.as_ref().and_then(|it| good(it, it.registers.first()?)),
        tool: Some("micrometer or bore gauge".to_owned()),
        precision: Some("0.01 mm".to_owned()),
        minutes: Some(10),
        who: Who::Tape,
        gate: Gate::Buying,
        hangs: format!("whether {} runs true on {}", other.part_shown(ctx), known.part_shown(ctx)),
        type_in: Some(format!("face {} {{ register … }}", other.at.end)),
    }
}

/// The sizes that go with a known register.
fn good(geometry: &Geometry, register: &Register) -> Option<String> {
    let known = sized(geometry, register).ok()?;
    let (word, lo, hi) = match known.form? {
        Form::Bore => ("spigot", known.hi - PLAY, known.lo),
        Form::Spigot => ("bore", known.hi, known.lo + PLAY),
    };
    (lo <= hi).then(|| format!("a {word} of {} to {} mm", trimmed(lo, 3), trimmed(hi, 3)))
}

fn fits(ctx: &Ctx<'_>, id: Id, at: &Mate<'_>, other: &Geometry) -> bool {
    let Some(end) = ctx.part(id).and_then(|it| it.end(&at.at.end)) else {
        return false;
    };
    let pattern = end.is.as_ref().and_then(|it| ctx.find(id, Space::Pattern, it.head()));
    let geometry = ctx.geometry(pattern, &end.geometry, end.side);
    geometry.is_some_and(|it| !it.registers.is_empty() && together(&it, other).answer == Answer::Clear)
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn joined(crank: &str) -> String {
        format!(
            r#"
kind unit {{ asks mass }}
source manual "Workshop manual" documented
family Dunlin {{ built 2009-06 to 2018-12
  place engine, flywheel is unit
  joint engine.crank to flywheel.crank }}
pattern crank_six {{ holes 6 on 76 mm, thread M12x1.5, register 44 mm H7 }} per manual
part diesel is unit fills engine {{ fitted on Dunlin, face crank is crank_six per manual }}
part plate is unit fills flywheel {{ face crank {crank} per manual }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{ recipient van, fit plate }}"#
        )
    }

    #[test]
    fn classes_of_one_size_give_the_clearance_of_the_tables() {
        let found = check("fit/register", &joined("{ holes 6 on 76 mm, bore 13 mm, register 44 mm g6 }"));
        found.clear("The crank of engine centres in the crank of flywheel: 0.009 to 0.05 mm of clearance.");
        assert_eq!(
            found.only().formula.as_deref(),
            Some(
                "bore 44 H7 = 44 to 44.025 mm, spigot 44 g6 = 43.975 to 43.991 mm; \
                 least 44 − 43.991 = 0.009 mm, most 44.025 − 43.975 = 0.05 mm"
            )
        );
        assert_eq!(found.only().sources, ["Workshop manual (documented)", "ISO 286-1:2010"]);
        assert_eq!(found.only().outcome.word(), "clear");
        assert_eq!(found.text(), "joint engine.crank to flywheel.crank");
    }

    #[test]
    fn interference_by_design_is_clear() {
        check("fit/register", &joined("{ holes 6 on 76 mm, bore 13 mm, register 44 mm p6 }")).clear(
            "The crank of engine centres in the crank of flywheel: 0.001 to 0.042 mm of interference, pressed or shrunk on.",
        );
    }

    #[test]
    fn another_size_two_bores_and_too_much_play_are_clashes() {
        let text = joined("{ holes 6 on 76 mm, bore 13 mm, register 46 mm g6 }");
        let better = "\npart good is unit fills flywheel { fitted on Dunlin, offer 90 EUR, face crank { register 44 mm h6 } }";
        let found = check("fit/register", &(text + better));
        found.clash(
            "The crank of engine does not fit the crank of flywheel: the spigot is at least 1.95 mm larger than the bore.",
        );
        assert!(found.fixed(0).contains("replace flywheel with good"));
        check("fit/register", &joined("{ holes 6 on 76 mm, bore 13 mm, register 44 mm H7 }"))
            .clash("The crank of engine does not fit the crank of flywheel: both are bores.");
        check("fit/register", &joined("{ holes 6 on 76 mm, bore 13 mm, register 43.5 mm }")).clash(
            "The crank of engine does not fit the crank of flywheel: at least 0.5 mm of play, and above 0.1 mm it no longer centres.",
        );
    }

    #[test]
    fn a_size_coarser_than_the_margin_is_open() {
        let found =
            check("fit/register", &joined("{ holes 6 on 76 mm, bore 13 mm, register 43.95 mm ± 0.1 mm }"));
        found.open(
            "Whether the crank of engine centres in the crank of flywheel cannot be told: \
             the sizes leave 0.05 mm of interference to 0.175 mm of clearance possible.",
        );
        let question = found.only().question.as_ref().expect("asked");
        assert_eq!(question.good.as_deref(), Some("a spigot of 43.925 to 44 mm"));
    }

    #[test]
    fn a_class_outside_the_tables_is_open_and_says_so() {
        check("fit/register", &joined("{ holes 6 on 76 mm, bore 13 mm, register 44 mm g3 }")).open(
            "Whether the crank of engine centres in the crank of flywheel cannot be told: ISO 286 has no class g3 at \
             44 mm; it holds sizes over 0 to 500 mm, letters C to U and c to u, grades 5 to 13.",
        );
    }

    #[test]
    fn one_register_alone_is_open_unless_dowels_centre() {
        check("fit/register", &joined("{ holes 6 on 76 mm, bore 13 mm }")).open(
            "The crank of engine has a register of 44 mm H7; nobody has said what centres the crank of flywheel on it.",
        );
        let dowelled = joined("{ holes 6 on 76 mm, bore 13 mm, dowels 2 on 76 mm }")
            .replace("register 44 mm H7", "register 44 mm H7, dowels 2 on 76 mm");
        check("fit/register", &dowelled).clear(
            "The crank of engine has a register of 44 mm H7 that the crank of flywheel lacks; 2 dowels centre them.",
        );
    }

    #[test]
    fn a_face_of_which_nothing_is_said_is_left_to_the_hole_pattern() {
        check("fit/register", &joined("is unknown_pattern")).silent();
        check("fit/register", &joined("{ holes 8 on 82 mm, bore 13 mm, register 50 mm g6 }")).silent();
    }
}

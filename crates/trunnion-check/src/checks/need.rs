//! # need
//!
//! Every demand that a part makes of the rest of the vehicle holds once the work is done.
//!
//! ## Why it matters
//!
//! A unit that is moved takes its demands along: a final drive ratio its controller was set for,
//! a message that somebody must send, a rating that something else must have. The part fits, the
//! bolts go in, and the fault lamp comes on.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind box { asks ratio }
//! family Dunlin { built 2009-06 to 2018-12
//!   place gearbox is box
//!   place final_drive is box }
//! part auto_six is box fills gearbox { ratio 1, needs final_drive.ratio = 3.69 within 2 % }
//! part axle_428 is box fills final_drive { ratio 4.28 }
//! vehicle van is Dunlin { built 2012-04, has final_drive axle_428 }
//! conversion easy { recipient van, fit auto_six }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind box { asks ratio }
//! family Dunlin { built 2009-06 to 2018-12
//!   place gearbox is box
//!   place final_drive is box }
//! part auto_six is box fills gearbox { ratio 1, needs final_drive.ratio = 3.69 within 2 % }
//! part axle_369 is box fills final_drive { ratio 3.69 }
//! vehicle van is Dunlin { built 2012-04, has final_drive axle_369 }
//! conversion easy { recipient van, fit auto_six }
//! ```
//!
//! ## References
//!
//! Arithmetic; what is demanded and by whom stands in the specification. Figures with tolerances
//! are compared by their worst cases: where both outcomes are possible the verdict is open.
//!
//! A condition may call the handbook, as in `road_speed(2600 rpm, gearbox.ratios[6], final_drive.ratio,
//! 2050 mm) >= 110 km/h`; each function brings its formula and its sources.

use trunnion_model::built::{Holding, Inside, fillers, inside};
use trunnion_model::db::{Item, Site};
use trunnion_model::decl::Need;
use trunnion_model::judge::{Judge as Judging, Judged, Missing, Truth};
use trunnion_model::known;
use trunnion_model::name::Id;
use trunnion_model::verdict::{Fix, Gate, Question, Verdict, Who};
use trunnion_model::world::{Place, When, World};

use crate::check::{Check, Judge};
use crate::ctx::Ctx;

/// The check.
pub static CHECK: Check = Check { name: "need", source: include_str!("need.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let mut verdicts = Vec::new();
    for place in &ctx.world.places {
        let all = place.after.parts();
        let refused = |id: Id| needs(ctx, id).any(|it| judged(ctx, place, it).truth == Truth::No);
        let good: Vec<Id> =
            if all.len() > 1 { all.iter().copied().filter(|it| !refused(*it)).collect() } else { Vec::new() };
        for id in all {
            for need in needs(ctx, *id) {
                verdicts.push(one(ctx, place, *id, need, &good));
            }
        }
    }
    verdicts
}

fn needs<'a>(ctx: &Ctx<'a>, id: Id) -> impl Iterator<Item = &'a Need> + use<'a> {
    ctx.part(id).into_iter().flat_map(|it| &it.needs)
}

/// Judges a need. Where it hangs on which of several parts sits in a place, and all of them give
/// the same answer, that is the answer.
fn judged(ctx: &Ctx<'_>, place: &Place, need: &Need) -> Judged {
    let judge = |world: &World| {
        let own = world.place(&place.name);
        Judging { db: ctx.db, workspace: ctx.workspace, world, own, when: When::After, stand: None }
            .judge(&need.condition)
    };
    let judged = judge(ctx.world);
    let missing = judged.missing.iter().filter_map(|it| ctx.world.place(&it.place));
    let Some(open) = missing.into_iter().find(|it| judged.truth == Truth::Open && it.after.parts().len() > 1)
    else {
        return judged;
    };
    let each = open.after.parts().iter().map(|candidate| {
        let mut world = ctx.world.clone();
        for place in world.places.iter_mut().filter(|it| it.name == open.name) {
            place.after = Holding::Part(*candidate);
        }
        judge(&world)
    });
    let each: Vec<Judged> = each.collect();
    let alike = each.iter().all(|it| it.truth == each[0].truth && it.truth != Truth::Open);
    if !alike {
        return judged;
    }
    let joined = |of: fn(&Judged) -> Option<String>, word: &str| {
        let all: Vec<String> = each.iter().filter_map(of).collect();
        (!all.is_empty()).then(|| all.join(word))
    };
    Judged {
        truth: each[0].truth,
        need: each[0].need.clone(),
        have: joined(|it| Some(it.have.clone()), " or ").unwrap_or_default(),
        formula: joined(|it| it.formula.clone(), "; "),
        margin: joined(|it| it.margin.clone(), " or "),
        found: each.iter().flat_map(|it| it.found.clone()).collect(),
        missing: Vec::new(),
        nonsense: None,
        doubt: None,
        mend: None,
        sources: each.first().map(|it| it.sources.clone()).unwrap_or_default(),
    }
}

/// One need of one part. Where several parts may sit in the place and the needs of some are met (`good`),
/// what the others lack only says which to take.
fn one(ctx: &Ctx<'_>, place: &Place, id: Id, need: &Need, good: &[Id]) -> Verdict {
    let judged = judged(ctx, place, need);
    let who = crate::ctx::capital(&id.shown(ctx.db));
    let mut found = judged.found.clone();
    found.push(known::said(ctx.db, ctx.workspace, id, &need.claim, need.span));
    let site = id.site(need.span);
    let subject = place.name.to_string();
    let mut verdict = match judged.truth {
        Truth::Yes => {
            let message = format!("{who} needs {}: {}.", judged.need, judged.have);
            ctx.clear("need", subject, site, message, &found)
        }
        Truth::No if !good.is_empty() => {
            let names: Vec<String> = good.iter().map(|it| it.shown(ctx.db)).collect();
            let mut question = plain_question(
                format!("what sits in the {} after all", place.shown()),
                Who::Owner,
                format!("whether {who} has what it needs: {}", judged.need),
            );
            question.good = Some(names.join(" or "));
            let message = format!(
                "{who} needs {}, but {}; of what may sit in the {}, {} would do.",
                judged.need,
                judged.have,
                place.shown(),
                names.join(" or ")
            );
            ctx.open("need", subject, site, message, question)
        }
        Truth::No => {
            let message = format!("{who} needs {}, but {}.", judged.need, judged.have);
            ctx.clash("need", subject, site, message, &found).with_fixes(ways_out(ctx, &judged))
        }
        Truth::Open => open(ctx, place, &judged, &who, site),
    };
    for source in &judged.sources {
        verdict = verdict.with_source(source);
    }
    verdict.need = Some(judged.need);
    verdict.have = Some(judged.have);
    verdict.formula = judged.formula;
    verdict.margin = judged.margin;
    verdict.safety = ctx.safety(place);
    if let Some(because) = &need.claim.because {
        verdict = verdict.with_because(because.to_string());
    }
    verdict
}

fn open(ctx: &Ctx<'_>, place: &Place, judged: &Judged, who: &str, site: Site) -> Verdict {
    let hangs = format!("whether {} has what it needs: {}", who, judged.need);
    let (question, why) = open_question(ctx, place, judged, hangs);
    let message = format!("{who} needs {}; {why}.", judged.need);
    let mut verdict = ctx.open("need", place.name.to_string(), site, message, question);
    verdict = verdict.with_fixes(mend(judged, site.item));
    for missing in &judged.missing {
        if let Some(at) = ctx.world.place(&missing.place)
            && !missing.measure.is_empty()
        {
            verdict = verdict.with_fixes(ctx.state_fact(at, &missing.measure, None));
        }
    }
    verdict
}

/// Writes what was meant in a condition that makes no sense.
pub(crate) fn mend(judged: &Judged, item: Item) -> Option<Fix> {
    let (span, text) = judged.mend.as_ref()?;
    Some(Fix::replace(format!("write {text}"), Site { item, span: *span }, text))
}

/// What to ask where a condition cannot be told, and why it cannot, as a sentence part.
pub(crate) fn open_question(
    ctx: &Ctx<'_>,
    own: &Place,
    judged: &Judged,
    hangs: String,
) -> (Question, String) {
    if let Some(nonsense) = &judged.nonsense {
        let question = plain_question(format!("what is meant here: {nonsense}"), Who::Owner, hangs);
        return (question, nonsense.clone());
    }
    match judged.missing.first() {
        Some(Missing { place, measure, disputed }) => {
            let Some(at) = ctx.world.place(place) else {
                let what = if measure.is_empty() {
                    format!("what sits in {}", place.replace('_', " "))
                } else {
                    format!("the {} of the {}", measure.replace('_', " "), place.replace('_', " "))
                };
                let why = format!("nobody has said {what}");
                return (plain_question(what, Who::Tape, hangs), why);
            };
            if measure.is_empty() {
                let what = format!("what sits in the {}", at.shown());
                let why = format!("nobody has said {what}");
                return (plain_question(what, Who::Tape, hangs), why);
            }
            let mut question = ctx.question(at, measure, hangs);
            question.good = question.good.or_else(|| Some(judged.need.clone()));
            let why = if disputed.is_empty() {
                format!("nobody has said {}", question.what)
            } else {
                let said = disputed.iter().map(|it| format!("{} says {}", it.source, it.display()));
                said.collect::<Vec<_>>().join(", ")
            };
            (question, why)
        }
        None => {
            let mut question = ctx.question(own, "figures", hangs);
            question.what = format!("the figures more precisely: {}", judged.have);
            question.good = Some(judged.need.clone());
            (question, format!("what is known leaves both possible: {}", judged.have))
        }
    }
}

fn plain_question(what: String, who: Who, hangs: String) -> Question {
    Question {
        what,
        good: None,
        tool: None,
        precision: None,
        minutes: None,
        who,
        gate: Gate::Buying,
        hangs,
        type_in: None,
    }
}

/// The parts that would do, for each place that the condition speaks of.
pub(crate) fn ways_out(ctx: &Ctx<'_>, judged: &Judged) -> Vec<Fix> {
    let mut fixes = Vec::new();
    for place in ctx.world.places.iter().filter(|it| speaks_of(judged, it)) {
        fixes.extend(replacements(ctx, place, &|id| helps(ctx, place, id, judged)));
    }
    fixes
}

fn speaks_of(judged: &Judged, place: &Place) -> bool {
    judged.need.contains(&place.shown())
}

/// Whether a part states a figure, or sends a message, that the words of the need ask for.
fn helps(ctx: &Ctx<'_>, place: &Place, id: Id, judged: &Judged) -> bool {
    let Some(part) = ctx.part(id) else { return false };
    let sends = part.sends.iter().any(|it| judged.need.ends_with(&format!("sends {}", it.name.value)));
    let alike = part.facts.iter().any(|fact| {
        let asked = format!("{} {}", place.shown(), fact.name.value.replace('_', " "));
        let shown = fact.values.iter().map(|it| it.display()).collect::<Vec<_>>().join(", ");
        judged.need.starts_with(&asked) && judged.need.contains(&format!(" = {shown}"))
    });
    sends || alike
}

/// Fixes that put another part into a place: from a donor that has it, or bought.
pub(crate) fn replacements(ctx: &Ctx<'_>, place: &Place, suits: &dyn Fn(Id) -> bool) -> Vec<Fix> {
    let mut fixes = Vec::new();
    for donor in &ctx.world.donors {
        let holds = donor.place(&place.name).and_then(|it| it.holding.part());
        if let Some(id) = holds.filter(|it| suits(*it)) {
            let from = donor.vehicle.name(ctx.db);
            let title = format!("take the {} from {from}: {}", place.shown(), id.shown(ctx.db));
            fixes.extend(ctx.add_change(title, &format!("take {} from {from}", place.name)));
        }
    }
    let fillers = fillers(ctx.db, ctx.workspace, ctx.world.root().item.file(ctx.db));
    for id in fillers.get(&place.name).into_iter().flatten().copied() {
        let Some(part) = ctx.part(id) else { continue };
        if !suits(id) || part.offer.is_none() && !windows_fit(ctx, id) {
            continue;
        }
        let name = id.name(ctx.db);
        let title = format!("replace the {} with {}", place.shown(), id.shown(ctx.db));
        fixes.extend(ctx.add_change(title, &format!("replace {} with {name}", place.name)));
    }
    fixes.truncate(4);
    fixes
}

fn windows_fit(ctx: &Ctx<'_>, id: Id) -> bool {
    let built = ctx.built();
    let Some(span) = built.built else { return true };
    let Some(part) = ctx.part(id) else { return false };
    part.fitted.is_empty()
        || part.fitted.iter().any(|it| inside(span, it.from, it.to) != Inside::No)
        || !part.suits.is_empty()
}

#[cfg(test)]
mod tests {
    use trunnion_model::verdict::Outcome;

    use crate::testing::check;

    const GROUND: &str = r"
kind box { asks ratio }
family Dunlin { built 2009-06 to 2018-12
  place gearbox is box
  place final_drive is box
}
measure ratio
vehicle van is Dunlin { built 2012-04, has final_drive axle }
conversion easy { recipient van, fit auto_six }
";

    #[test]
    fn a_ratio_within_its_tolerance_is_clear() {
        check(
            "need",
            &format!(
                "{GROUND}part axle is box fills final_drive {{ ratio 3.70 }}\n\
             part auto_six is box fills gearbox {{ ratio 1, needs final_drive.ratio = 3.69 within 2 % }}"
            ),
        )
        .clear("Auto six needs final drive ratio = 3.69 within 2 %: final drive ratio 3.7.");
    }

    #[test]
    fn a_ratio_outside_is_a_clash_with_its_arithmetic() {
        let found = check(
            "need",
            &format!(
                "{GROUND}part axle is box fills final_drive {{ ratio 4.28 }}\n\
             part auto_six is box fills gearbox {{ ratio 1, needs final_drive.ratio = 3.69 within 2 % }}"
            ),
        );
        found.clash("Auto six needs final drive ratio = 3.69 within 2 %, but final drive ratio 4.28.");
        assert_eq!(found.only().formula.as_deref(), Some("(4.28 − 3.69) / 3.69 = 16.0 % high; allowed 2 %"));
        assert_eq!(found.text(), "needs final_drive.ratio = 3.69 within 2 %");
    }

    #[test]
    fn several_parts_that_all_fail_are_a_clash() {
        let found = check(
            "need",
            &format!(
                "{}part a is box fills final_drive {{ fitted on Dunlin to 2012-04, ratio 4.28 }}\n\
                 part b is box fills final_drive {{ fitted on Dunlin from 2012-04, ratio 4.1 }}\n\
                 part auto_six is box fills gearbox {{ ratio 1, needs final_drive.ratio = 3.69 within 2 % }}",
                GROUND.replace(", has final_drive axle", "")
            ),
        );
        found.clash(
            "Auto six needs final drive ratio = 3.69 within 2 %, but final drive ratio 4.28 or final drive ratio 4.1.",
        );
    }

    #[test]
    fn what_one_of_several_lacks_only_says_which_to_take() {
        let parts = "part axle is box fills final_drive { ratio 4.28 }\n\
             part auto_six is box fills gearbox { ratio 1, needs final_drive.ratio = 3.69 within 2 % }\n\
             part auto_five is box fills gearbox { ratio 1, needs final_drive.ratio = 4.28 within 2 % }";
        let ground = GROUND.replace("fit auto_six", "choose gearbox from auto_six, auto_five");
        let found = check("need", &format!("{ground}{parts}"));
        assert_eq!(
            found.verdicts()[0].message,
            "Auto six needs final drive ratio = 3.69 within 2 %, but final drive ratio 4.28; of what may sit in the gearbox, auto five would do."
        );
        assert_eq!(found.verdicts()[0].outcome, Outcome::Open);
        let worse = parts.replace("4.28 within", "4.10 within");
        let found = check("need", &format!("{ground}{worse}"));
        assert!(found.verdicts().iter().all(|it| it.outcome == Outcome::Clash), "{}", found.listing());
    }

    #[test]
    fn a_ratio_nobody_stated_is_open() {
        check("need", &format!(
            "{GROUND}part axle is box fills final_drive\n\
             part auto_six is box fills gearbox {{ ratio 1, needs final_drive.ratio = 3.69 within 2 % }}"
        ))
        .open("Auto six needs final drive ratio = 3.69 within 2 %; nobody has said the ratio of the final drive.");
    }

    /// A gearbox that calls the handbook with its own ratios, and the vehicle's axle and tyre.
    fn cruising(ratios: &str, axle: &str, condition: &str) -> String {
        format!(
            "kind box {{ asks ratios }}
family Dunlin {{ built 2009-06 to 2018-12
  place gearbox is box
  place final_drive is box
}}
source manual \"Workshop manual\" documented
source club \"Owners' club notes\" reported
vehicle van is Dunlin {{ built 2012-04, has final_drive axle }}
conversion easy {{ recipient van, fit six }}
part axle is box fills final_drive {{ ratios 1, {axle} }}
part six is box fills gearbox {{ {ratios}
  needs {condition}
}}"
        )
    }

    const SIX: &str = "ratios 4.31 per manual, 2.47, 1.59, 1.17, 0.88, 0.68 per club";
    const SPEED: &str = "road_speed(2600 rpm, gearbox.ratios[6], final_drive.ratio, 2050 mm) >= 110 km/h";

    /// By hand: 2600 / (0.68 × 3.69) = 1036.19 turns a minute of 2.05 m are 127.45 km/h.
    #[test]
    fn a_handbook_function_is_worked_with_one_of_a_list() {
        let found = check("need", &cruising(SIX, "ratio 3.69", SPEED));
        found.clear(
            "Six needs road_speed(2600 rpm, the 6th of gearbox ratios, final drive ratio, 2050 mm) ≥ 110 km/h: \
             road_speed(2600 rpm, the 6th of gearbox ratios, final drive ratio, 2050 mm) 127.5 km/h.",
        );
        let it = found.only();
        assert_eq!(
            it.formula.as_deref(),
            Some("speed = 2600 rpm / (0.68 × 3.69) × 2050 mm per turn = 127.5 km/h; 127.5 km/h ≥ 110 km/h")
        );
        assert_eq!(it.margin.as_deref(), Some("17.45 km/h"));
        let rests = |word: &str| it.sources.iter().any(|it| it.contains(word));
        assert!(rests("follows from its definitions"), "{:?}", it.sources);
        assert!(rests("Owners' club notes (reported)"), "the sixth has its own source: {:?}", it.sources);
        assert!(!rests("Workshop manual"), "the first is not the sixth: {:?}", it.sources);
    }

    #[test]
    fn a_range_is_carried_through_a_handbook_function() {
        let found = check("need", &cruising(SIX, "ratio 3.69 to 4.5", SPEED));
        let it = found.only();
        assert_eq!(it.outcome, Outcome::Open);
        assert!(it.formula.as_deref().is_some_and(|it| it.contains("104.5 to 127.5 km/h")), "{it:?}");
        check("need", &cruising(SIX, "ratio 4.9", SPEED)).clash(
            "Six needs road_speed(2600 rpm, the 6th of gearbox ratios, final drive ratio, 2050 mm) ≥ 110 km/h, \
             but road_speed(2600 rpm, the 6th of gearbox ratios, final drive ratio, 2050 mm) 95.98 km/h.",
        );
        check("need", &cruising(SIX, "mass 80 kg", SPEED)).open(
            "Six needs road_speed(2600 rpm, the 6th of gearbox ratios, final drive ratio, 2050 mm) ≥ 110 km/h; \
             nobody has said the ratio of the final drive.",
        );
    }

    #[test]
    fn a_misspelt_function_is_mended() {
        let found = check("need", &cruising(SIX, "ratio 3.69", &SPEED.replace("road_speed", "road_sped")));
        assert_eq!(found.only().fixes[0].title, "write road_speed");
        check("need", &found.fixed(0)).clear(
            "Six needs road_speed(2600 rpm, the 6th of gearbox ratios, final drive ratio, 2050 mm) ≥ 110 km/h: \
             road_speed(2600 rpm, the 6th of gearbox ratios, final drive ratio, 2050 mm) 127.5 km/h.",
        );
    }

    #[test]
    fn what_makes_no_sense_in_a_call_is_open_and_says_so() {
        for (condition, why) in [
            ("road_sped(1) > 1", "there is no handbook function `road_sped`; `road_speed` is one"),
            (
                "overall_ratio(gearbox.ratios[1]) > 1",
                "overall_ratio takes 2 values, and 1 were given; it is `overall_ratio(gear_ratio, final_drive)`",
            ),
            (
                "overall_ratio(gearbox.ratios[1], 3 m) > 1",
                "final_drive is a plain number, and a length was given; it is `overall_ratio(gear_ratio, final_drive)`",
            ),
            ("overall_ratio(gearbox.ratios[1], 0) > 1", "final_drive may be more than 0, and 0 was given"),
            ("gearbox.ratios[7] > 1", "gearbox ratios are a list of 6, which has no 7th"),
            ("gearbox.ratios > 1", "gearbox ratios are a list of 6; say which, as in `gearbox.ratios[1]`"),
            ("fit_clearance(36 mm, H7, g99) > 0 mm", "ISO 286 has no class g99 at 36 mm"),
        ] {
            let found = check("need", &cruising(SIX, "ratio 3.69", condition));
            let it = found.only();
            assert_eq!(it.outcome, Outcome::Open, "{condition}");
            assert!(it.message.contains(why), "{condition}: {}", it.message);
            assert!(it.question.as_ref().is_some_and(|it| it.what.contains(why)), "{condition}");
        }
    }

    /// ISO 286-2: 36 H7 is 0 to +25 µm, g6 is −25 to −9 µm, so that 9 to 50 µm are between.
    #[test]
    fn words_are_taken_as_they_stand() {
        let found = check("need", &cruising(SIX, "ratio 3.69", "fit_clearance(36 mm, H7, g6) > 5 µm"));
        assert_eq!(found.only().formula.as_deref().map(|it| it.contains("9 to 50 µm > 5 µm")), Some(true));
        assert!(found.only().sources.iter().any(|it| it.contains("ISO 286")), "{:?}", found.only().sources);
    }
}

//! # drive/ratio
//!
//! The final drive, the pair of axles of an all-driven vehicle, and the tyres are what the
//! controllers expect, within their tolerance.
//!
//! ## Why it matters
//!
//! A gearbox controller works out slip from engine speed, road speed and the ratio it was told. With
//! another axle it sees slip that is not there, and goes into limp mode. Two axles that differ wind
//! up the transfer case on every dry mile.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind unit { asks ratio }
//! family Dunlin { built 2009-06 to 2018-12
//!   place gearbox_controller, final_drive is unit }
//! part brain is unit fills gearbox_controller { expected ratio 3.69 }
//! part axle_428 is unit fills final_drive { fitted on Dunlin, ratio 4.28 }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit brain }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind unit { asks ratio }
//! family Dunlin { built 2009-06 to 2018-12
//!   place gearbox_controller, final_drive is unit }
//! part brain is unit fills gearbox_controller { expected ratio 3.69 }
//! part axle_369 is unit fills final_drive { ratio 3.69 }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit brain, fit axle_369 }
//! ```
//!
//! ## References
//!
//! Kinematics. Where no tolerance is stated 1 % is allowed: common practice, no source. Outer
//! diameter of a tyre by its marking: UN Regulation No. 30, 6.1.2.1. What controllers ask for as a
//! `needs` is judged by the check `need`.

use trunnion_handbook::quantity::{Quantity, Truth};
use trunnion_model::built::found;
use trunnion_model::fact::{Found, Known, Value, ValueKind};
use trunnion_model::judge::text;
use trunnion_model::known;
use trunnion_model::verdict::{Verdict, Who};
use trunnion_model::world::Place;

use crate::against::{ALLOWED, Compared, against, compared};
use crate::check::{Check, Judge};
use crate::checks::need::replacements;
use crate::ctx::{Ctx, capital, with_found};
use crate::rolling::{circumference, is_wheel, tyre};

/// The check.
pub static CHECK: Check =
    Check { name: "drive/ratio", source: include_str!("drive_ratio.rs"), judge: Judge::World(judge) };

/// Places whose unit may work with the final drive ratio.
const CONTROLLERS: [&str; 4] = ["gearbox_controller", "engine_controller", "brake_controller", "cluster"];

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let alone = ctx.world.conversion.is_none();
    let filled = |name: &str| ctx.world.place(name).filter(|it| it.after.is_filled());
    let rear = filled("final_drive").or_else(|| filled("rear_final_drive"));
    let front = filled("front_final_drive");
    let mut verdicts = Vec::new();
    let mut expected = false;
    for place in ctx.world.places.iter().filter(|it| it.after.is_filled()) {
        if let Known::Disputed(claims) = ctx.fact(place, "expected_ratio")
            && (alone || place.changed() || rear.is_some_and(Place::changed))
        {
            verdicts.push(disputed(ctx, place, &claims));
        }
        for (ratio, said) in expectations(ctx, place) {
            expected = true;
            let matters = alone
                || place.changed()
                || rear.is_some_and(Place::changed)
                || said.site.item == ctx.world.root().item;
            if let (Some(rear), true) = (rear, matters) {
                verdicts.extend(ratio.map(|it| axle(ctx, place, rear, it, said)));
            }
        }
        let wheels = ctx.world.places.iter().any(|it| is_wheel(it) && it.changed());
        if alone || place.changed() || wheels {
            verdicts.extend(tyre(ctx, place));
            verdicts.extend(circumference(ctx, place));
        }
    }
    if let (Some(rear), Some(front)) = (rear, front)
        && (alone || rear.changed() || front.changed())
    {
        verdicts.push(pair(ctx, rear, front));
    }
    if let (Some(rear), false) = (rear, expected || needed(ctx)) {
        verdicts.extend(nobody(ctx, rear));
    }
    for verdict in &mut verdicts {
        verdict.message = capital(&verdict.message);
    }
    verdicts
}

/// The final drive ratios that a unit was stated or set up to expect; no figure: it expects none,
/// or claims contradict one another.
fn expectations(ctx: &Ctx<'_>, place: &Place) -> Vec<(Option<Quantity>, Found)> {
    let mut all = Vec::new();
    match ctx.fact(place, "expected_ratio") {
        Known::Nothing(found) => all.push((None, found)),
        Known::Disputed(claims) => all.extend(claims.into_iter().map(|it| (None, it))),
        known => all.extend(known.best().map(|it| (it.quantity(), it.clone()))),
    }
    for (at, setting, value, site) in &ctx.world.setups {
        if *at == place.name && setting.to_lowercase().contains("final drive") {
            let id = ctx.world.root();
            let said = found(ctx.db, ctx.workspace, id, &Default::default(), vec![value.clone()], site.span);
            all.push((number(value), Found { site: *site, ..said }));
        }
    }
    all
}

fn number(value: &Value) -> Option<Quantity> {
    match &value.kind {
        ValueKind::Quantity(it) => Some(*it),
        ValueKind::Text(it) => Quantity::number(it.trim().replace(',', ".").parse().ok()?).ok(),
        _ => None,
    }
}

/// Whether a part states the ratio as a need of its own, which is judged there.
fn needed(ctx: &Ctx<'_>) -> bool {
    let parts = ctx.world.places.iter().flat_map(|it| it.after.parts());
    let mut needs = parts.filter_map(|it| ctx.part(*it)).flat_map(|it| &it.needs);
    needs.any(|it| text(&it.condition).contains("final drive ratio"))
}

fn each_says(claims: &[Found]) -> String {
    let said: Vec<String> = claims.iter().map(|it| format!("{} says {}", it.source, it.display())).collect();
    said.join(", ")
}

fn disputed(ctx: &Ctx<'_>, place: &Place, claims: &[Found]) -> Verdict {
    let message =
        format!("The final drive that {} expects is disputed: {}.", ctx.part_shown(place), each_says(claims));
    let question = ctx.question(place, "expected_ratio", "whether it works with the final drive");
    let site = claims.first().map_or_else(|| ctx.root_site(), |it| it.site);
    with_found(ctx.open(CHECK.name, place.name.to_string(), site, message, question), claims)
}

fn axle(ctx: &Ctx<'_>, place: &Place, rear: &Place, wanted: Quantity, said: Found) -> Verdict {
    let who = ctx.part_shown(place);
    let subject = place.name.to_string();
    let mut question = ctx.question(rear, "ratio", format!("whether {who} works with it"));
    question.good = Some(wanted.display());
    let known = ctx.fact(rear, "ratio");
    let mut verdict = match known.best().and_then(|it| Some((it.quantity()?, it.clone()))) {
        None => {
            let why = match &known {
                Known::Disputed(all) => each_says(all),
                _ => format!("nobody has said the ratio of the {}", rear.shown()),
            };
            let message = format!("{who} expects a final drive of {}; {why}.", wanted.display());
            let fix = ctx.state_fact(rear, "ratio", None);
            ctx.open(CHECK.name, subject, said.site, message, question).with_fixes(fix)
        }
        Some((there, at)) => {
            let verdict = compared(
                ctx,
                Compared {
                    check: CHECK.name,
                    subject,
                    site: said.site,
                    need: format!("{who} expects a final drive of {}", wanted.display()),
                    have: format!("{} has {}", ctx.part_shown(rear), there.display()),
                    there: &there,
                    wanted: &wanted,
                    allowed: None,
                    found: vec![said, at],
                    question,
                },
            );
            let fixes = match verdict.outcome.word() {
                "clash" => replacements(ctx, rear, &|id| {
                    let ratio = known::of_part(ctx.db, ctx.workspace, id, "ratio");
                    let ratio = ratio.first().and_then(Found::quantity);
                    ratio.and_then(|it| against(&it, &wanted, None)).is_some_and(|it| it.0 == Truth::Yes)
                }),
                _ => Vec::new(),
            };
            verdict.with_fixes(fixes)
        }
    };
    verdict.safety = ctx.safety(place);
    verdict
}

/// The two axles of an all-driven vehicle.
fn pair(ctx: &Ctx<'_>, rear: &Place, front: &Place) -> Verdict {
    let allowed = ctx.world.places.iter().find_map(|it| ctx.fact(it, "ratio_mismatch").quantity());
    let site =
        [front, rear].iter().find_map(|it| it.done.last()).map_or_else(|| ctx.root_site(), |it| it.site);
    let subject = front.name.to_string();
    let hangs = "whether the two axles turn together, or wind up the drive between them";
    let read =
        |place: &Place| ctx.fact(place, "ratio").best().and_then(|it| Some((it.quantity()?, it.clone())));
    match (read(front), read(rear)) {
        (Some((there, at_front)), Some((wanted, at_rear))) => compared(
            ctx,
            Compared {
                check: CHECK.name,
                subject,
                site,
                need: format!("Both axles are driven and the {} has {}", rear.shown(), wanted.display()),
                have: format!("the {} has {}", front.shown(), there.display()),
                there: &there,
                wanted: &wanted,
                allowed: allowed.or_else(|| Quantity::exact(ALLOWED, "%").ok()),
                found: vec![at_front, at_rear],
                question: ctx.question(front, "ratio", hangs),
            },
        ),
        (front_ratio, rear_ratio) => {
            let (place, other) =
                if front_ratio.is_none() { (front, rear_ratio) } else { (rear, front_ratio) };
            let mut question = ctx.question(place, "ratio", hangs);
            question.good = other.map(|it| it.0.display()).or(question.good);
            let message =
                format!("Both axles are driven, and nobody has said the ratio of the {}.", place.shown());
            ctx.open(CHECK.name, subject, site, message, question)
                .with_fixes(ctx.state_fact(place, "ratio", None))
        }
    }
}

/// Something that may work with the ratio changes, and nobody said which ratio it works with.
fn nobody(ctx: &Ctx<'_>, rear: &Place) -> Option<Verdict> {
    let manual = |it: &Place| ctx.kind_after(it).is_some_and(|(_, kind)| kind.is(ctx.db, "manual_gearbox"));
    let controls = |it: &&Place| {
        it.changed()
            && it.after.is_filled()
            && (CONTROLLERS.contains(&it.name.as_str()) || it.name == "gearbox" && !manual(it))
    };
    let ratios = (ctx.fact_before(rear, "ratio").quantity(), ctx.fact(rear, "ratio").quantity());
    let same = matches!(ratios, (Some(a), Some(b)) if a == b);
    let unit = ctx.world.places.iter().find(controls);
    let asked = unit.or_else(|| (rear.changed() && !same).then_some(rear))?;
    let mut question = ctx.question(
        asked,
        "expected_ratio",
        "whether the controllers take the final drive that will be there",
    );
    question.what = "which final drive ratio the controllers expect".to_owned();
    question.who = if question.who == Who::Tape { Who::Maker } else { question.who };
    question.good = ratios.1.map(|it| format!("{}, which the {} has", it.display(), rear.shown()));
    let site = asked.done.last().map_or_else(|| ctx.root_site(), |it| it.site);
    let fix = if unit.is_some() { ctx.state_fact(asked, "expected_ratio", None) } else { None };
    let message = "Nobody has said which final drive ratio the controllers expect.";
    Some(ctx.open(CHECK.name, rear.name.to_string(), site, message, question).with_fixes(fix))
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn ground(brain: &str, vehicle: &str, conversion: &str) -> String {
        format!(
            r#"
    kind unit {{ asks ratio }}
    source manual "Workshop manual" documented
    source club "Club notes" reported
    family Dunlin {{ built 2009-06 to 2018-12
      place gearbox_controller, final_drive, front_final_drive, wheel is unit }}
    part brain "the gearbox controller" is unit fills gearbox_controller {{ {brain} }}
    part axle_428 "the 4.28 axle" is unit fills final_drive {{ ratio 4.28 per manual }}
    part axle_369 "the 3.69 axle" is unit fills final_drive {{ ratio 3.69 per manual, offer 300 EUR }}
    part axle_two is unit fills final_drive {{ ratio 3.69 per manual, ratio 4.10 per club }}
    part front_428 is unit fills front_final_drive {{ ratio 4.28 per manual }}
    part front_373 is unit fills front_final_drive {{ ratio 3.73 per manual }}
    vehicle van is Dunlin {{ built 2012-04, {vehicle} }}
    conversion easy {{ recipient van, {conversion} }}"#
        )
    }

    const NO_FRONT: &str = "has front_final_drive none";

    #[test]
    fn the_expected_ratio_is_clear() {
        let vehicle = format!("{NO_FRONT}, has final_drive axle_369 per manual");
        let found = check("drive/ratio", &ground("expected ratio 3.69 per manual", &vehicle, "fit brain"));
        found.clear("The gearbox controller expects a final drive of 3.69: the 3.69 axle has 3.69.");
        assert_eq!(found.text(), "expected ratio 3.69 per manual");
    }

    #[test]
    fn another_ratio_is_a_clash_with_the_axle_that_would_do() {
        let vehicle = format!("{NO_FRONT}, has final_drive axle_428");
        let found = check("drive/ratio", &ground("expected ratio 3.69 ± 2 %", &vehicle, "fit brain"));
        found.clash(
            "The gearbox controller expects a final drive of 3.69 ± 0.0738, but the 4.28 axle has 4.28.",
        );
        assert_eq!(
            found.only().formula.as_deref(),
            Some("(4.28 − 3.69) / 3.69 = 16.0 % high; allowed 3.69 ± 0.0738")
        );
        assert!(found.fixed(0).contains("replace final_drive with axle_369"));
    }

    #[test]
    fn what_a_controller_is_set_up_for_counts() {
        let vehicle = format!("{NO_FRONT}, has final_drive axle_428");
        let changes = "fit brain, setup gearbox_controller \"final drive\" is \"3.69\"";
        let found = check("drive/ratio", &ground("paired", &vehicle, changes));
        found.clash("The gearbox controller expects a final drive of 3.69, but the 4.28 axle has 4.28.");
        assert_eq!(found.text(), "setup gearbox_controller \"final drive\" is \"3.69\"");
    }

    #[test]
    fn a_ratio_unknown_or_disputed_is_open() {
        let found = check("drive/ratio", &ground("expected ratio 3.69", NO_FRONT, "fit brain"));
        found.open("The gearbox controller expects a final drive of 3.69; nobody has said the ratio of the final drive.");
        assert!(found.fixed(0).contains("final_drive.ratio …"));
        let vehicle = format!("{NO_FRONT}, has final_drive axle_two");
        check("drive/ratio", &ground("expected ratio 3.69", &vehicle, "fit brain")).open(
            "The gearbox controller expects a final drive of 3.69; Workshop manual (documented) says 3.69, \
             Club notes (reported) says 4.1.",
        );
        let brain = "expected ratio 3.69 per manual, expected ratio 4.28 per club";
        check("drive/ratio", &ground(brain, &vehicle, "fit brain")).open(
            "The final drive that the gearbox controller expects is disputed: \
             Workshop manual (documented) says 3.69, Club notes (reported) says 4.28.",
        );
    }

    #[test]
    fn an_expectation_nobody_stated_is_open_once_and_silent_where_a_need_says_it() {
        let vehicle = format!("{NO_FRONT}, has final_drive axle_428");
        let found = check("drive/ratio", &ground("paired", &vehicle, "fit brain, fit axle_369"));
        found.open("Nobody has said which final drive ratio the controllers expect.");
        let question = found.only().question.as_ref().expect("asked");
        assert_eq!(question.good.as_deref(), Some("3.69, which the final drive has"));
        assert_eq!(found.text(), "fit brain");
        assert!(found.fixed(0).contains("{ paired, expected ratio … }"));
        check("drive/ratio", &ground("needs final_drive.ratio = 3.69 within 2 %", &vehicle, "fit brain"))
            .silent();
        check("drive/ratio", &ground("paired", &vehicle, "budget 1 EUR")).silent();
    }

    #[test]
    fn two_driven_axles_turn_together() {
        let vehicle = "has final_drive axle_369, has front_final_drive front_428";
        let found = check("drive/ratio", &ground("paired", vehicle, "fit front_373"));
        assert_eq!(
            found.about("front_final_drive").message,
            "Both axles are driven and the final drive has 3.69, but the front final drive has 3.73."
        );
        assert_eq!(
            found.about("front_final_drive").formula.as_deref(),
            Some("(3.73 − 3.69) / 3.69 = 1.1 % high; allowed 1 %")
        );
        let found =
            check("drive/ratio", &ground("paired", "has front_final_drive front_428", "fit axle_428"));
        assert_eq!(found.about("front_final_drive").outcome.word(), "clear");
        let found = check("drive/ratio", &ground("paired", "has final_drive axle_428", "fit axle_369"));
        assert_eq!(
            found.about("front_final_drive").message,
            "Both axles are driven, and nobody has said the ratio of the front final drive."
        );
    }

    #[test]
    fn tyres_are_held_against_what_is_expected() {
        let brain = "expected ratio none, expected tyre \"205/65 R16\"";
        let with =
            |tyre: &str| ground(brain, &format!("{NO_FRONT}, has final_drive axle_428{tyre}"), "fit brain");
        check("drive/ratio", &with(", tyre 205/65 R16"))
            .clear("The gearbox controller expects 205/65 R16: 205/65 R16 is on it.");
        let found = check("drive/ratio", &with(", tyre 205/75 R16"));
        found.clash("The gearbox controller expects 205/65 R16, but 205/75 R16 is 6.2 % larger across.");
        assert_eq!(found.only().formula.as_deref(), Some("(714 − 672) / 672 = 6.2 %; allowed 1 %"));
        check("drive/ratio", &with(""))
            .open("The gearbox controller expects 205/65 R16; nobody has said which tyres are on it.");
        let brain = "expected ratio none, expected circumference 2060 mm";
        let with =
            |rolls: &str| ground(brain, &format!("{NO_FRONT}, has final_drive axle_428{rolls}"), "fit brain");
        check("drive/ratio", &with(", rolling circumference 2070 mm"))
            .clear("The gearbox controller expects tyres that roll 2060 mm a turn: they roll 2070 mm.");
        check("drive/ratio", &with("")).open(
            "The gearbox controller expects tyres that roll 2060 mm a turn; nobody has said how far they roll.",
        );
    }
}

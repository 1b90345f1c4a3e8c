//! The tyres against what a unit expects: by their marking, and by how far they roll.

use trunnion_handbook::tyre::Tyre;
use trunnion_model::built::{found, vehicle};
use trunnion_model::fact::Found;
use trunnion_model::known;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::Place;

use crate::against::{ALLOWED, Compared, compared};
use crate::checks::drive_ratio::CHECK;
use crate::ctx::{Ctx, question, trimmed};

pub(crate) fn is_wheel(place: &Place) -> bool {
    place.name.starts_with("wheel") || place.name.starts_with("tyre")
}

/// The marking of the tyres after the changes.
pub(crate) fn tyre_on(ctx: &Ctx<'_>) -> Option<(String, Found)> {
    let wheels = || ctx.world.places.iter().filter(|it| is_wheel(it));
    let on_wheel = wheels().find_map(|it| ctx.fact(it, "tyre").best().cloned());
    if let Some(it) = on_wheel {
        return Some((it.display(), it));
    }
    if wheels().any(Place::changed) {
        return None;
    }
    let id = ctx.built().vehicle;
    let (marking, claim) = vehicle(ctx.db, id)?.tyre.as_ref()?;
    let said = found(ctx.db, ctx.workspace, id, claim, Vec::new(), marking.span);
    Some((marking.value.to_string(), said))
}

pub(crate) fn tyre(ctx: &Ctx<'_>, place: &Place) -> Option<Verdict> {
    let expected = ctx.fact(place, "expected_tyre").best()?.clone();
    let (who, wanted) = (ctx.part_shown(place), expected.display());
    let subject = format!("{}.tyre", place.name);
    let ask = || {
        let mut ask = question(
            "the marking of the tyres",
            &ctx.find_out(place, "tyre"),
            format!("whether {who} reads the road speed right"),
        );
        ask.good = Some(wanted.clone());
        ask.type_in = Some(format!("in vehicle {}: tyre …", ctx.built().vehicle.name(ctx.db)));
        ask
    };
    let Some((there, said)) = tyre_on(ctx) else {
        let message = format!("{who} expects {wanted}; nobody has said which tyres are on it.");
        return Some(ctx.open(CHECK.name, subject, expected.site, message, ask()));
    };
    let sizes = [&there, &wanted].map(|it| Tyre::parse(it).ok().and_then(|it| it.outer_diameter_mm()));
    let [Some(a), Some(b)] = sizes else {
        let message = format!("{who} expects {wanted}, and {there} cannot be compared with it.");
        return Some(ctx.open(CHECK.name, subject, expected.site, message, ask()));
    };
    let off = (a - b) / b * 100.0;
    let shown = match off {
        0.0 => format!("{there} is on it"),
        _ if off < 0.0 => format!("{there} is {:.1} % smaller across", -off),
        _ => format!("{there} is {off:.1} % larger across"),
    };
    let found = [expected.clone(), said];
    let verdict = if off.abs() <= ALLOWED {
        ctx.clear(CHECK.name, subject, expected.site, format!("{who} expects {wanted}: {shown}."), &found)
    } else {
        ctx.clash(CHECK.name, subject, expected.site, format!("{who} expects {wanted}, but {shown}."), &found)
    };
    let formula = format!(
        "({} − {}) / {} = {off:.1} %; allowed {ALLOWED} %",
        trimmed(a, 0),
        trimmed(b, 0),
        trimmed(b, 0)
    );
    let verdict = verdict.with_need(wanted, there).with_formula(formula.replace("= -", "= −"));
    Some(
        verdict
            .with_source("UN Regulation No. 30, 6.1.2.1: outer diameter of a tyre")
            .with_source(format!("{ALLOWED} % where no tolerance is stated: common practice, no source")),
    )
}

pub(crate) fn circumference(ctx: &Ctx<'_>, place: &Place) -> Option<Verdict> {
    let expected = ctx.fact(place, "expected_circumference").best()?.clone();
    let wanted = expected.quantity()?;
    let who = ctx.part_shown(place);
    let measure = "rolling_circumference";
    let wheel = ctx
        .world
        .places
        .iter()
        .filter(|it| is_wheel(it))
        .find_map(|it| ctx.fact(it, measure).best().cloned());
    let there =
        wheel.or_else(|| known::of_vehicle(ctx.db, ctx.workspace, ctx.world, measure).best().cloned());
    let subject = format!("{}.{measure}", place.name);
    let mut ask = question(
        "the rolling circumference of the driven tyres",
        &ctx.find_out(place, measure),
        format!("whether {who} reads the road speed right"),
    );
    ask.good = Some(wanted.display());
    ask.type_in =
        Some(format!("in vehicle {}: rolling circumference … mm", ctx.built().vehicle.name(ctx.db)));
    let need = format!("{who} expects tyres that roll {} a turn", wanted.display());
    let Some((figure, there)) = there.and_then(|it| Some((it.quantity()?, it))) else {
        let message = format!("{need}; nobody has said how far they roll.");
        return Some(ctx.open(CHECK.name, subject, expected.site, message, ask));
    };
    let have = format!("they roll {}", figure.display());
    let (site, found) = (expected.site, vec![expected, there]);
    let it = Compared {
        check: CHECK.name,
        subject,
        site,
        need,
        have,
        there: &figure,
        wanted: &wanted,
        allowed: None,
        found,
        question: ask,
    };
    Some(compared(ctx, it))
}

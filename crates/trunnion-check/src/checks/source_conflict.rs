//! # source/conflict
//!
//! Where two claims about one figure differ, somebody settles which holds before anything is
//! built on it.
//!
//! ## Why it matters
//!
//! Two notes that contradict one another are worth more than one that is wrong: they show where
//! to measure. A tool that quietly takes the first has thrown that away.
//!
//! ## An example that stays open
//!
//! ```trunnion open
//! kind shaft { asks length }
//! source manual "Workshop manual" documented
//! source club "Owners' club notes" reported
//! family Dunlin { built 2009-06 to 2018-12
//!   place propshaft is shaft }
//! part long_shaft is shaft fills propshaft {
//!   length 1420 mm per manual
//!   length 1385 mm per club }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit long_shaft }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind shaft { asks length }
//! source bench "Measured on the recipient" measured
//! source club "Owners' club notes" reported
//! family Dunlin { built 2009-06 to 2018-12
//!   place propshaft is shaft }
//! part long_shaft is shaft fills propshaft {
//!   length 1420 mm per bench
//!   length 1385 mm per club }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit long_shaft }
//! ```
//!
//! ## References
//!
//! Figures agree where their ranges overlap; a measured value outranks every other claim, the
//! newest measurement the older ones. Common practice, no source.

use trunnion_model::built::{family, vehicle};
use trunnion_model::decl::{Body, Event};
use trunnion_model::fact::{Fact, Found, Known, Standing, ValueKind};
use trunnion_model::known;
use trunnion_model::name::Space;
use trunnion_model::verdict::{Question, Verdict, Who};
use trunnion_model::world::{Place, When, conversion};
use trunnion_syntax::expr::{Expr, ExprKind};

use crate::check::{Check, Judge};
use crate::ctx::{Ctx, listed, with_found};

/// The check.
pub static CHECK: Check =
    Check { name: "source/conflict", source: include_str!("source_conflict.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let alone = ctx.world.conversion.is_none();
    let mut verdicts = Vec::new();
    for place in ctx.world.places.iter().filter(|it| it.after.is_filled() && (alone || ctx.touched(it))) {
        for measure in measures(ctx, place) {
            verdicts.extend(one(ctx, place, &measure));
        }
    }
    verdicts
}

/// The measures that anybody states about what sits in a place.
fn measures(ctx: &Ctx<'_>, place: &Place) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    let mut add = |fact: &Fact, of_place: bool| {
        let here = match fact.target.as_slice() {
            [] => !of_place,
            [only] => of_place && only.value == place.name,
            _ => false,
        };
        if here && !names.iter().any(|it| *it == fact.name.value.as_str()) {
            names.push(fact.name.value.to_string());
        }
    };
    for id in place.after.parts() {
        ctx.part(*id).into_iter().flat_map(|it| &it.facts).for_each(|it| add(it, false));
    }
    let recipient = ctx.world.recipient.vehicle;
    for id in [Some(recipient), place.donor()].into_iter().flatten() {
        vehicle(ctx.db, id).into_iter().flat_map(|it| &it.figures).for_each(|it| add(it, true));
        for (_, log) in known::logs(ctx.db, ctx.workspace, ctx.world, id) {
            for entry in &log.entries {
                if let Event::Measured { fact, .. } = &entry.event {
                    add(fact, true);
                }
            }
        }
    }
    for id in &ctx.world.recipient.families {
        family(ctx.db, *id).into_iter().flat_map(|it| &it.figures).for_each(|it| add(it, true));
    }
    let decl = ctx.world.conversion.and_then(|it| conversion(ctx.db, it));
    let ways = decl.into_iter().flat_map(|it| &it.ways).map(|it| &it.body.figures);
    decl.into_iter().map(|it| &it.figures).chain(ways).flatten().for_each(|it| add(it, true));
    names
}

fn one(ctx: &Ctx<'_>, place: &Place, measure: &str) -> Option<Verdict> {
    let mut claims = known::claims(ctx.db, ctx.workspace, ctx.world, place, measure, When::After);
    // A figure that makes no sense is reported where it stands.
    claims.retain(|it| it.values.iter().all(|it| it.kind != ValueKind::Broken));
    if claims.len() < 2 {
        return None;
    }
    let title = ctx
        .find(ctx.world.root(), Space::Measure, measure)
        .map_or_else(|| measure.replace('_', " "), |it| it.shown(ctx.db));
    let what = format!("the {title} of the {}", place.shown());
    let subject = format!("{}.{measure}", place.name);
    let said = |it: &Found| format!("{} by {}", it.display(), it.source);
    let mut verdict = match Known::settle(claims.clone()) {
        Known::Disputed(claims) => {
            let all = listed(&claims.iter().map(said).collect::<Vec<_>>());
            let hangs = dependants(ctx, place, measure);
            let mut question = ctx.question(place, measure, hangs.clone());
            question.what = format!("which holds for {what}");
            question.good = Some(one_of(&claims));
            measured_where_it_lies(place, &mut question);
            let message = format!("It is disputed what {what} is: {all}.");
            let open = ctx.open("source/conflict", subject, claims[0].site, message, question);
            with_found(open, &claims).with_because(format!("what hangs on it: {hangs}"))
        }
        Known::Nothing(best) => outranked(ctx, &what, subject, &best, &claims)?,
        Known::Stated(all) => outranked(ctx, &what, subject, all.first()?, &all)?,
        Known::Unknown => return None,
    };
    verdict.safety = ctx.safety(place);
    Some(verdict)
}

/// A measured value against the claims that differ from it; nothing to say where all agree.
fn outranked(ctx: &Ctx<'_>, what: &str, subject: String, best: &Found, all: &[Found]) -> Option<Verdict> {
    let agree = |it: &Found| {
        it.values.len() == best.values.len() && it.values.iter().zip(&best.values).all(|(a, b)| a.agrees(b))
    };
    let differ: Vec<&Found> = all.iter().filter(|it| !agree(it)).collect();
    if best.standing != Standing::Measured || differ.is_empty() {
        return None;
    }
    let others =
        listed(&differ.iter().map(|it| format!("{} by {}", it.display(), it.source)).collect::<Vec<_>>());
    let message = format!("For {what} the measured {} ({}) outranks {others}.", best.display(), best.source);
    let clear = ctx.clear("source/conflict", subject, best.site, message, std::slice::from_ref(best));
    let others: Vec<Found> = differ.into_iter().cloned().collect();
    Some(with_found(clear, &others))
}

/// The values that are claimed, each once.
fn one_of(claims: &[Found]) -> String {
    let mut values: Vec<String> = Vec::new();
    for it in claims.iter().map(Found::display) {
        if !values.contains(&it) {
            values.push(it);
        }
    }
    values.join(" or ")
}

/// A dispute between papers is best settled on the thing itself.
fn measured_where_it_lies(place: &Place, question: &mut Question) {
    if question.who == Who::Maker && question.precision.is_some() {
        question.who = if place.donor().is_some() { Who::Seller } else { Who::Tape };
    }
}

/// What uses a measure: needs of parts, rules, and the kind that asks for it.
fn dependants(ctx: &Ctx<'_>, place: &Place, measure: &str) -> String {
    let mut all: Vec<String> = Vec::new();
    for other in &ctx.world.places {
        for id in other.after.parts() {
            let needs = ctx.part(*id).into_iter().flat_map(|it| &it.needs);
            let own = (other.name == place.name).then_some(measure);
            for _ in needs.filter(|it| uses(&it.condition, &place.name, measure, own)).take(1) {
                all.push(format!("what {} needs", id.shown(ctx.db)));
            }
        }
    }
    let scope = trunnion_model::built::scope_of(ctx.db, ctx.workspace, ctx.world.root());
    for (_, id) in scope.each(Space::Rule) {
        let Some(Body::Rule(rule)) = id.decl(ctx.db).map(|it| &it.body) else { continue };
        if rule.when.iter().chain(&rule.needs).any(|it| uses(&it.condition, &place.name, measure, None)) {
            all.push(format!("the rule {}", id.shown(ctx.db)));
        }
    }
    if let Some((kind, whole)) = ctx.kind_after(place)
        && whole.ask(measure).is_some()
    {
        all.push(format!("what is asked of every {}", kind.shown(ctx.db)));
    }
    if all.is_empty() {
        format!("every check that uses the {}", measure.replace('_', " "))
    } else {
        listed(&all)
    }
}

/// Whether a condition speaks of a measure of a place, or of the part's own.
fn uses(expr: &Expr, place: &str, measure: &str, own: Option<&str>) -> bool {
    let both = |a: &Expr, b: &Expr| uses(a, place, measure, own) || uses(b, place, measure, own);
    match &expr.kind {
        ExprKind::Path(path) | ExprKind::Is(path, _) => match path.parts.as_slice() {
            [only] => own == Some(only.value.as_str()),
            [head, last] => head.value == place && last.value == measure,
            _ => false,
        },
        ExprKind::Has(path, what) => path.word().is_some_and(|it| it == place) && what == measure,
        ExprKind::Arithmetic(_, a, b) | ExprKind::And(a, b) | ExprKind::Or(a, b) => both(a, b),
        ExprKind::Compare { left, right, .. } => both(left, right),
        ExprKind::Not(inner) => uses(inner, place, measure, own),
        ExprKind::Call(_, arguments) => arguments.iter().any(|it| uses(it, place, measure, own)),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn shaft(facts: &str, more: &str) -> String {
        format!(
            r#"
kind shaft {{ asks length }}
source manual "Workshop manual" documented
source club "Club notes" reported
source bench "On the bench" measured
family Dunlin {{ built 2009-06 to 2018-12
  place propshaft, gearbox is shaft }}
part long_shaft is shaft fills propshaft {{
  {facts}
}}
part box is shaft fills gearbox {{ fitted on Dunlin, length 600 mm, needs propshaft.length > 1400 mm }}
vehicle van is Dunlin {{ built 2012-04 }}
{more}
conversion easy {{ recipient van, fit long_shaft }}"#
        )
    }

    #[test]
    fn claims_that_differ_are_open_with_what_hangs_on_them() {
        let found =
            check("source/conflict", &shaft("length 1420 mm per manual\n  length 1385 mm per club", ""));
        found.open(
            "It is disputed what the length of the propshaft is: 1420 mm by Workshop manual (documented) and \
             1385 mm by Club notes (reported).",
        );
        let question = found.only().question.as_ref().expect("asked");
        assert_eq!(question.what, "which holds for the length of the propshaft");
        assert_eq!(question.hangs, "what box needs and what is asked of every shaft");
        assert_eq!(question.good.as_deref(), Some("1420 mm or 1385 mm"));
        assert_eq!(found.text(), "length 1420 mm per manual");
        assert_eq!(found.only().related.len(), 1);
    }

    #[test]
    fn a_measured_value_outranks_the_other() {
        check("source/conflict", &shaft("length 1420 mm per manual\n  length 1412 mm per bench", "")).clear(
            "For the length of the propshaft the measured 1412 mm (On the bench (measured)) outranks 1420 mm by \
             Workshop manual (documented).",
        );
    }

    #[test]
    fn a_measurement_in_the_log_settles_a_dispute() {
        let log = "log of van {\n  2026-03-05 done fit propshaft\n  2026-03-06 measured propshaft.length 1384 mm, with \"tape\" to 2 mm\n}";
        let found =
            check("source/conflict", &shaft("length 1420 mm per manual\n  length 1385 mm per club", log));
        found.clear(
            "For the length of the propshaft the measured 1384 mm ± 2 mm (job log, 2026-03-06 (measured)) outranks \
             1420 mm by Workshop manual (documented).",
        );
    }

    #[test]
    fn claims_that_agree_need_no_word() {
        check("source/conflict", &shaft("length 1420 mm ± 5 mm per manual\n  length 1422 mm per club", ""))
            .silent();
    }

    #[test]
    fn a_place_that_nothing_touches_is_left_alone() {
        let source = shaft("length 1420 mm per manual\n  length 1385 mm per club\n  fitted on Dunlin", "")
            .replace("fit long_shaft }", "budget 100 EUR }");
        check("source/conflict", &source).silent();
    }
}

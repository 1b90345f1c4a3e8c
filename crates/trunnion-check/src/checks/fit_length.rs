//! # fit/length
//!
//! A shaft that slides in itself reaches from flange to flange: its length lies within the gap,
//! give or take its plunge, at ride height and, where the gaps are stated, at full bump and droop.
//!
//! ## Why it matters
//!
//! Another gearbox is longer or shorter than the one that came out, and the propshaft is the part
//! that pays for it: too long, and it drives its yoke into the gearbox over the first bump; too
//! short, and it falls out of its splines.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind shaft { asks length, plunge }
//! family Dunlin { built 2009-06 to 2018-12
//!   place propshaft is shaft }
//! part prop_long is shaft fills propshaft { length 1468 mm, plunge 12 mm }
//! vehicle van is Dunlin { built 2012-04, propshaft.gap 1386 mm ± 2 mm }
//! conversion easy { recipient van, fit prop_long }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind shaft { asks length, plunge }
//! family Dunlin { built 2009-06 to 2018-12
//!   place propshaft is shaft }
//! part prop_short is shaft fills propshaft { length 1390 mm, plunge 12 mm }
//! vehicle van is Dunlin { built 2012-04, propshaft.gap 1386 mm ± 2 mm }
//! conversion easy { recipient van, fit prop_short }
//! ```
//!
//! ## References
//!
//! Geometry, by the worst case of the stated tolerances: greatest gap − plunge ≤ length ≤ least
//! gap + plunge. A figure that was measured is no better than the tool it was measured with.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::db::Site;
use trunnion_model::fact::{Found, Known, Standing};
use trunnion_model::known;
use trunnion_model::name::Id;
use trunnion_model::verdict::{Fix, Gate, Question, Verdict};
use trunnion_model::world::{Place, When};

use crate::check::{Check, Judge};
use crate::checks::need::replacements;
use crate::ctx::{Ctx, capital, listed, trimmed};

/// The check.
pub static CHECK: Check =
    Check { name: "fit/length", source: include_str!("fit_length.rs"), judge: Judge::World(judge) };

/// The gaps that are looked at, and where the axle stands then.
const GAPS: [(&str, &str); 3] = [("gap", ""), ("gap_bump", " at full bump"), ("gap_droop", " at full droop")];
/// Differences below this, in mm, come from the arithmetic of the machine.
const NIL: f64 = 1e-6;

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let alone = ctx.world.conversion.is_none();
    let places = ctx.world.places.iter().filter(|it| it.after.is_filled() && (alone || ctx.touched(it)));
    places.filter(|it| slides(ctx, it)).filter_map(|it| one(ctx, it)).collect()
}

/// Whether what sits there is asked for length and plunge, or the gap for it is stated.
fn slides(ctx: &Ctx<'_>, place: &Place) -> bool {
    let asked = |name: &str| ctx.kind_after(place).is_some_and(|(_, kind)| kind.ask(name).is_some());
    asked("length") && asked("plunge") || !ctx.fact(place, "gap").claims().is_empty()
}

/// A figure with the claim it rests on.
struct Stated {
    mm: [f64; 3],
    shown: String,
    found: Found,
}

/// What is known of the gap once the work is done: what the conversion says outranks what was
/// said of the vehicle as built, and the family's figure falls with the neighbour that changes.
fn gap(ctx: &Ctx<'_>, place: &Place, name: &str) -> Known {
    let mut claims = known::claims(ctx.db, ctx.workspace, ctx.world, place, name, When::After);
    let built = ctx.built();
    let of_family = |it: &Found| built.families.iter().any(|id| id.item == it.site.item);
    let of_conversion = |it: &Found| ctx.world.conversion.is_some_and(|id| id.item == it.site.item);
    if claims.iter().any(of_conversion) {
        claims.retain(|it| !of_family(it) && built.vehicle.item != it.site.item);
    } else if moved(ctx, place) {
        claims.retain(|it| !of_family(it));
    }
    Known::settle(claims)
}

/// Whether something that the shaft is joined to changes.
fn moved(ctx: &Ctx<'_>, place: &Place) -> bool {
    let joints = ctx.world.joints.iter().filter(|it| it.after);
    let mut others = joints.filter_map(|it| match (it.a.place == place.name, it.b.place == place.name) {
        (true, false) => Some(&it.b.place),
        (false, true) => Some(&it.a.place),
        _ => None,
    });
    others.any(|it| ctx.world.place(it).is_some_and(Place::changed))
}

/// The figure in mm; a measured one is widened by the precision of its tool.
fn stated(ctx: &Ctx<'_>, place: &Place, name: &str, known: &Known) -> Option<Stated> {
    if let Known::Nothing(found) = known {
        return Some(Stated { mm: [0.0; 3], shown: "none".to_owned(), found: found.clone() });
    }
    let found = known.best()?.clone();
    let mut figure: Quantity = found.quantity()?;
    if found.standing == Standing::Measured
        && figure.is_exact()
        && let Some(precision) = ctx.find_out(place, name).precision
    {
        figure = figure.plus_minus(&precision).unwrap_or(figure);
    }
    Some(Stated { mm: figure.ends_in("mm")?, shown: figure.display(), found })
}

fn one(ctx: &Ctx<'_>, place: &Place) -> Option<Verdict> {
    let subject = place.name.to_string();
    let known = [("length", ctx.fact(place, "length")), ("plunge", ctx.fact(place, "plunge"))];
    let gaps: Vec<_> = GAPS.iter().map(|(name, at)| (*name, *at, gap(ctx, place, name))).collect();
    let each = known.iter().map(|(name, it)| (*name, it)).chain(gaps.iter().map(|(name, _, it)| (*name, it)));
    for (name, it) in each {
        if let Known::Disputed(claims) = it {
            return Some(disputed(ctx, place, name, claims));
        }
    }
    let length = stated(ctx, place, "length", &known[0].1);
    let plunge = stated(ctx, place, "plunge", &known[1].1);
    let gaps: Vec<(&str, Stated)> =
        gaps.iter().filter_map(|(name, at, it)| Some((*at, stated(ctx, place, name, it)?))).collect();
    let mut verdict = match (&length, &plunge, gaps.first()) {
        (Some(length), Some(plunge), Some(("", _))) => fits(ctx, place, subject, length, plunge, &gaps),
        // What left the factory reaches; only a change puts it in question.
        _ if ctx.world.conversion.is_none() => return None,
        _ => missing(ctx, place, subject, length.as_ref(), plunge.as_ref(), &gaps),
    };
    verdict.safety = ctx.safety(place);
    verdict.message = capital(&verdict.message);
    Some(verdict)
}

/// The lengths that certainly go in, and those that may, in mm.
fn window(gap: &Stated, plunge: &Stated) -> ([f64; 2], [f64; 2]) {
    let ([near, _, far], [least, _, most]) = (gap.mm, plunge.mm);
    ([far - least, near + least], [near - most, far + most])
}

fn fits(
    ctx: &Ctx<'_>,
    place: &Place,
    subject: String,
    length: &Stated,
    plunge: &Stated,
    gaps: &[(&str, Stated)],
) -> Verdict {
    let [short, _, long] = length.mm;
    let mut found = vec![length.found.clone(), plunge.found.clone()];
    found.extend(gaps.iter().map(|(_, it)| it.found.clone()));
    // The gap with the least room speaks.
    let room = |gap: &Stated| {
        let ([from, to], _) = window(gap, plunge);
        (short - from).min(to - long)
    };
    let Some((at, gap)) = gaps.iter().min_by(|a, b| room(&a.1).total_cmp(&room(&b.1))) else {
        return missing(ctx, place, subject, Some(length), Some(plunge), gaps);
    };
    let ([from, to], [least, most]) = window(gap, plunge);
    let what = match place.after.part() {
        Some(id) => id.shown(ctx.db),
        None => format!("The {}", place.shown()),
    };
    let there = format!("the gap of {}{at}", gap.shown);
    let takes = format!("{} to {} mm", trimmed(from, 1), trimmed(to, 1));
    let site = site(ctx, place, Some(length));
    let verdict = if room(gap) >= -NIL {
        let message = format!("{what} is {} long; {there} takes {takes}.", length.shown);
        ctx.clear(CHECK.name, subject, site, message, &found)
    } else if short > most + NIL || long < least - NIL {
        let by = if short > most {
            format!("{} mm too long", trimmed(short - most, 1))
        } else {
            format!("{} mm too short", trimmed(least - long, 1))
        };
        let message = format!("{what} is {} long, {by}: {there} takes {takes}.", length.shown);
        let wanted = |id: Id| {
            let found = known::of_part(ctx.db, ctx.workspace, id, "length");
            let mm = found.first().and_then(|it| it.quantity()?.ends_in("mm"));
            mm.is_some_and(|[short, _, long]| short >= from && long <= to)
        };
        ctx.clash(CHECK.name, subject, site, message, &found).with_fixes(replacements(ctx, place, &wanted))
    } else {
        let message =
            format!("{what} is {} long and {there} takes {takes}: too close to tell.", length.shown);
        let mut question = ctx.question(place, "length", "whether it reaches over the whole travel");
        question.what = format!("length and gap of the {} more precisely", place.shown());
        question.good = Some(takes.clone());
        ctx.open(CHECK.name, subject, site, message, question)
    };
    let shown = |it: f64| trimmed(it, 1);
    let [plunge_least, ..] = plunge.mm;
    let formula = format!(
        "{} − {p} = {} ≤ {} ≤ {} = {} + {p} mm",
        shown(gap.mm[2]),
        shown(from),
        if short == long { shown(short) } else { format!("{} to {}", shown(short), shown(long)) },
        shown(to),
        shown(gap.mm[0]),
        p = shown(plunge_least),
    );
    verdict
        .with_need(takes, length.shown.clone())
        .with_margin(format!("{} mm", shown(room(gap))).replace('-', "−"))
        .with_formula(formula)
}

fn site(ctx: &Ctx<'_>, place: &Place, length: Option<&Stated>) -> Site {
    let stated = length.map(|it| it.found.site);
    place.done.last().map(|it| it.site).or(stated).unwrap_or_else(|| ctx.root_site())
}

/// What nobody said, with the values that would be good as far as they follow from the rest.
fn missing(
    ctx: &Ctx<'_>,
    place: &Place,
    subject: String,
    length: Option<&Stated>,
    plunge: Option<&Stated>,
    gaps: &[(&str, Stated)],
) -> Verdict {
    let gap = gaps.iter().find(|(at, _)| at.is_empty()).map(|(_, it)| it);
    let mut unsaid = Vec::new();
    for (name, words, said) in [
        ("length", "the length", length.is_some()),
        ("plunge", "the plunge", plunge.is_some()),
        ("gap", "the gap from flange to flange", gap.is_some()),
    ] {
        if !said {
            unsaid.push((name, words));
        }
    }
    let span =
        |from: f64, to: f64| (from <= to).then(|| format!("{} to {} mm", trimmed(from, 1), trimmed(to, 1)));
    let good = match (length, plunge, gap) {
        (None, Some(plunge), Some(_)) => {
            let windows = gaps.iter().map(|(_, it)| window(it, plunge).0);
            let [from, to] =
                windows.fold([f64::MIN, f64::MAX], |[a, b], [from, to]| [a.max(from), b.min(to)]);
            span(from, to)
        }
        (Some(length), Some(plunge), None) => span(length.mm[2] - plunge.mm[0], length.mm[0] + plunge.mm[0]),
        (Some(length), None, Some(gap)) => {
            let apart = (gap.mm[2] - length.mm[0]).max(length.mm[2] - gap.mm[0]);
            Some(format!("at least {} mm", trimmed(apart, 1)))
        }
        _ => None,
    };
    let names: Vec<String> = unsaid.iter().map(|it| it.1.to_owned()).collect();
    let listed = listed(&names);
    let tail = good.as_ref().map(|it| format!("; good would be {it}")).unwrap_or_default();
    let message = format!("Nobody has said {listed} of the {}{tail}.", place.shown());
    let first = unsaid.first().map_or("length", |it| it.0);
    let mut question = question(ctx, place, first);
    question.what = format!("{listed} of the {}", place.shown());
    question.good = good.or(question.good);
    let fixes: Vec<Fix> = unsaid.iter().filter_map(|(name, _)| state(ctx, place, name)).collect();
    ctx.open(CHECK.name, subject, site(ctx, place, length), message, question).with_fixes(fixes)
}

fn question(ctx: &Ctx<'_>, place: &Place, name: &str) -> Question {
    let hangs = format!("whether the {} reaches from flange to flange", place.shown());
    let mut question = ctx.question(place, name, hangs);
    if name.starts_with("gap") {
        question.type_in = Some(format!("in {}: {}.{name} … mm", ctx.world.root().name(ctx.db), place.name));
    }
    question.gate = question.gate.min(Gate::NoReturn);
    question
}

/// A way to state a figure; the gap is one of the place, not of the part.
fn state(ctx: &Ctx<'_>, place: &Place, name: &str) -> Option<Fix> {
    if !name.starts_with("gap") {
        return ctx.state_fact(place, name, Some("mm"));
    }
    let edit = ctx.insert(ctx.world.root(), &format!("{}.{name} … mm", place.name))?;
    Some(Fix { title: format!("state the gap of the {}", place.shown()), edits: vec![edit] })
}

fn disputed(ctx: &Ctx<'_>, place: &Place, name: &str, claims: &[Found]) -> Verdict {
    let said: Vec<String> = claims.iter().map(|it| format!("{} says {}", it.source, it.display())).collect();
    let word = name.replace('_', " ");
    let message = format!("The {word} of the {} is disputed: {}.", place.shown(), said.join(", "));
    let verdict = ctx.open(
        CHECK.name,
        place.name.to_string(),
        site(ctx, place, None),
        message,
        question(ctx, place, name),
    );
    crate::ctx::with_found(verdict, claims)
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn shaft(part: &str, vehicle: &str, conversion: &str) -> String {
        format!(
            r#"
kind unit {{ asks mass }}
kind shaft {{ asks length, plunge }}
source manual "Workshop manual" documented
source club "Club notes" reported
family Dunlin {{ built 2009-06 to 2018-12
  place gearbox is unit
  place propshaft is shaft
  joint gearbox.tail to propshaft.front
  propshaft.gap 1460 mm per manual }}
part box is unit fills gearbox {{ face tail }}
part prop "the short propshaft" is shaft fills propshaft {{ fitted on Dunlin, face front, {part} }}
part other is shaft fills propshaft {{ offer 80 EUR, length 1392 mm, plunge 12 mm }}
vehicle van is Dunlin {{ built 2012-04, {vehicle} }}
conversion easy {{ recipient van, fit box, {conversion} }}"#
        )
    }

    #[test]
    fn a_length_inside_the_window_is_clear_with_its_margin() {
        let found = check(
            "fit/length",
            &shaft("length 1390 mm, plunge 12 mm", "has gearbox box", "propshaft.gap 1386 mm ± 2 mm"),
        );
        found.clear("The short propshaft is 1390 mm long; the gap of 1386 mm ± 2 mm takes 1376 to 1396 mm.");
        assert_eq!(found.only().formula.as_deref(), Some("1388 − 12 = 1376 ≤ 1390 ≤ 1396 = 1384 + 12 mm"));
        assert_eq!(found.only().margin.as_deref(), Some("6 mm"));
        assert_eq!(found.text(), "length 1390 mm");
    }

    #[test]
    fn too_long_is_a_clash_with_the_part_that_would_do() {
        let found = check(
            "fit/length",
            &shaft("length 1468 mm, plunge 12 mm", "has gearbox box", "propshaft.gap 1386 mm"),
        );
        found.clash(
            "The short propshaft is 1468 mm long, 70 mm too long: the gap of 1386 mm takes 1374 to 1398 mm.",
        );
        assert_eq!(found.only().margin.as_deref(), Some("−70 mm"));
        assert!(found.fixed(0).contains("replace propshaft with other"));
    }

    #[test]
    fn full_droop_can_decide() {
        let gaps = "propshaft.gap 1386 mm, propshaft.gap_droop 1404 mm";
        check("fit/length", &shaft("length 1390 mm, plunge 12 mm", "has gearbox box", gaps)).clash(
            "The short propshaft is 1390 mm long, 2 mm too short: the gap of 1404 mm at full droop takes 1392 to 1416 mm.",
        );
    }

    #[test]
    fn what_is_missing_is_asked_for_with_good_values() {
        let found = check("fit/length", &shaft("plunge 12 mm", "has gearbox box", "propshaft.gap 1400 mm"));
        found.open("Nobody has said the length of the propshaft; good would be 1388 to 1412 mm.");
        assert!(found.fixed(0).contains("length … mm }"));
        // The family's gap was that of the gearbox which goes.
        let found =
            check("fit/length", &shaft("length 1390 mm, plunge 12 mm", "has gearbox box", "budget 1 EUR"));
        found.open(
            "Nobody has said the gap from flange to flange of the propshaft; good would be 1378 to 1402 mm.",
        );
        assert!(found.fixed(0).contains("budget 1 EUR, propshaft.gap … mm }"));
        check("fit/length", &shaft("length 1390 mm", "has gearbox box", "propshaft.gap 1400 mm"))
            .open("Nobody has said the plunge of the propshaft; good would be at least 10 mm.");
    }

    #[test]
    fn a_margin_below_the_precision_of_the_tape_is_open() {
        let text = shaft("length 1397 mm, plunge 12 mm", "has gearbox box", "budget 1 EUR");
        let log = "\nlog of van { 2026-02-27 measured propshaft.gap 1386 mm }";
        check("fit/length", &(text + log)).open(
            "The short propshaft is 1397 mm long and the gap of 1386 mm ± 2 mm takes 1376 to 1396 mm: too close to tell.",
        );
    }

    #[test]
    fn a_disputed_length_is_open_and_an_untouched_shaft_is_silent() {
        let two = "length 1390 mm per manual, length 1420 mm per club, plunge 12 mm";
        check("fit/length", &shaft(two, "has gearbox box", "propshaft.gap 1386 mm")).open(
            "The length of the propshaft is disputed: Workshop manual (documented) says 1390 mm, \
             Club notes (reported) says 1420 mm.",
        );
        let text = shaft("plunge 12 mm", "has gearbox box", "budget 1 EUR").replace("fit box, ", "");
        check("fit/length", &text).silent();
        let alone = text.split("conversion").next().expect("the part before it");
        check("fit/length", alone).silent();
    }
}

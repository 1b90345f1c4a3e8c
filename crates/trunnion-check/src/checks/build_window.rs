//! # build/window
//!
//! A part that is put in was fitted at this build date with these options, or is said to suit
//! the place at this build date.
//!
//! ## Why it matters
//!
//! The breaker's part has the same name, the same shape and another number of bolts, because the
//! maker changed it between the two build dates. Nobody sees it in a photograph.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place flywheel is unit }
//! part plate_eight is unit fills flywheel { fitted on Dunlin from 2013-01 }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit plate_eight }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place flywheel is unit }
//! part plate_six is unit fills flywheel { fitted on Dunlin to 2012-12 }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit plate_six }
//! ```
//!
//! ## References
//!
//! Comparison of dates; a month means the whole month. Which part was fitted when, and what suits,
//! stands in the specification.

use trunnion_model::built::{Holding, How, Inside, family, fitted_on, inside, rivals};
use trunnion_model::decl::{Fitted, With};
use trunnion_model::fact::Found;
use trunnion_model::known;
use trunnion_model::name::{Id, Space};
use trunnion_model::verdict::{Fix, Gate, Question, Verdict, Who};
use trunnion_model::world::Place;
use trunnion_syntax::tree::Date;

use crate::check::{Check, Judge};
use crate::checks::need::replacements;
use crate::ctx::{Ctx, capital, with_found};

/// The check.
pub static CHECK: Check =
    Check { name: "build/window", source: include_str!("build_window.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let mut verdicts = Vec::new();
    for place in &ctx.world.places {
        let Some(done) = place.done.last() else {
            continue;
        };
        // What is made never left a factory.
        let bought = matches!(done.verb, "take" | "fit" | "replace" | "choose");
        if !bought || matches!(place.after, Holding::Several(_)) {
            continue;
        }
        let several = place.after.parts().len() > 1;
        // Another of what a past owner put there: it has shown that it suits.
        let there = matches!(place.how, How::Has(_)).then(|| place.before.part()).flatten();
        for id in place.after.parts().iter().filter(|it| there != Some(**it)) {
            let said = said(ctx, *id, place);
            // A place that only the conversion brings: no factory ever filled it on this family.
            if place.added && said.lines.is_empty() {
                continue;
            }
            let mut subject = place.name.to_string();
            if several {
                subject = format!("{subject}.{}", id.name(ctx.db));
            }
            let mut verdict = one(ctx, place, *id, &said, subject);
            verdict.safety = ctx.safety(place);
            verdict.message = capital(&verdict.message);
            verdicts.push(verdict);
        }
    }
    verdicts
}

/// A window as a reader would say it: "from 2010-01 to 2012-12".
pub(crate) fn span(from: Option<Date>, to: Option<Date>) -> String {
    match (from, to) {
        (Some(from), Some(to)) => format!("from {from} to {to}"),
        (Some(from), None) => format!("from {from}"),
        (None, Some(to)) => format!("to {to}"),
        (None, None) => "at all build dates".to_owned(),
    }
}

/// A `fitted` line as a reader would say it, with its option.
pub(crate) fn window(it: &Fitted) -> String {
    let with = it.with.iter().map(|it| format!("{} {}", spaced(&it.option.value), spaced(&it.value.value)));
    let with = with.collect::<Vec<_>>().join(" and ");
    let with = if with.is_empty() { with } else { format!(" with {with}") };
    format!("{}{with}", span(it.from, it.to))
}

fn spaced(name: &str) -> String {
    name.replace('_', " ")
}

/// When the vehicle was built, as a reader would say it.
pub(crate) fn date(built: Option<(Date, Date)>) -> String {
    match built {
        None => "unknown".to_owned(),
        Some((from, to)) if from == to => from.to_string(),
        Some((from, to)) => format!("between {from} and {to}"),
    }
}

/// The `suits` lines of a part for a place of the recipient.
fn suits<'a>(ctx: &Ctx<'a>, id: Id, place: &Place) -> Vec<&'a Fitted> {
    let families = &ctx.built().families;
    let ours = |it: &Fitted| match &it.family {
        None => true,
        Some(named) => {
            let found = ctx.find(id, Space::Family, named.head());
            found.is_some_and(|it| families.contains(&it))
                || families.iter().any(|it| it.name(ctx.db) == *named.head())
        }
    };
    let lines = ctx.part(id).map(|it| it.suits.as_slice()).unwrap_or_default();
    lines.iter().filter(|(to, it)| *to.head() == place.name && ours(it)).map(|(_, it)| it).collect()
}

/// Whether this vehicle lies in a window, with the options after the changes.
fn lies(ctx: &Ctx<'_>, it: &Fitted) -> Inside {
    let dated = match ctx.built().built {
        Some(built) => inside(built, it.from, it.to),
        None if it.from.is_none() && it.to.is_none() => Inside::Yes,
        None => Inside::Partly,
    };
    let options = it.with.iter().map(|with| match ctx.world.options_after.get(&with.option.value) {
        Some(value) if *value == with.value.value => Inside::Yes,
        Some(_) => Inside::No,
        None => Inside::Partly,
    });
    options.fold(dated, Inside::min)
}

/// What the windows of a part say about this vehicle.
struct Said<'a> {
    /// Whether it lies in one of them.
    inside: Inside,
    /// The window that decides; where none does, all.
    lines: Vec<&'a Fitted>,
    /// It is a `suits` line.
    suits: bool,
    /// Sources give different windows, and they differ on this vehicle.
    contested: bool,
}

fn said<'a>(ctx: &Ctx<'a>, id: Id, place: &Place) -> Said<'a> {
    let fitted = match ctx.part(id).and_then(|it| it.fills.as_ref()) {
        Some(fills) if *fills.head() != place.name => Vec::new(),
        _ => fitted_on(ctx.db, id, &ctx.built().families, ctx.workspace),
    };
    let suits = suits(ctx, id, place);
    let contested = |lines: &[&Fitted]| {
        rivals(lines).iter().any(|(a, b)| {
            let both = [lies(ctx, a), lies(ctx, b)];
            both.contains(&Inside::Yes) && both.contains(&Inside::No)
        })
    };
    let sure = |lines: &[&'a Fitted], by: bool| {
        let line = lines.iter().find(|it| lies(ctx, it) == Inside::Yes).filter(|_| !contested(lines))?;
        Some(Said { inside: Inside::Yes, lines: vec![*line], suits: by, contested: false })
    };
    if let Some(said) = sure(&fitted, false).or_else(|| sure(&suits, true)) {
        return said;
    }
    let by = fitted.is_empty();
    let contested = contested(&fitted) || contested(&suits);
    let mut lines: Vec<&Fitted> = fitted.into_iter().chain(suits).collect();
    let best = lines.iter().map(|it| lies(ctx, it)).max().unwrap_or(Inside::No);
    if best == Inside::Partly {
        lines.retain(|it| lies(ctx, it) == Inside::Partly);
    }
    Said { inside: best, lines, suits: by, contested }
}

fn one(ctx: &Ctx<'_>, place: &Place, id: Id, said: &Said<'_>, subject: String) -> Verdict {
    let who = id.shown(ctx.db);
    let vehicle = ctx.built().vehicle.shown(ctx.db);
    let built = date(ctx.built().built);
    let site = place.done.last().map_or_else(|| ctx.root_site(), |it| it.site);
    let families: Vec<Id> = ctx.built().families.clone();
    let general = families.first().and_then(|it| family(ctx.db, *it)).is_none_or(|it| it.scheme);
    let of = match families.first() {
        Some(id) if !general => id.shown(ctx.db),
        _ => "this vehicle".to_owned(),
    };
    let found: Vec<Found> =
        said.lines.iter().map(|it| known::said(ctx.db, ctx.workspace, id, &it.claim, it.span)).collect();
    let windows: Vec<String> = said.lines.iter().map(|it| window(it)).collect();
    let windows = windows.join(", or ");
    let verb = if said.suits {
        format!("suits the {} of {of}", place.shown())
    } else {
        format!("was fitted on {of}")
    };
    let because: Vec<String> =
        said.lines.iter().filter_map(|it| it.claim.because.as_ref()).map(ToString::to_string).collect();
    let verdict = if said.lines.is_empty() {
        let message = format!("Nobody has said that {who} suits the {} of {of}.", place.shown());
        let mut question = question(place, &who, &vehicle);
        question.type_in = Some(format!("in part {}: suits {} …", id.name(ctx.db), place.name));
        let of = families.first().filter(|_| !general).map(|it| format!(" of {}", it.name(ctx.db)));
        let edit = ctx.insert(id, &format!("suits {}{} per …", place.name, of.unwrap_or_default()));
        let title = format!("say who knows that {who} suits the {}", place.shown());
        ctx.open(CHECK.name, subject, site, message, question)
            .with_fixes(edit.map(|edit| Fix { title, edits: vec![edit] }))
    } else if said.contested {
        let each = said.lines.iter().zip(&found).map(|(it, by)| format!("{} by {}", window(it), by.source));
        let each = each.collect::<Vec<_>>().join(", ");
        let message = format!("{who} {verb} {each}; {vehicle} was built {built}.");
        with_found(ctx.open(CHECK.name, subject, site, message, question(place, &who, &vehicle)), &found)
    } else {
        match said.inside {
            Inside::Yes => {
                let when =
                    ctx.built().built.map(|_| format!("; {vehicle} was built {built}")).unwrap_or_default();
                let message = format!("{who} {verb} {windows}{when}.");
                ctx.clear(CHECK.name, subject, site, message, &found)
            }
            Inside::Partly => {
                let message =
                    format!("{who} {verb} {windows}; {}.", doubt(ctx, &said.lines, &vehicle, &built));
                with_found(
                    ctx.open(CHECK.name, subject, site, message, question(place, &who, &vehicle)),
                    &found,
                )
            }
            Inside::No => {
                let message =
                    format!("{who} {verb} {windows}, but {}.", outside(ctx, &said.lines, &vehicle, &built));
                let fits = |id: Id| {
                    let other = self::said(ctx, id, place);
                    other.inside == Inside::Yes && !other.lines.is_empty()
                };
                ctx.clash(CHECK.name, subject, site, message, &found)
                    .with_fixes(replacements(ctx, place, &fits))
            }
        }
    };
    let mut verdict = verdict;
    if !windows.is_empty() {
        verdict = verdict.with_need(windows, built);
    }
    verdict.because.extend(because);
    verdict
}

/// Why it lies outside: the date, or the option where the date would do.
fn outside(ctx: &Ctx<'_>, lines: &[&Fitted], vehicle: &str, built: &str) -> String {
    let dated = |it: &Fitted| ctx.built().built.is_none_or(|b| inside(b, it.from, it.to) != Inside::No);
    let other = |with: &&With| ctx.world.options_after.get(&with.option.value) != Some(&with.value.value);
    match lines.iter().find(|it| dated(it)).and_then(|it| it.with.iter().find(other)) {
        Some(with) => {
            let value = ctx.world.options_after.get(&with.option.value);
            let value = value.map_or_else(|| "unknown".to_owned(), |it| spaced(it));
            format!("the {} of {vehicle} is {value}", spaced(&with.option.value))
        }
        None => format!("{vehicle} was built {built}"),
    }
}

/// Why it cannot be told: the option nobody stated, or the date.
fn doubt(ctx: &Ctx<'_>, lines: &[&Fitted], vehicle: &str, built: &str) -> String {
    let unsaid = lines.iter().flat_map(|it| &it.with);
    let mut unsaid = unsaid.filter(|it| !ctx.world.options_after.contains_key(&it.option.value));
    match (ctx.built().built, unsaid.next()) {
        (None, _) => format!("nobody has said when {vehicle} was built"),
        (_, Some(with)) => format!("nobody has said the {} of {vehicle}", spaced(&with.option.value)),
        _ => format!("{vehicle} was built {built}, which leaves both possible"),
    }
}

fn question(place: &Place, who: &str, vehicle: &str) -> Question {
    Question {
        what: format!("whether {who} suits the {} of {vehicle}", place.shown()),
        good: None,
        tool: Some("parts list by chassis number, or the numbers on both parts".to_owned()),
        precision: None,
        minutes: Some(15),
        who: Who::Maker,
        gate: Gate::Buying,
        hangs: format!("whether {who} is the right part for this build date"),
        type_in: None,
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn fitted(windows: &str, vehicle: &str) -> String {
        format!(
            r#"
kind unit {{ asks mass }}
source manual "Workshop manual" documented
source club "Club notes" reported
family Dunlin {{ built 2009-06 to 2018-12
  option gearbox is manual_five, auto_six
  place flywheel, gearbox is unit }}
part plate "the plate" is unit fills flywheel {{ mass 2 kg{windows} }}
part other is unit fills flywheel {{ fitted on Dunlin, offer 90 EUR }}
vehicle van is Dunlin "the van" {{ {vehicle}, gearbox manual_five }}
conversion easy {{ recipient van, fit plate }}"#
        )
    }

    #[test]
    fn inside_its_window_or_said_to_suit_is_clear() {
        let found = check(
            "build/window",
            &fitted(", fitted on Dunlin to 2012-12 with gearbox manual_five per manual", "built 2012-04"),
        );
        found.clear(
            "The plate was fitted on Dunlin to 2012-12 with gearbox manual five; the van was built 2012-04.",
        );
        assert_eq!(found.text(), "fit plate");
        check("build/window", &fitted(", fitted on Dunlin per manual", "tows 750 kg"))
            .clear("The plate was fitted on Dunlin at all build dates.");
        check(
            "build/window",
            &fitted(", suits flywheel of Dunlin from 2009-06 to 2012-12 per manual", "built 2012-04"),
        )
        .clear("The plate suits the flywheel of Dunlin from 2009-06 to 2012-12; the van was built 2012-04.");
    }

    #[test]
    fn outside_its_window_is_a_clash_with_the_part_that_would_do() {
        let found =
            check("build/window", &fitted(", fitted on Dunlin from 2013-01 per manual", "built 2012-04"));
        found.clash("The plate was fitted on Dunlin from 2013-01, but the van was built 2012-04.");
        assert!(found.fixed(0).contains("replace flywheel with other"));
        check("build/window", &fitted(", fitted on Dunlin with gearbox auto_six per manual", "built 2012-04"))
            .clash("The plate was fitted on Dunlin at all build dates with gearbox auto six, but the gearbox of the van is manual five.");
    }

    #[test]
    fn every_option_of_a_window_must_be_there() {
        let with = |second: &str| {
            format!(", fitted on Dunlin with gearbox manual_five and trim {second} per manual")
        };
        let two = |second: &str, vehicle: &str| {
            let source = fitted(&with(second), vehicle);
            check(
                "build/window",
                &source.replace("  place flywheel", "  option trim is plain, fine\n  place flywheel"),
            )
        };
        two("fine", "built 2012-04, trim fine").clear(
            "The plate was fitted on Dunlin at all build dates with gearbox manual five and trim fine; the van was built 2012-04.",
        );
        two("fine", "built 2012-04, trim plain").clash(
            "The plate was fitted on Dunlin at all build dates with gearbox manual five and trim fine, but the trim of the van is plain.",
        );
        two("fine", "built 2012-04").open(
            "The plate was fitted on Dunlin at all build dates with gearbox manual five and trim fine; nobody has said the trim of the van.",
        );
    }

    #[test]
    fn a_date_that_leaves_both_possible_is_open() {
        check("build/window", &fitted(", fitted on Dunlin to 2012-04-14 per manual", "built 2012-04"))
            .open("The plate was fitted on Dunlin to 2012-04-14; the van was built 2012-04, which leaves both possible.");
        check("build/window", &fitted(", fitted on Dunlin to 2012-04 per manual", "tows 750 kg"))
            .open("The plate was fitted on Dunlin to 2012-04; nobody has said when the van was built.");
        let two = ", fitted on Dunlin to 2012-03 per manual, fitted on Dunlin to 2012-06 per club";
        check("build/window", &fitted(two, "built 2012-04")).open(
            "The plate was fitted on Dunlin to 2012-03 by Workshop manual (documented), \
             to 2012-06 by Club notes (reported); the van was built 2012-04.",
        );
    }

    #[test]
    fn a_part_of_which_nobody_says_that_it_suits_is_open() {
        let found = check("build/window", &fitted("", "built 2012-04"));
        found.open("Nobody has said that the plate suits the flywheel of Dunlin.");
        assert!(found.fixed(0).contains("{ mass 2 kg, suits flywheel of Dunlin per … }"));
    }

    #[test]
    fn what_is_made_or_was_there_is_left_alone() {
        let made = fitted("", "built 2012-04").replace("fit plate", "make plate");
        check("build/window", &made).silent();
        let there = fitted("", "built 2012-04, has flywheel plate");
        check("build/window", &there).silent();
        let added = fitted("", "built 2012-04").replace("fit plate", "place spacer, fit plate for spacer");
        check("build/window", &added).silent();
    }
}

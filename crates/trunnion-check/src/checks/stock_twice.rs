//! # stock/twice
//!
//! No part is used twice: a donor gives each part once and only what it has, and no more of a
//! bought part is fitted than there are.
//!
//! ## Why it matters
//!
//! One donor has one gearbox, four wheels and perhaps no spare. A list that takes five wheels, or
//! a unit that the breaker already sold, is noticed when the donor stands there stripped.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place 4 of wheel is unit }
//! part alloy is unit fills wheel { fitted on Dunlin }
//! vehicle van is Dunlin { built 2012-04 }
//! vehicle breaker is Dunlin { built 2015-09 }
//! conversion easy { recipient van, donor breaker, take 3 of wheel from breaker, take 2 of wheel from breaker }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place 4 of wheel is unit }
//! part alloy is unit fills wheel { fitted on Dunlin }
//! vehicle van is Dunlin { built 2012-04 }
//! vehicle breaker is Dunlin { built 2015-09 }
//! conversion easy { recipient van, donor breaker, take 4 of wheel from breaker }
//! ```
//!
//! ## References
//!
//! Counting; what there is follows from the donor as built, its `has` and `lost` lines, and the
//! `stock` of bought parts. A part whose stock nobody stated is not counted.

use std::sync::Arc;

use trunnion_model::built::{Built, BuiltPlace, Holding, How, built, fitted_on, found, vehicle};
use trunnion_model::db::Site;
use trunnion_model::decl::Verb;
use trunnion_model::fact::{Found, Ref};
use trunnion_model::name::{Id, Space};
use trunnion_model::verdict::{Fix, Gate, Question, Verdict, Who};
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::checks::need::replacements;
use crate::ctx::{Ctx, capital, listed};

/// The check.
pub static CHECK: Check =
    Check { name: "stock/twice", source: include_str!("stock_twice.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let Some(conversion) = ctx.world.conversion else { return Vec::new() };
    let mut taken: Vec<Taken> = Vec::new();
    let mut verdicts = Vec::new();
    for change in &ctx.world.changes {
        let site = conversion.site(change.span);
        match &change.verb {
            Verb::Take { places, count, from } => {
                let Some(donor) = donor(ctx, conversion, from) else { continue };
                for place in places {
                    Taken::add(&mut taken, ctx, &donor, place.head(), *count, site);
                }
            }
            Verb::Replace { place, part, from: Some(from) } => {
                let found = ctx.find(conversion, Space::Part, part.head());
                let (Some(donor), Some(part)) = (donor(ctx, conversion, from), found) else { continue };
                match holder(&donor, place.head(), part) {
                    Some(at) => Taken::add(&mut taken, ctx, &donor, &at.name, None, site),
                    None => verdicts.push(not_there(ctx, &donor, place.head(), part, site)),
                }
            }
            _ => {}
        }
    }
    verdicts.extend(taken.iter().filter_map(|it| from_donor(ctx, it)));
    verdicts.extend(bought(ctx));
    verdicts
}

fn donor(ctx: &Ctx<'_>, conversion: Id, named: &Ref) -> Option<Arc<Built>> {
    let id = ctx.find(conversion, Space::Vehicle, named.head())?;
    built(ctx.db, ctx.workspace, id.item, id.nth)
}

/// The place in which a donor has a part: that of the same name before all others.
fn holder<'b>(donor: &'b Built, place: &str, part: Id) -> Option<&'b BuiltPlace> {
    let has = |it: &&BuiltPlace| it.holding.parts().contains(&part);
    donor.place(place).filter(has).or_else(|| donor.places.iter().find(has))
}

/// All that is taken from one place of one donor.
struct Taken {
    donor: Arc<Built>,
    place: String,
    count: u32,
    sites: Vec<Site>,
}

impl Taken {
    fn add(
        all: &mut Vec<Self>,
        ctx: &Ctx<'_>,
        donor: &Arc<Built>,
        place: &str,
        count: Option<u32>,
        site: Site,
    ) {
        let needed = ctx.world.place(place).map_or(1, |it| it.count);
        let count = count.unwrap_or(needed);
        match all.iter_mut().find(|it| it.donor.vehicle == donor.vehicle && it.place == place) {
            Some(it) => {
                it.count += count;
                it.sites.push(site);
            }
            None => {
                all.push(Self { donor: donor.clone(), place: place.to_owned(), count, sites: vec![site] })
            }
        }
    }
}

fn from_donor(ctx: &Ctx<'_>, taken: &Taken) -> Option<Verdict> {
    let at = taken.donor.place(&taken.place)?;
    let donor = taken.donor.vehicle.shown(ctx.db);
    let subject = taken.place.clone();
    let last = *taken.sites.last()?;
    let shown = taken.place.replace('_', " ");
    let claims = holding_claims(ctx, &taken.donor, at);
    let others = |verdict: Verdict| {
        let Some(place) = ctx.world.place(&taken.place) else { return verdict };
        verdict.with_fixes(replacements(ctx, place, &|id| !at.holding.parts().contains(&id)))
    };
    let lost = vehicle(ctx.db, taken.donor.vehicle)
        .and_then(|it| it.lost.iter().find(|(place, end)| *place.head() == taken.place && end.is_none()));
    if let Some((place, _)) = lost {
        let message = format!("The {shown} of {donor} is lost or spoilt; it cannot be taken.");
        let clash = ctx.clash("stock/twice", subject, last, message, &claims);
        return Some(others(clash.with_related(taken.donor.vehicle.site(place.span), "lost, stated here")));
    }
    if !at.exists || at.holding == Holding::Nothing {
        let message = format!("{} has no {shown} to take.", capital(&donor));
        return Some(
            others(ctx.clash("stock/twice", subject, last, message, &claims))
                .with_need(taken.count.to_string(), "none"),
        );
    }
    if at.holding == Holding::Unknown {
        return Some(ask(ctx, &taken.donor, &taken.place, last, &shown));
    }
    let there = at.count;
    if taken.count > there {
        let message = if there == 1 {
            format!("The {shown} of {donor} is taken {}; there is one.", times(taken.count))
        } else {
            format!("{} {shown} are taken from {donor}, which has {there}.", taken.count)
        };
        let mut clash = ctx.clash("stock/twice", subject, last, message, &claims);
        for site in taken.sites.iter().filter(|it| **it != last) {
            clash = clash.with_related(*site, "taken here too");
        }
        let formula = format!("{there} − {} = −{}", taken.count, taken.count - there);
        return Some(
            others(clash).with_need(taken.count.to_string(), there.to_string()).with_formula(formula),
        );
    }
    let message = if there == 1 {
        format!("{} has one {shown}, and it is taken once.", capital(&donor))
    } else {
        format!("{} has {there} {shown}, and {} are taken.", capital(&donor), taken.count)
    };
    let clear = ctx.clear("stock/twice", subject, last, message, &claims);
    Some(clear.with_need(taken.count.to_string(), there.to_string()))
}

fn times(count: u32) -> String {
    if count == 2 { "twice".to_owned() } else { format!("{count} times") }
}

/// How it is known what a donor has in a place.
fn holding_claims(ctx: &Ctx<'_>, donor: &Built, at: &BuiltPlace) -> Vec<Found> {
    let claimed = |id: Id, claim, span| found(ctx.db, ctx.workspace, id, claim, Vec::new(), span);
    match &at.how {
        How::Has(site) => {
            let has = vehicle(ctx.db, donor.vehicle).into_iter().flat_map(|it| &it.has);
            has.filter(|it| donor.vehicle.site(it.span) == *site)
                .map(|it| claimed(donor.vehicle, &it.claim, it.span))
                .collect()
        }
        How::Fitted(sites) => at
            .holding
            .parts()
            .iter()
            .flat_map(|id| {
                fitted_on(ctx.db, *id, &donor.families, ctx.workspace).into_iter().map(|it| (*id, it))
            })
            .filter(|(id, it)| sites.contains(&id.site(it.span)))
            .map(|(id, it)| claimed(id, &it.claim, it.span))
            .collect(),
        How::Holds | How::Unsaid => Vec::new(),
    }
}

/// A part that is to come from a donor which, as far as is known, does not have it.
fn not_there(ctx: &Ctx<'_>, donor: &Built, place: &str, part: Id, site: Site) -> Verdict {
    let (who, shown) = (donor.vehicle.shown(ctx.db), part.shown(ctx.db));
    let at = donor.place(place);
    let doubtful = at.is_none_or(|it| matches!(it.holding, Holding::Unknown | Holding::Hollow(_)));
    if doubtful {
        return ask(ctx, donor, place, site, &shown);
    }
    let has = at.map_or_else(
        || "nothing".to_owned(),
        |it| match it.holding.parts() {
            [] => "nothing".to_owned(),
            all => all.iter().map(|it| it.shown(ctx.db)).collect::<Vec<_>>().join(" or "),
        },
    );
    let message =
        format!("{} does not have {shown}; in its {} sits {has}.", capital(&who), place.replace('_', " "));
    let claims = at.map(|it| holding_claims(ctx, donor, it)).unwrap_or_default();
    let clash = ctx.clash("stock/twice", place, site, message, &claims).with_need(shown, has);
    let Some(at) = ctx.world.place(place) else { return clash };
    let here = |id: Id| id == part && ctx.part(id).is_some_and(|it| it.offer.is_some());
    clash.with_fixes(replacements(ctx, at, &here))
}

/// Nobody has said what a donor has in a place.
fn ask(ctx: &Ctx<'_>, donor: &Built, place: &str, site: Site, wanted: &str) -> Verdict {
    let who = donor.vehicle.shown(ctx.db);
    let what = format!("what sits in the {} of {who}", place.replace('_', " "));
    let question = Question {
        what: what.clone(),
        good: Some(wanted.to_owned()),
        tool: Some("photograph of the label".to_owned()),
        precision: None,
        minutes: Some(5),
        who: Who::Seller,
        gate: Gate::Buying,
        hangs: format!("whether {wanted} can come from {who}"),
        type_in: Some(format!("in vehicle {}: has {place} …", donor.vehicle.name(ctx.db))),
    };
    let edit = ctx.insert(donor.vehicle, &format!("has {place} …"));
    let fix = edit.map(|edit| Fix { title: format!("state what {who} has there"), edits: vec![edit] });
    ctx.open("stock/twice", place, site, format!("Nobody has said {what}."), question).with_fixes(fix)
}

/// Bought parts whose stock is stated, against the places they are fitted in.
fn bought(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let mut used: Vec<(Id, Vec<&Place>)> = Vec::new();
    for place in &ctx.world.places {
        let last = place.done.last().filter(|it| it.donor.is_none() && matches!(it.verb, "fit" | "replace"));
        let (Some(_), Some(id)) = (last, place.after.part()) else { continue };
        match used.iter_mut().find(|it| it.0 == id) {
            Some((_, places)) => places.push(place),
            None => used.push((id, vec![place])),
        }
    }
    used.iter().filter_map(|(id, places)| in_stock(ctx, *id, places)).collect()
}

fn in_stock(ctx: &Ctx<'_>, id: Id, places: &[&Place]) -> Option<Verdict> {
    let offer = ctx.part(id)?.offer.as_ref()?;
    let stock = offer.stock?;
    let count: u32 = places.iter().filter_map(|it| it.done.last()).map(|it| it.count).sum();
    let (last, who) = (places.last()?, id.shown(ctx.db));
    let site = last.done.last()?.site;
    let names = listed(&places.iter().map(|it| it.shown()).collect::<Vec<_>>());
    let claims = [found(ctx.db, ctx.workspace, id, &offer.claim, Vec::new(), id.decl(ctx.db)?.span)];
    let subject = id.name(ctx.db).to_string();
    let (need, have) = (count.to_string(), stock.to_string());
    if count <= stock {
        let message = format!("{count} of {who} are wanted, for {names}; there are {stock}.");
        return Some(ctx.clear("stock/twice", subject, site, message, &claims).with_need(need, have));
    }
    let message = format!("{count} of {who} are wanted, for {names}, and there are {stock}.");
    let clash = ctx.clash("stock/twice", subject, site, message, &claims).with_need(need, have);
    Some(clash.with_fixes(replacements(ctx, last, &|it| it != id)))
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn taken(more: &str, breaker: &str, changes: &str) -> String {
        format!(
            r#"
kind unit {{ asks mass }}
source yard "Yard's list" reported
family Dunlin {{ built 2009-06 to 2018-12
  place gearbox, flywheel is unit
  place 4 of wheel is unit }}
part manual is unit fills gearbox {{ fitted on Dunlin to 2013-12 }}
part auto is unit fills gearbox {{ fitted on Dunlin from 2014-01 }}
part disc is unit fills flywheel {{ stock 1, offer 90 EUR }}
{more}
vehicle van is Dunlin {{ built 2012-04 }}
vehicle breaker is Dunlin {{ built 2015-09, {breaker} }}
conversion easy {{ recipient van, donor breaker, {changes} }}"#
        )
    }

    #[test]
    fn a_part_taken_once_is_clear() {
        check("stock/twice", &taken("", "price 900 EUR", "take gearbox from breaker"))
            .clear("Breaker has one gearbox, and it is taken once.");
    }

    #[test]
    fn a_part_taken_twice_is_a_clash() {
        let found = check(
            "stock/twice",
            &taken("", "price 900 EUR", "take gearbox from breaker, replace gearbox with auto from breaker"),
        );
        found.clash("The gearbox of breaker is taken twice; there is one.");
        assert_eq!(found.text(), "replace gearbox with auto from breaker");
    }

    #[test]
    fn more_than_there_are_is_a_clash_with_its_arithmetic() {
        let wheels = "part alloy is unit fills wheel { fitted on Dunlin }";
        let found = check(
            "stock/twice",
            &taken(wheels, "price 900 EUR", "take 3 of wheel from breaker, take 2 of wheel from breaker"),
        );
        found.clash("5 wheel are taken from breaker, which has 4.");
        assert_eq!(found.only().formula.as_deref(), Some("4 − 5 = −1"));
    }

    #[test]
    fn what_a_donor_does_not_have_is_a_clash() {
        let found =
            check("stock/twice", &taken("", "has gearbox none per yard", "take gearbox from breaker"));
        found.clash("Breaker has no gearbox to take.");
        assert_eq!(found.only().sources, ["Yard's list (reported)"]);
        check("stock/twice", &taken("", "lost gearbox", "take gearbox from breaker"))
            .clash("The gearbox of breaker is lost or spoilt; it cannot be taken.");
        check("stock/twice", &taken("", "price 900 EUR", "replace gearbox with manual from breaker"))
            .clash("Breaker does not have manual; in its gearbox sits auto.");
    }

    #[test]
    fn a_donor_of_which_nobody_said_is_open() {
        let found = check("stock/twice", &taken("", "price 900 EUR", "take flywheel from breaker"));
        found.open("Nobody has said what sits in the flywheel of breaker.");
        assert!(found.fixed(0).contains("price 900 EUR, has flywheel … }"));
    }

    #[test]
    fn more_places_than_stock_are_a_clash() {
        let changes = "place second_flywheel is unit, fit disc, fit disc for second_flywheel";
        let other = "part disc_new is unit fills second_flywheel { offer 190 EUR }";
        let found = check("stock/twice", &taken(other, "price 900 EUR", changes));
        found.clash("2 of disc are wanted, for flywheel and second flywheel, and there are 1.");
        let mended = found.fixed(0);
        assert!(mended.contains("replace second_flywheel with disc_new"), "{mended}");
        assert_eq!(check("stock/twice", &mended).about("disc").outcome.word(), "clear");
        check("stock/twice", &taken("", "price 900 EUR", "fit disc"))
            .clear("1 of disc are wanted, for flywheel; there are 1.");
    }
}

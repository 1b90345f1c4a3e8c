//! # stock/missing
//!
//! Every part that is put in comes from somewhere: a donor, an offer, the own hands, or the shelf
//! where it already lies.
//!
//! ## Why it matters
//!
//! A plan is ready when each part in it can be had. The one for which nobody has found a seller
//! is the one that keeps the vehicle on stands for ten weeks.
//!
//! ## An example that stays open
//!
//! ```trunnion open
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place flywheel is unit }
//! part disc is unit fills flywheel { mass 9 kg }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit disc }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place flywheel is unit }
//! part disc is unit fills flywheel { mass 9 kg, offer 310 EUR, wait 10 weeks }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit disc }
//! ```
//!
//! ## References
//!
//! What the specification and the job log state. What a donor gives is counted by stock/twice.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::built::found;
use trunnion_model::db::Site;
use trunnion_model::decl::{Event, Offer, Verb};
use trunnion_model::fact::{Claim, Found, Standing};
use trunnion_model::known::logs;
use trunnion_model::name::{Id, Space};
use trunnion_model::verdict::{Fix, Gate, Question, Verdict, Who};

use crate::check::{Check, Judge};
use crate::ctx::{Ctx, capital};

/// The check.
pub static CHECK: Check =
    Check { name: "stock/missing", source: include_str!("stock_missing.rs"), judge: Judge::World(judge) };

/// A part that is wanted.
pub(crate) struct Wanted {
    pub(crate) part: Id,
    pub(crate) subject: String,
    /// What it is, in words: "the flywheel (solid, new)".
    pub(crate) shown: String,
    /// The place it goes into, as the log may name it.
    pub(crate) place: String,
    pub(crate) count: u32,
    pub(crate) made: bool,
    pub(crate) site: Site,
}

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    wanted(ctx).iter().map(|it| one(ctx, it)).collect()
}

/// Every part that is put in or used up and comes from no donor.
pub(crate) fn wanted(ctx: &Ctx<'_>) -> Vec<Wanted> {
    let mut wanted: Vec<Wanted> = Vec::new();
    for place in &ctx.world.places {
        let Some(done) = place.done.last().filter(|it| it.donor.is_none() && it.verb != "take") else {
            continue;
        };
        let candidates = place.after.parts();
        for part in candidates {
            let mut subject = place.name.to_string();
            if candidates.len() > 1 {
                subject = format!("{subject}.{}", part.name(ctx.db));
            }
            wanted.push(Wanted {
                part: *part,
                subject,
                shown: shown(&place.shown(), &part.shown(ctx.db)),
                place: place.name.to_string(),
                count: done.count,
                made: done.verb == "make",
                site: done.site,
            });
        }
    }
    wanted.extend(small_parts(ctx));
    wanted
}

/// Parts that a change uses up: caps, gaskets, seals.
fn small_parts(ctx: &Ctx<'_>) -> Vec<Wanted> {
    let Some(conversion) = ctx.world.conversion else { return Vec::new() };
    let mut wanted: Vec<Wanted> = Vec::new();
    for change in &ctx.world.changes {
        let named = match &change.verb {
            Verb::Blank { with: Some(with), .. } | Verb::Join { with: Some(with), .. } => {
                std::slice::from_ref(with)
            }
            Verb::Renew { items } => items.as_slice(),
            _ => &[],
        };
        for name in named {
            let Some(part) = ctx.find(conversion, Space::Part, name.head()) else { continue };
            match wanted.iter_mut().find(|it| it.part == part) {
                Some(it) => it.count += 1,
                None => wanted.push(Wanted {
                    part,
                    subject: part.name(ctx.db).to_string(),
                    shown: part.shown(ctx.db),
                    place: String::new(),
                    count: 1,
                    made: false,
                    site: conversion.site(change.span),
                }),
            }
        }
    }
    wanted
}

/// The place with the part, or the one name where both are alike.
fn shown(place: &str, part: &str) -> String {
    if place == part { format!("the {place}") } else { format!("the {place} ({part})") }
}

fn one(ctx: &Ctx<'_>, wanted: &Wanted) -> Verdict {
    let who = wanted.shown.as_str();
    if let Some((found, what)) = logged(ctx, wanted) {
        let message = format!("{} {what}.", capital(who));
        return ctx.clear("stock/missing", wanted.subject.clone(), wanted.site, message, &[found]);
    }
    if wanted.made {
        let message = format!("{} is made.", capital(who));
        let by =
            [found(ctx.db, ctx.workspace, ctx.world.root(), &Claim::default(), Vec::new(), wanted.site.span)];
        return ctx.clear("stock/missing", wanted.subject.clone(), wanted.site, message, &by);
    }
    let offer = ctx.part(wanted.part).and_then(|it| it.offer.as_ref());
    match offer.and_then(|it| Some((it, it.price?))) {
        Some((offer, price)) => offered(ctx, wanted, who, offer, price),
        None => open(ctx, wanted, who),
    }
}

fn offered(ctx: &Ctx<'_>, wanted: &Wanted, who: &str, offer: &Offer, price: Quantity) -> Verdict {
    let seller = offer.seller.as_ref().map(|it| format!(" from {it}")).unwrap_or_default();
    let wait = match offer.wait {
        Some(it) => format!("wait {}", it.display()),
        None => "wait not stated".to_owned(),
    };
    let condition = offer.condition.as_ref().map(|it| format!(", {it}")).unwrap_or_default();
    let each = if wanted.count > 1 { " each" } else { "" };
    let message = format!("{}: {}{each}{seller}, {wait}{condition}.", capital(who), price.display());
    let by = [found(ctx.db, ctx.workspace, wanted.part, &offer.claim, Vec::new(), offer.span)];
    let mut clear = ctx.clear("stock/missing", wanted.subject.clone(), wanted.site, message, &by);
    let all = Quantity::number(f64::from(wanted.count)).ok().and_then(|it| price.mul(&it).ok());
    if let Some(all) = all.filter(|_| wanted.count > 1) {
        clear = clear.with_formula(format!("{} × {} = {}", wanted.count, price.display(), all.display()));
    }
    for drawback in &offer.drawbacks {
        clear = clear.with_because(format!("drawback: {drawback}"));
    }
    clear
}

/// What the log says of a part: that it arrived, or that it was ordered.
fn logged(ctx: &Ctx<'_>, wanted: &Wanted) -> Option<(Found, String)> {
    let vehicle = ctx.world.recipient.vehicle;
    let name = wanted.part.name(ctx.db);
    let is_it = |what: &str| what == name || !wanted.place.is_empty() && what == wanted.place;
    let mut told: Option<(bool, Found, String)> = None;
    for (id, log) in logs(ctx.db, ctx.workspace, ctx.world, vehicle) {
        for entry in &log.entries {
            let (here, words) = match &entry.event {
                Event::Arrived { what } if is_it(what.head()) => (true, format!("arrived on {}", entry.date)),
                Event::Ordered { what, cost, .. } if is_it(what.head()) => {
                    let cost = cost.map(|it| format!(" for {}", it.display())).unwrap_or_default();
                    (false, format!("is ordered since {}{cost}", entry.date))
                }
                _ => continue,
            };
            if told.as_ref().is_none_or(|it| here && !it.0) {
                let found = Found {
                    values: Vec::new(),
                    bound: None,
                    standing: if here { Standing::Measured } else { Standing::Documented },
                    source: format!("job log, {}", entry.date),
                    source_item: Some(id.item),
                    site: id.site(entry.span),
                };
                told = Some((here, found, words));
            }
        }
    }
    told.map(|(_, found, words)| (found, words))
}

fn open(ctx: &Ctx<'_>, wanted: &Wanted, who: &str) -> Verdict {
    let decl = ctx.world.conversion.and_then(|it| trunnion_model::world::conversion(ctx.db, it));
    let currency = decl.and_then(|it| it.budget.as_ref()?.value.currency());
    let currency =
        currency.and_then(|it| String::from_utf8(it.to_vec()).ok()).unwrap_or_else(|| "EUR".to_owned());
    let statement = format!("offer … {currency}, wait … days");
    let question = Question {
        what: format!("where {who} comes from, what it costs and how long it takes"),
        good: None,
        tool: Some("ask a parts counter and a breaker".to_owned()),
        precision: None,
        minutes: Some(20),
        who: Who::Owner,
        gate: Gate::Buying,
        hangs: "what the conversion costs and when it can be done".to_owned(),
        type_in: Some(format!("in part {}: {statement}", wanted.part.name(ctx.db))),
    };
    let priceless = ctx.part(wanted.part).is_some_and(|it| it.offer.is_some());
    let message = if priceless {
        format!("Nobody has said what {who} costs or where it comes from.")
    } else {
        format!("Nobody has said where {who} comes from.")
    };
    let edit = ctx.insert(wanted.part, &statement);
    let fix = edit.map(|edit| Fix {
        title: format!("state an offer for {}", wanted.part.shown(ctx.db)),
        edits: vec![edit],
    });
    ctx.open("stock/missing", wanted.subject.clone(), wanted.site, message, question).with_fixes(fix)
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn put_in(disc: &str, changes: &str, more: &str) -> String {
        format!(
            r#"
kind unit {{ asks mass }}
source shop "Parts list" documented
family Dunlin {{ built 2009-06 to 2018-12
  place flywheel is unit
  place 4 of wheel is unit }}
part disc "flywheel, new" is unit fills flywheel {{ {disc} }}
part used_disc is unit fills flywheel {{ mass 9 kg }}
part alloy is unit fills wheel {{ offer 60 EUR per shop, wait 3 days, used, drawback "scratched" }}
{more}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{ recipient van, {changes} }}"#
        )
    }

    #[test]
    fn an_offer_is_clear_with_price_and_wait() {
        let offer = r#"offer 310 EUR from "the maker" per shop, wait 10 weeks, new"#;
        let found = check("stock/missing", &put_in(offer, "fit disc", ""));
        found.clear("The flywheel (flywheel, new): 310 EUR from the maker, wait 10 weeks, new.");
        assert_eq!(found.text(), "fit disc");
    }

    #[test]
    fn four_cost_four_times_as_much() {
        let found = check("stock/missing", &put_in("mass 9 kg", "fit alloy", ""));
        found.clear("The wheel (alloy): 60 EUR each, wait 3 days, used.");
        assert_eq!(found.only().formula.as_deref(), Some("4 × 60 EUR = 240 EUR"));
        assert_eq!(found.only().because, ["drawback: scratched"]);
    }

    #[test]
    fn what_is_made_or_has_arrived_is_clear() {
        check("stock/missing", &put_in("mass 9 kg", "make disc", ""))
            .clear("The flywheel (flywheel, new) is made.");
        let log = "log of van {\n  2026-03-01 ordered disc 300 EUR\n  2026-03-20 arrived disc\n}";
        check("stock/missing", &put_in("mass 9 kg", "fit disc", log))
            .clear("The flywheel (flywheel, new) arrived on 2026-03-20.");
        let log = "log of van {\n  2026-03-01 ordered disc 300 EUR\n}";
        check("stock/missing", &put_in("mass 9 kg", "fit disc", log))
            .clear("The flywheel (flywheel, new) is ordered since 2026-03-01 for 300 EUR.");
    }

    #[test]
    fn a_part_from_nowhere_is_open() {
        let found = check("stock/missing", &put_in("mass 9 kg", "budget 2000 CHF, fit disc", ""));
        found.open("Nobody has said where the flywheel (flywheel, new) comes from.");
        assert!(found.fixed(0).contains("{ mass 9 kg, offer … CHF, wait … days }"));
    }

    #[test]
    fn each_candidate_of_a_choice_is_judged() {
        let found =
            check("stock/missing", &put_in("offer 310 EUR", "choose flywheel from disc, used_disc", ""));
        let clear = found.about("flywheel.disc");
        assert_eq!(clear.message, "The flywheel (flywheel, new): 310 EUR, wait not stated.");
        assert_eq!(found.about("flywheel.used_disc").outcome.word(), "open");
    }

    #[test]
    fn a_cap_that_closes_an_end_is_wanted_too() {
        check(
            "stock/missing",
            &put_in("mass 9 kg", "blank flywheel.port with cap", "part cap { mass 1 kg }"),
        )
        .open("Nobody has said where cap comes from.");
    }
}

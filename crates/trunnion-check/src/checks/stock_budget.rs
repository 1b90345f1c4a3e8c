//! # stock/budget
//!
//! What is bought stays within the budget: donors, parts, what is renewed, freight, and tax where the `basis`
//! says that it comes on top (`tax 19 %`); what the log says was paid counts as paid, what was sold is taken
//! off. Other currencies are counted by a stated rate, `exchange 1 EUR is 1.09 USD`; without one it is open.
//!
//! A deposit that comes back with the old part is named beside the sum. Wire, screws and the owner's hours
//! are not counted.
//!
//! ## Why it matters
//!
//! The unit is the cheap part. The sum of what hangs on it is what stops a conversion in the middle, with the
//! old parts sold and the new ones not yet paid.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12, place gearbox, flywheel is unit }
//! part auto_six is unit fills gearbox { fitted on Dunlin }
//! part solid is unit fills flywheel { offer 310 EUR, freight 25 EUR }
//! vehicle van is Dunlin { built 2012-04 }
//! vehicle breaker is Dunlin { built 2015-09, price 1450 EUR }
//! conversion easy { recipient van, donor breaker, budget 1700 EUR
//!   take gearbox from breaker
//!   fit solid }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12, place gearbox, flywheel is unit }
//! part auto_six is unit fills gearbox { fitted on Dunlin }
//! part solid is unit fills flywheel { offer 310 EUR, freight 25 EUR }
//! vehicle van is Dunlin { built 2012-04 }
//! vehicle breaker is Dunlin { built 2015-09, price 1450 EUR }
//! conversion easy { recipient van, donor breaker, budget 1800 EUR
//!   take gearbox from breaker
//!   fit solid }
//! ```
//!
//! ## References
//!
//! Arithmetic on what the specification and the job log state.

use trunnion_handbook::quantity::{Quantity, Truth};
use trunnion_model::db::Site;
use trunnion_model::verdict::{Edit, Fix, Gate, Question, Verdict, Who};
use trunnion_syntax::tree::Span;

use crate::bill::{Item, bill, budget};
use crate::check::{Check, Judge};
use crate::ctx::{Ctx, listed, trimmed};
use crate::purse::{Purse, Till, amount as money, code, disputed, rates};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "stock/budget", source: include_str!("stock_budget.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    budget(ctx).and_then(|(amount, site)| one(ctx, amount, site)).into_iter().collect()
}

/// How many lines of the bill a verdict shows one by one.
const SHOWN: usize = 12;

fn one(ctx: &Ctx<'_>, amount: Quantity, site: Site) -> Option<Verdict> {
    let home = amount.currency()?;
    let unit = code(home);
    let (rates, items) = (rates(ctx), bill(ctx));
    let mut till = Till::new(&rates, home);
    let sum = Sum::new(ctx, CHECK.name, "budget", site, "whether the budget holds");
    sum.work(|sum| {
        let tax = match ctx.basis("tax") {
            trunnion_model::fact::Known::Unknown => 0.0,
            _ => sum.basis("tax", "")?.nominal(),
        };
        if let Some((a, b)) = disputed(&rates) {
            sum.refuse(format!("one rate of exchange says {}, another {}", a.shown, b.shown));
        }
        let (mut total, mut deposit) = (Purse::default(), Purse::default());
        let mut words: Vec<String> = Vec::new();
        for item in &items {
            let money = till.item(item, tax);
            total.add(&money);
            for price in &item.prices {
                price.found.iter().for_each(|it| sum.rests_on(it));
            }
            let each = item.prices.iter().filter_map(|it| it.deposit.as_ref());
            let each: Vec<Purse> = each.map(|it| till.count(it)).collect();
            let most = Purse::one_of(&each).in_currency(home).1;
            deposit.add(&Purse::of(home, most, most));
            if !item.prices.is_empty() {
                let figures = figures(money.in_currency(home));
                words.push(format!("{figures} {}", item.shown.trim_start_matches("the ")));
            }
        }
        let (least, most) = total.in_currency(home);
        let (whole, limit) = (money((least, most), home)?, amount);
        let more = words.len().saturating_sub(SHOWN);
        words.truncate(SHOWN);
        let tail = if more > 0 { format!(" + {more} more") } else { String::new() };
        sum.formula(format!("{}{tail} = {}", words.join(" + "), whole.display()));
        for rate in &till.used {
            sum.rests_on(&rate.found);
            sum.note(format!("counted at {}", rate.shown));
        }
        if tax > 0.0 {
            sum.note(format!("{} % tax are counted on top of offers", trimmed(tax * 100.0, 2)));
        }
        let deposit = deposit.in_currency(home);
        if deposit.1 > 0.0 {
            let laid_out = money(deposit, home)?.display();
            sum.note(format!(
                "{laid_out} of deposits are laid out beside it and come back with the old parts"
            ));
        }
        sum.name("cost", &whole, &unit);
        // Too much is too much, whatever the rest costs.
        let over = least > limit.in_unit(&unit)? + 0.005;
        if !over {
            let room = money([(limit.in_unit(&unit)? - most).max(0.0); 2].into(), home);
            let lacking: Vec<String> = total.others(home).into_iter().chain(till.strange).collect();
            asks(ctx, sum, &items, &lacking, &unit, room);
        } else {
            unpriced_note(sum, &items);
        }
        let raised = format!("{} {unit}", trimmed((most * 100.0).round() / 100.0, 2));
        sum.fix(Some(Fix::replace(format!("raise the budget to {raised}"), site, raised.clone())));
        let said = format!("what is bought costs {}", whole.display());
        let needed = format!("the budget is {}", limit.display());
        let truth = whole.at_most(&limit).ok()?;
        if truth == Truth::Maybe && !sum.is_open() {
            sum.good("the cheaper of what is still to be chosen");
        }
        Some(Answer::at_most(whole, limit, &said, &needed))
    })
}

/// A line of the bill without its currency.
fn figures((least, most): (f64, f64)) -> String {
    let figure = |it: f64| trimmed(it, 2).replace('-', "−");
    let (least, most) = (figure(least), figure(most));
    if least == most { least } else { format!("({least} to {most})") }
}

fn unpriced(items: &[Item]) -> Vec<&Item> {
    items.iter().filter(|it| it.unpriced).collect()
}

fn unpriced_note(sum: &mut Sum<'_, '_>, items: &[Item]) {
    let names: Vec<String> = unpriced(items).iter().map(|it| it.shown.clone()).collect();
    if !names.is_empty() {
        sum.note(format!("without a price and not counted: {}", listed(&names)));
    }
}

/// Asks for the prices and rates that nobody stated.
fn asks(
    ctx: &Ctx<'_>,
    sum: &mut Sum<'_, '_>,
    items: &[Item],
    lacking: &[String],
    unit: &str,
    room: Option<Quantity>,
) {
    for other in lacking {
        let what = format!("the rate of exchange between {unit} and {other}");
        let statement = format!("exchange 1 {unit} is … {other}");
        let question = question(&what, Who::Owner, "what the bank takes", &statement, sum.hangs());
        let edit = end_of(ctx).map(|site| Edit { site, text: format!("\n\n{statement}") });
        let fix = edit.map(|edit| Fix { title: format!("state {what}"), edits: vec![edit] });
        sum.settle_with(&trunnion_model::fact::Known::Unknown, question, fix);
    }
    let silent = unpriced(items);
    let few = if silent.len() > 4 { 3 } else { silent.len() };
    for item in &silent[..few] {
        let statement = if item.donor { format!("price … {unit}") } else { format!("offer … {unit}") };
        let who = if item.donor { Who::Seller } else { Who::Owner };
        let verb =
            if item.shown.starts_with("the ") || item.donor { "costs" } else { "costs, with its parts" };
        let what = format!("what {} {verb}", item.shown);
        let question = question(&what, who, "ask", &statement, sum.hangs());
        let edit = ctx.insert(item.id, &statement);
        let fix =
            edit.map(|edit| Fix { title: format!("state what {} costs", item.shown), edits: vec![edit] });
        sum.settle_with(&trunnion_model::fact::Known::Unknown, question, fix);
    }
    if few < silent.len() {
        let what = format!("what {} more parts cost", silent.len() - few);
        let question = question(&what, Who::Owner, "ask", "offer …", sum.hangs());
        sum.lacks(&what, question);
    }
    if let (false, Some(room)) = (silent.is_empty(), room) {
        sum.good(format!("{} at most", room.display()));
    }
}

fn question(what: &str, who: Who, tool: &str, type_in: &str, hangs: String) -> Question {
    Question {
        what: what.to_owned(),
        good: None,
        tool: Some(tool.to_owned()),
        precision: None,
        minutes: Some(10),
        who,
        gate: Gate::Buying,
        hangs,
        type_in: Some(type_in.to_owned()),
    }
}

/// The end of the conversion, behind which a statement of its own can stand.
fn end_of(ctx: &Ctx<'_>) -> Option<Site> {
    let id = ctx.world.conversion?;
    let end = id.decl(ctx.db)?.span.end;
    Some(id.site(Span::new(end, end)))
}

#[cfg(test)]
mod tests;

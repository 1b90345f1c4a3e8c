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
use trunnion_model::world::conversion;
use trunnion_syntax::tree::Span;

use crate::bill::{Item, Price, Rate, bill, disputed, exchanged, rates};
use crate::check::{Check, Judge};
use crate::ctx::{Ctx, listed, trimmed};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "stock/budget", source: include_str!("stock_budget.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    budget(ctx).and_then(|(amount, site)| one(ctx, amount, site)).into_iter().collect()
}

/// The budget: that of the way where it has one.
fn budget(ctx: &Ctx<'_>) -> Option<(Quantity, Site)> {
    let id = ctx.world.conversion?;
    let decl = conversion(ctx.db, id)?;
    let way = decl.ways.iter().find(|it| Some(&it.name.value) == ctx.world.way.as_ref());
    let stated = way.and_then(|it| it.body.budget.as_ref()).or(decl.budget.as_ref())?;
    Some((stated.value, id.site(stated.span)))
}

/// How many lines of the bill a verdict shows one by one.
const SHOWN: usize = 12;

/// A sum of money at least and at most, as it adds up.
#[derive(Clone, Copy, Default)]
struct Money {
    least: f64,
    most: f64,
}

impl Money {
    fn plus(self, other: Self) -> Self {
        Self { least: self.least + other.least, most: self.most + other.most }
    }

    fn quantity(self, code: &str) -> Option<Quantity> {
        let cents = |it: f64| (it * 100.0).round() / 100.0;
        let (least, most) = (cents(self.least), cents(self.most));
        if least == most {
            Quantity::exact(least, code).ok()
        } else {
            Quantity::range(least, most, code).ok()
        }
    }
}

/// Adds up in one currency; remembers what it had to look up and what it could not.
struct Till<'r> {
    rates: &'r [Rate],
    code: [u8; 3],
    used: Vec<&'r Rate>,
    lacking: Vec<String>,
}

impl<'r> Till<'r> {
    fn money(&mut self, amount: &Quantity) -> Money {
        let code = |it: [u8; 3]| String::from_utf8_lossy(&it).into_owned();
        match exchanged(self.rates, amount, self.code) {
            Some((least, most, way)) => {
                for rate in way {
                    if !self.used.iter().any(|it| it.shown == rate.shown) {
                        self.used.push(rate);
                    }
                }
                Money { least, most }
            }
            None => {
                let lacking = amount.currency().map_or_else(|| amount.display(), code);
                if !self.lacking.contains(&lacking) {
                    self.lacking.push(lacking);
                }
                Money::default()
            }
        }
    }

    /// What one candidate comes to, tax and all.
    fn price(&mut self, price: &Price, tax: f64) -> Money {
        let net = price.amounts.iter().fold(Money::default(), |all, it| all.plus(self.money(it)));
        let gross = if price.paid { 1.0 } else { 1.0 + tax };
        Money { least: net.least * gross, most: net.most * gross }
    }

    /// What an item comes to: from its cheapest candidate to its dearest.
    fn item(&mut self, item: &Item, tax: f64) -> Money {
        let each: Vec<Money> = item.prices.iter().map(|it| self.price(it, tax)).collect();
        let least = each.iter().map(|it| it.least).reduce(f64::min).unwrap_or_default();
        let most = each.iter().map(|it| it.most).reduce(f64::max).unwrap_or_default();
        // Of several candidates one without a price may cost anything.
        Money { least: if item.unpriced { 0.0 } else { least }, most }
    }
}

fn one(ctx: &Ctx<'_>, amount: Quantity, site: Site) -> Option<Verdict> {
    let code = amount.currency()?;
    let unit = String::from_utf8_lossy(&code).into_owned();
    let (rates, items) = (rates(ctx), bill(ctx));
    let mut till = Till { rates: &rates, code, used: Vec::new(), lacking: Vec::new() };
    let sum = Sum::new(ctx, CHECK.name, "budget", site, "whether the budget holds");
    sum.work(|sum| {
        let tax = match ctx.basis("tax") {
            trunnion_model::fact::Known::Unknown => 0.0,
            _ => sum.basis("tax", "")?.nominal(),
        };
        if let Some((a, b)) = disputed(&rates) {
            sum.refuse(format!("one rate of exchange says {}, another {}", a.shown, b.shown));
        }
        let (mut total, mut deposit) = (Money::default(), Money::default());
        let mut words: Vec<String> = Vec::new();
        for item in &items {
            let money = till.item(item, tax);
            total = total.plus(money);
            for price in &item.prices {
                price.found.iter().for_each(|it| sum.rests_on(it));
            }
            let most = item.prices.iter().filter_map(|it| it.deposit.as_ref()).map(|it| till.money(it).most);
            let most = most.reduce(f64::max).unwrap_or_default();
            deposit = deposit.plus(Money { least: most, most });
            if !item.prices.is_empty() {
                words.push(format!("{} {}", figures(money), item.shown.trim_start_matches("the ")));
            }
        }
        let (whole, limit) = (total.quantity(&unit)?, amount);
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
        if deposit.most > 0.0 {
            let laid_out = deposit.quantity(&unit)?.display();
            sum.note(format!(
                "{laid_out} of deposits are laid out beside it and come back with the old parts"
            ));
        }
        sum.name("cost", &whole, &unit);
        // Too much is too much, whatever the rest costs.
        let over = total.least > limit.in_unit(&unit)? + 0.005;
        if !over {
            let room = Money { least: 0.0, most: (limit.in_unit(&unit)? - total.most).max(0.0) };
            asks(ctx, sum, &items, &till.lacking, &unit, room);
        } else {
            unpriced_note(sum, &items);
        }
        let raised = format!("{} {unit}", trimmed((total.most * 100.0).round() / 100.0, 2));
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
fn figures(money: Money) -> String {
    let figure = |it: f64| trimmed(it, 2).replace('-', "−");
    let (least, most) = (figure(money.least), figure(money.most));
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
fn asks(ctx: &Ctx<'_>, sum: &mut Sum<'_, '_>, items: &[Item], lacking: &[String], unit: &str, room: Money) {
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
    if let (false, Some(room)) = (silent.is_empty(), Money { least: room.most, ..room }.quantity(unit)) {
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

//! The money of a conversion, as a block of text and as a record.

use std::fmt::Write;

use serde::Serialize;
use trunnion_handbook::quantity::Quantity;
use trunnion_model::db::{Host, Site};
use trunnion_model::fact::Found;
use trunnion_plan::money::{Line, Money, Total};

use crate::placed::Lines;

/// How many lines of the list are in view.
const IN_VIEW: usize = 8;

/// Amounts of money in a row, "nothing" where there are none.
pub fn amounts(all: &[Quantity]) -> String {
    let shown: Vec<String> =
        all.iter().filter(|it| it.lo() != 0.0 || it.hi() != 0.0).map(Quantity::display).collect();
    if shown.is_empty() { "nothing".to_owned() } else { shown.join(" and ") }
}

/// A sum with what is not in it.
pub fn total(total: &Total) -> String {
    let sum = amounts(&total.amounts);
    if total.unknown.is_empty() {
        return sum;
    }
    let names = match total.unknown.as_slice() {
        few if few.len() <= 3 => few.join("; "),
        many => format!("{}; and {} more", many[..3].join("; "), many.len() - 3),
    };
    match sum.as_str() {
        "nothing" => format!("not known: nobody has said what these come to: {names}"),
        _ => format!("{sum}, and what nobody has priced: {names}"),
    }
}

/// The block. `in_view` lines of the list are shown, the rest is counted.
pub fn block(host: &Host, money: &Money, in_view: Option<usize>) -> String {
    let way = money.way.as_ref().map(|it| format!(" ({it})")).unwrap_or_default();
    let mut out = format!("Money{way}:\n");
    let mut row = |name: &str, text: String| {
        let _ = writeln!(out, "  {name:<14} {text}");
    };
    row("planned", total(&money.planned));
    row("committed", total(&money.committed));
    row("spent", total(&money.spent));
    row("still to pay", total(&money.to_pay));
    row("costs in all", total(&money.cost));
    if !money.donors.is_empty() {
        row("donors", total(&money.donors));
    }
    let of_it = |all: &[Quantity]| all.iter().any(|it| it.hi() != 0.0);
    if of_it(&money.freight) {
        row("freight", format!("{}, in it", amounts(&money.freight)));
    }
    if let Some(rate) = money.tax_rate {
        row("tax", format!("{}, in it: {} on top of offers", amounts(&money.tax), rate.display()));
    }
    if of_it(&money.deposits) {
        row(
            "deposits",
            format!("{}, beside it: they come back with the old parts", amounts(&money.deposits)),
        );
    }
    if !money.sold.is_empty() {
        row("sold", total(&money.proceeds));
    }
    if !money.to_sell.is_empty() {
        row("still to sell", total(&money.to_fetch));
    }
    for (what, reason) in &money.kept {
        row("kept", format!("{what}: {reason}"));
    }
    if let Some((budget, _)) = money.budget {
        let left = money.left.map(|it| format!(", left {}", it.display())).unwrap_or_default();
        let without = if money.cost.unknown.is_empty() && money.cost.amounts.len() < 2 {
            ""
        } else {
            ", without what has no price or no rate"
        };
        row("budget", format!("{}{left}{without}", budget.display()));
    }
    for it in &money.counted_at {
        row("counted at", it.clone());
    }
    for it in &money.unsettled {
        row("cannot be told", it.clone());
    }
    let shown = in_view.unwrap_or(IN_VIEW).min(money.lines.len());
    for it in &money.lines[..shown] {
        let _ = writeln!(out, "    {}", line(host, it));
    }
    if shown < money.lines.len() {
        let _ = writeln!(out, "    and {} more", money.lines.len() - shown);
    }
    out
}

fn line(host: &Host, it: &Line) -> String {
    let cost = match it.cost.amounts.iter().all(|it| it.hi() == 0.0) {
        true if !it.cost.unknown.is_empty() => "no price stated".to_owned(),
        true => "nothing".to_owned(),
        false if !it.cost.unknown.is_empty() => {
            format!("{}, with one that nobody has priced", amounts(&it.cost.amounts))
        }
        false => amounts(&it.cost.amounts),
    };
    let paid = match it.paid.iter().any(|it| it.hi() != 0.0) && it.stage.word() == "ordered" {
        true => format!(", {} paid", amounts(&it.paid)),
        false => String::new(),
    };
    let at = place(host, it.rests.first().map_or(it.site, |it| it.site));
    format!("{}: {cost}, {}{paid}  ({at})", it.what, it.stage.word())
}

fn place(host: &Host, site: Site) -> String {
    let Some(at) = host.locate(site) else { return String::new() };
    let (line, _) = Lines::of(host.text(&at.path).map_or("", |it| it)).position(at.span.start);
    format!("{}:{line}", at.path)
}

/// Money as a record for other programs. Amounts are in the unit they name, least and most.
#[derive(Serialize)]
pub struct Record {
    conversion: String,
    way: Option<String>,
    currency: Option<String>,
    planned: TotalRecord,
    committed: TotalRecord,
    spent: TotalRecord,
    still_to_pay: TotalRecord,
    cost: TotalRecord,
    donors: TotalRecord,
    freight: Vec<AmountRecord>,
    tax: Vec<AmountRecord>,
    tax_rate: Option<String>,
    deposits: Vec<AmountRecord>,
    sold: TotalRecord,
    still_to_sell: TotalRecord,
    to_sell: Vec<GoodsRecord>,
    kept: Vec<KeptRecord>,
    budget: Option<AmountRecord>,
    left: Option<AmountRecord>,
    counted_at: Vec<String>,
    unsettled: Vec<String>,
    lines: Vec<LineRecord>,
}

/// A sum as a record.
#[derive(Serialize)]
pub struct TotalRecord {
    amounts: Vec<AmountRecord>,
    unknown: Vec<String>,
}

/// An amount as a record.
#[derive(Serialize)]
pub struct AmountRecord {
    currency: String,
    least: f64,
    most: f64,
}

#[derive(Serialize)]
struct GoodsRecord {
    what: String,
    price: Option<AmountRecord>,
    rests: Vec<RestRecord>,
}

#[derive(Serialize)]
struct KeptRecord {
    what: String,
    because: String,
}

#[derive(Serialize)]
struct LineRecord {
    what: String,
    donor: bool,
    stage: &'static str,
    cost: TotalRecord,
    paid: Vec<AmountRecord>,
    freight: Vec<AmountRecord>,
    tax: Vec<AmountRecord>,
    deposit: Vec<AmountRecord>,
    rests: Vec<RestRecord>,
}

#[derive(Serialize)]
struct RestRecord {
    place: String,
    standing: &'static str,
    source: String,
}

fn amount(it: &Quantity) -> AmountRecord {
    let currency = it.currency().map(trunnion_check::purse::code).unwrap_or_default();
    let cents = |it: f64| (it * 100.0).round() / 100.0;
    let (least, most) = match it.ends_in(&currency) {
        Some([least, _, most]) => (least, most),
        None => (it.lo(), it.hi()),
    };
    AmountRecord { currency, least: cents(least), most: cents(most) }
}

fn records(all: &[Quantity]) -> Vec<AmountRecord> {
    all.iter().map(amount).collect()
}

/// The record of a sum.
pub fn total_record(it: &Total) -> TotalRecord {
    TotalRecord { amounts: records(&it.amounts), unknown: it.unknown.clone() }
}

/// The record.
pub fn record(host: &Host, money: &Money) -> Record {
    let rests = |all: &[Found]| -> Vec<RestRecord> {
        let one = |it: &Found| RestRecord {
            place: place(host, it.site),
            standing: it.standing.word(),
            source: it.source.clone(),
        };
        all.iter().map(one).collect()
    };
    let goods = money.to_sell.iter().map(|it| GoodsRecord {
        what: it.what.clone(),
        price: it.price.as_ref().map(amount),
        rests: rests(&it.rests),
    });
    let lines = money.lines.iter().map(|it| LineRecord {
        what: it.what.clone(),
        donor: it.donor,
        stage: it.stage.word(),
        cost: total_record(&it.cost),
        paid: records(&it.paid),
        freight: records(&it.freight),
        tax: records(&it.tax),
        deposit: records(&it.deposit),
        rests: rests(&it.rests),
    });
    Record {
        conversion: money.title.clone(),
        way: money.way.clone(),
        currency: money.currency.clone(),
        planned: total_record(&money.planned),
        committed: total_record(&money.committed),
        spent: total_record(&money.spent),
        still_to_pay: total_record(&money.to_pay),
        cost: total_record(&money.cost),
        donors: total_record(&money.donors),
        freight: records(&money.freight),
        tax: records(&money.tax),
        tax_rate: money.tax_rate.map(|it| it.display()),
        deposits: records(&money.deposits),
        sold: total_record(&money.proceeds),
        still_to_sell: total_record(&money.to_fetch),
        to_sell: goods.collect(),
        kept: money
            .kept
            .iter()
            .map(|(what, because)| KeptRecord { what: what.clone(), because: because.clone() })
            .collect(),
        budget: money.budget.as_ref().map(|it| amount(&it.0)),
        left: money.left.as_ref().map(amount),
        counted_at: money.counted_at.clone(),
        unsettled: money.unsettled.clone(),
        lines: lines.collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_unknown_is_never_nothing() {
        let euro = |it: f64| Quantity::exact(it, "EUR").expect("a currency");
        let one = Total { amounts: vec![euro(0.0)], unknown: vec!["the flywheel".to_owned()] };
        assert_eq!(total(&one), "not known: nobody has said what these come to: the flywheel");
        let one = Total { amounts: vec![euro(5.0)], ..one };
        assert_eq!(total(&one), "5 EUR, and what nobody has priced: the flywheel");
        assert_eq!(total(&Total::default()), "nothing");
    }
}

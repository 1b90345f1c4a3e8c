//! Sums of money: by currency, with the rates of exchange that are stated.

use std::collections::BTreeMap;

use trunnion_handbook::quantity::Quantity;
use trunnion_model::built::scope_of;
use trunnion_model::decl::Body;
use trunnion_model::fact::Found;
use trunnion_model::known;

use crate::bill::{Item, Price};
use crate::ctx::Ctx;

/// The letters of a currency: EUR.
pub type Code = [u8; 3];

/// The code as it is written.
pub fn code(code: Code) -> String {
    String::from_utf8_lossy(&code).into_owned()
}

/// Sums of money at least and at most; currencies without a rate between them stay apart.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Purse {
    sums: BTreeMap<Code, (f64, f64)>,
}

impl Purse {
    /// A sum in one currency.
    pub fn of(currency: Code, least: f64, most: f64) -> Self {
        Self { sums: BTreeMap::from([(currency, (least, most))]) }
    }

    /// Puts another sum in.
    pub fn add(&mut self, other: &Self) {
        for (currency, (least, most)) in &other.sums {
            let sum = self.sums.entry(*currency).or_default();
            *sum = (sum.0 + least, sum.1 + most);
        }
    }

    /// What is left of it when a part of it is taken out; never less than nothing.
    pub fn less(&self, part: &Self) -> Self {
        let mut left = self.clone();
        for (currency, (least, most)) in &part.sums {
            let sum = left.sums.entry(*currency).or_default();
            *sum = ((sum.0 - most).max(0.0), (sum.1 - least).max(0.0));
        }
        left
    }

    /// The sum so many times; a factor below zero turns its ends.
    pub fn times(&self, factor: f64) -> Self {
        let turned = |(least, most): (f64, f64)| {
            let ends = (least * factor, most * factor);
            (ends.0.min(ends.1), ends.0.max(ends.1))
        };
        Self { sums: self.sums.iter().map(|(code, it)| (*code, turned(*it))).collect() }
    }

    /// One of several sums: from the least of all to the most of all. What is not in one of them in a
    /// currency counts as nothing there.
    pub fn one_of(all: &[Self]) -> Self {
        let codes = all.iter().flat_map(|it| it.sums.keys().copied());
        let of = |it: &Self, code: Code| it.sums.get(&code).copied().unwrap_or_default();
        let hull = |code: Code| {
            let each = all.iter().map(|it| of(it, code));
            each.fold((f64::INFINITY, f64::NEG_INFINITY), |sum, it| (sum.0.min(it.0), sum.1.max(it.1)))
        };
        Self { sums: codes.map(|it| (it, hull(it))).collect() }
    }

    /// What is in it of a currency, at least and at most.
    pub fn in_currency(&self, currency: Code) -> (f64, f64) {
        self.sums.get(&currency).copied().unwrap_or_default()
    }

    /// The other currencies in it.
    pub fn others(&self, currency: Code) -> Vec<String> {
        self.sums.keys().filter(|it| **it != currency).map(|it| code(*it)).collect()
    }

    /// The sums to the cent, that in the first currency first.
    pub fn amounts(&self, first: Option<Code>) -> Vec<Quantity> {
        let mut sums: Vec<(Code, (f64, f64))> = self.sums.iter().map(|it| (*it.0, *it.1)).collect();
        sums.sort_by_key(|it| (Some(it.0) != first, it.0));
        sums.into_iter().filter_map(|(code, ends)| amount(ends, code)).collect()
    }
}

/// A sum as a quantity, to the cent.
pub fn amount((least, most): (f64, f64), currency: Code) -> Option<Quantity> {
    let cents = |it: f64| (it * 100.0).round() / 100.0;
    let (least, most) = (cents(least), cents(most));
    let code = code(currency);
    if least == most { Quantity::exact(least, &code).ok() } else { Quantity::range(least, most, &code).ok() }
}

/// Counts in one currency; remembers the rates that it had to look up and what is no money.
pub struct Till<'r> {
    rates: &'r [Rate],
    home: Code,
    /// The rates that were used.
    pub used: Vec<&'r Rate>,
    /// Amounts that are in no currency.
    pub strange: Vec<String>,
}

impl<'r> Till<'r> {
    /// A till that counts in this currency.
    pub fn new(rates: &'r [Rate], home: Code) -> Self {
        Self { rates, home, used: Vec::new(), strange: Vec::new() }
    }

    /// An amount, in the till's own currency where a rate leads there.
    pub fn count(&mut self, amount: &Quantity) -> Purse {
        match (exchanged(self.rates, amount, self.home), amount.currency()) {
            (Some((least, most, way)), _) => {
                for rate in way {
                    if !self.used.iter().any(|it| it.shown == rate.shown) {
                        self.used.push(rate);
                    }
                }
                Purse::of(self.home, least, most)
            }
            (None, Some(code)) => Purse::of(code, amount.lo(), amount.hi()),
            (None, None) => {
                let shown = amount.display();
                if !self.strange.contains(&shown) {
                    self.strange.push(shown);
                }
                Purse::default()
            }
        }
    }

    /// Several amounts together.
    pub fn all<'q>(&mut self, amounts: impl IntoIterator<Item = &'q Quantity>) -> Purse {
        let mut sum = Purse::default();
        for amount in amounts {
            sum.add(&self.count(amount));
        }
        sum
    }

    /// What one candidate comes to; tax is a share, put on top where the price is without it.
    pub fn price(&mut self, price: &Price, tax: f64) -> Purse {
        let net = self.all(&price.amounts);
        if price.paid { net } else { net.times(1.0 + tax) }
    }

    /// What an item comes to: from its cheapest candidate to its dearest.
    pub fn item(&mut self, item: &Item, tax: f64) -> Purse {
        let mut each: Vec<Purse> = item.prices.iter().map(|it| self.price(it, tax)).collect();
        // Of several candidates one without a price may cost anything.
        each.extend(item.unpriced.then(Purse::default));
        Purse::one_of(&each)
    }
}

/// A rate of exchange: how many of one currency are one of the other.
pub struct Rate {
    /// The one currency.
    pub from: [u8; 3],
    /// The other.
    pub to: [u8; 3],
    least: f64,
    most: f64,
    /// As it is stated.
    pub shown: String,
    /// Where it is stated.
    pub found: Found,
}

/// The rates that `exchange` states, both ways.
pub fn rates(ctx: &Ctx<'_>) -> Vec<Rate> {
    let mut rates = Vec::new();
    for id in scope_of(ctx.db, ctx.workspace, ctx.world.root()).nameless() {
        let Some(decl) = id.decl(ctx.db) else { continue };
        let Body::Exchange(one, other) = &decl.body else { continue };
        let (Some(from), Some(to)) = (one.currency(), other.currency()) else { continue };
        if one.lo() <= 0.0 || other.lo() <= 0.0 {
            continue;
        }
        let found = known::said(ctx.db, ctx.workspace, *id, &decl.claim, decl.span);
        let shown = format!("{} is {}", one.display(), other.display());
        let rate = |from, to, least, most| Rate {
            from,
            to,
            least,
            most,
            shown: shown.clone(),
            found: found.clone(),
        };
        rates.push(rate(from, to, other.lo() / one.hi(), other.hi() / one.lo()));
        rates.push(rate(to, from, one.lo() / other.hi(), one.hi() / other.lo()));
    }
    rates
}

/// A sum of money in another currency, at least and at most, with the rates used; none where no rate is
/// stated.
pub fn exchanged<'r>(rates: &'r [Rate], amount: &Quantity, to: [u8; 3]) -> Option<(f64, f64, Vec<&'r Rate>)> {
    let from = amount.currency()?;
    let mut ways: Vec<([u8; 3], f64, f64, Vec<&Rate>)> = vec![(from, 1.0, 1.0, Vec::new())];
    let mut next = 0;
    while let Some((at, least, most, way)) = ways.get(next).cloned() {
        next += 1;
        if at == to {
            let ends = [amount.lo() * least, amount.lo() * most, amount.hi() * least, amount.hi() * most];
            let (low, high) =
                ends.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), it| (a.min(*it), b.max(*it)));
            return Some((low, high, way));
        }
        for rate in rates.iter().filter(|it| it.from == at) {
            if !ways.iter().any(|it| it.0 == rate.to) {
                let mut longer = way.clone();
                longer.push(rate);
                ways.push((rate.to, least * rate.least, most * rate.most, longer));
            }
        }
    }
    None
}

/// Two rates between the same currencies that differ by more than their rounding: common practice, 1 %.
pub fn disputed(rates: &[Rate]) -> Option<(&Rate, &Rate)> {
    let apart = |a: &Rate, b: &Rate| a.most * 1.01 < b.least || b.most * 1.01 < a.least;
    rates.iter().enumerate().find_map(|(nth, a)| {
        let alike = rates[..nth].iter().find(|b| a.from == b.from && a.to == b.to && apart(a, b))?;
        Some((alike, a))
    })
}

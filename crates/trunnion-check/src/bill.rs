//! What a conversion costs: each thing that is bought, by offer or by what the log says was paid.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::built::{scope_of, vehicle};
use trunnion_model::decl::{Body, Event, Offer};
use trunnion_model::fact::{Found, Standing};
use trunnion_model::known::{self, logs};
use trunnion_model::name::Id;

use crate::checks::stock_missing::wanted;
use crate::ctx::Ctx;
use crate::works::{renewed, works};

/// One thing on the bill.
pub struct Item {
    /// What it is: "the flywheel (solid, new)".
    pub shown: String,
    /// Who can tell what it costs: the seller of a donor, else a parts counter.
    pub donor: bool,
    /// Its prices, one for each candidate; tax comes on top of offers, not of what was paid.
    pub prices: Vec<Price>,
    /// Whether one of its candidates has no price.
    pub unpriced: bool,
    /// The declaration in which an offer is to be stated.
    pub id: Id,
}

/// What one candidate costs.
pub struct Price {
    /// The amounts: price, freight; negative where something was sold.
    pub amounts: Vec<Quantity>,
    /// Whether it was paid already, tax and all.
    pub paid: bool,
    /// What is laid out and comes back.
    pub deposit: Option<Quantity>,
    /// What it rests on.
    pub found: Vec<Found>,
}

/// Everything that is bought or was sold.
pub fn bill(ctx: &Ctx<'_>) -> Vec<Item> {
    let log = costs(ctx);
    let mut used = vec![false; log.len()];
    let mut items = Vec::new();
    for donor in &ctx.world.donors {
        let id = donor.vehicle;
        let mut item = Item { shown: id.shown(ctx.db), donor: true, prices: Vec::new(), unpriced: true, id };
        let stated = vehicle(ctx.db, id).and_then(|it| it.price);
        let paid = spent(&log, &mut used, &[id.name(ctx.db).to_string()]);
        let said = stated.map(|price| {
            let found =
                known::said(ctx.db, ctx.workspace, id, &Default::default(), id.name_site(ctx.db).span);
            Price { amounts: vec![price], paid: true, deposit: None, found: vec![found] }
        });
        item.prices.extend(paid.or(said));
        item.unpriced = item.prices.is_empty();
        items.push(item);
    }
    let mut places: Vec<String> = Vec::new();
    for it in wanted(ctx) {
        let part = it.part;
        let names = [part.name(ctx.db).to_string(), it.place.clone()];
        let offer = ctx.part(part).and_then(|it| it.offer.as_ref());
        let paid = spent(&log, &mut used, &names);
        let price = paid.or_else(|| offered(ctx, part, offer, it.count));
        let same = places.iter().position(|name| !name.is_empty() && *name == it.place);
        let (unpriced, shown) = (price.is_none(), it.shown);
        match same {
            Some(at) => {
                let item: &mut Item = &mut items[ctx.world.donors.len() + at];
                item.prices.extend(price);
                item.unpriced |= unpriced;
                item.shown = format!("the {}", it.place.replace('_', " "));
            }
            None => {
                places.push(it.place);
                items.push(Item {
                    shown,
                    donor: false,
                    prices: price.into_iter().collect(),
                    unpriced,
                    id: part,
                });
            }
        }
    }
    let renewed: Vec<String> = renewed(ctx).into_iter().map(|it| it.0).collect();
    for job in works(ctx) {
        let price = spent(&log, &mut used, std::slice::from_ref(&job.name))
            .or_else(|| offered(ctx, job.id, job.work.offer.as_ref(), 1));
        let unpriced = price.is_none() && job.work.service && renewed.contains(&job.name);
        if price.is_some() || unpriced {
            let prices = price.into_iter().collect();
            items.push(Item { shown: job.shown(ctx), donor: false, prices, unpriced, id: job.id });
        }
    }
    for (nth, cost) in log.iter().enumerate().filter(|(nth, _)| !used[*nth]) {
        let sold = cost.kind == Kind::Sold;
        let counts = sold || cost.kind == Kind::Paid && !log[..nth].iter().any(|it| same_purchase(it, cost));
        let Some(amount) = cost.amount.filter(|_| counts) else { continue };
        let amount = if sold { amount.neg().ok() } else { Some(amount) };
        let shown = format!("{}{}", cost.what.replace('_', " "), if sold { ", sold" } else { "" });
        let price = Price {
            amounts: amount.into_iter().collect(),
            paid: true,
            deposit: None,
            found: vec![cost.found.clone()],
        };
        items.push(Item { shown, donor: false, prices: vec![price], unpriced: false, id: ctx.world.root() });
    }
    items
}

/// The price of an offer, with freight; on the own shelf nothing is paid any more.
pub fn offered(ctx: &Ctx<'_>, id: Id, offer: Option<&Offer>, count: u32) -> Option<Price> {
    let offer = offer?;
    let found = known::said(ctx.db, ctx.workspace, id, &offer.claim, offer.span);
    if offer.price.is_none() && offer.stock.is_some_and(|it| it >= count) {
        let found = known::said(ctx.db, ctx.workspace, id, &Default::default(), id.name_site(ctx.db).span);
        return Some(Price { amounts: Vec::new(), paid: true, deposit: None, found: vec![found] });
    }
    let times = |it: Quantity| {
        if count == 1 { Some(it) } else { it.mul(&Quantity::number(f64::from(count)).ok()?).ok() }
    };
    let mut found = vec![found];
    let mut stated = |name: &str| {
        let facts = match id.decl(ctx.db).map(|it| &it.body) {
            Some(Body::Part(part)) => part.facts.as_slice(),
            Some(Body::Work(work)) => work.facts.as_slice(),
            _ => &[],
        };
        let fact = facts.iter().find(|it| it.target.is_empty() && it.name.value == name)?;
        let said = known::as_found(ctx.db, ctx.workspace, id, fact);
        let figure = said.quantity();
        found.push(said);
        figure
    };
    let (freight, deposit) = (stated("freight"), stated("deposit").and_then(times));
    let amounts = std::iter::once(times(offer.price?)?).chain(freight).collect();
    Some(Price { amounts, paid: false, deposit, found })
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    Ordered,
    Paid,
    Sold,
}

/// A line of the log that has an amount.
struct Cost {
    what: String,
    amount: Option<Quantity>,
    kind: Kind,
    found: Found,
}

fn costs(ctx: &Ctx<'_>) -> Vec<Cost> {
    let mut all = Vec::new();
    let vehicles =
        std::iter::once(ctx.world.recipient.vehicle).chain(ctx.world.donors.iter().map(|it| it.vehicle));
    for vehicle in vehicles {
        for (id, log) in logs(ctx.db, ctx.workspace, ctx.world, vehicle) {
            for entry in &log.entries {
                let (what, cost, kind) = match &entry.event {
                    Event::Ordered { what, cost, .. } => (what, cost, Kind::Ordered),
                    Event::Paid { what, cost } => (what, cost, Kind::Paid),
                    Event::Sold { what, cost } => (what, cost, Kind::Sold),
                    _ => continue,
                };
                let found = Found {
                    values: Vec::new(),
                    bound: None,
                    standing: Standing::Documented,
                    source: format!("job log, {}", entry.date),
                    source_item: Some(id.item),
                    site: id.site(entry.span),
                };
                all.push(Cost { what: what.head().to_string(), amount: *cost, kind, found });
            }
        }
    }
    all
}

fn same_purchase(a: &Cost, b: &Cost) -> bool {
    a.what == b.what && a.kind != Kind::Sold && b.kind != Kind::Sold && a.amount.is_some()
}

/// What the log says was paid for one of these names, or for what it was ordered.
fn spent(log: &[Cost], used: &mut [bool], names: &[String]) -> Option<Price> {
    let about =
        |it: &Cost| it.kind != Kind::Sold && names.iter().any(|name| !name.is_empty() && *name == it.what);
    let mine: Vec<usize> = (0..log.len()).filter(|nth| about(&log[*nth])).collect();
    for nth in &mine {
        used[*nth] = true;
    }
    let of = |kind: Kind| {
        mine.iter().copied().filter(|nth| log[*nth].kind == kind && log[*nth].amount.is_some()).collect()
    };
    let paid: Vec<usize> = of(Kind::Paid);
    let paid = if paid.is_empty() { of(Kind::Ordered) } else { paid };
    let amounts: Vec<Quantity> = paid.iter().filter_map(|nth| log[*nth].amount).collect();
    let found = paid.iter().map(|nth| log[*nth].found.clone()).collect();
    (!amounts.is_empty()).then_some(Price { amounts, paid: true, deposit: None, found })
}

/// A rate of exchange: how many of one currency are one of the other.
pub struct Rate {
    from: [u8; 3],
    to: [u8; 3],
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

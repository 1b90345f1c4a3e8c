//! The money of a conversion: planned, committed, spent, still to pay, sold, still to sell.
//!
//! What is bought is planned until the log says that it was ordered; ordered it is committed, and paid
//! it is spent. What was paid of an order counts as spent, and the rest of it as committed. So
//!
//! - cost = planned + committed + spent,
//! - still to pay = planned + committed.
//!
//! Where several parts may still go into one place a sum has two ends. Currencies without a stated rate
//! stay apart, and what has no price is named: it is in no sum.

use trunnion_check::bill::{self, Item, Price, Stage, bill};
use trunnion_check::ctx::Ctx;
use trunnion_check::purse::{Code, Purse, Till, amount, code, disputed, rates};
use trunnion_handbook::quantity::Quantity;
use trunnion_model::db::{Db, Site, Workspace};
use trunnion_model::fact::{Found, Known};
use trunnion_model::name::Id;
use trunnion_model::world::{Place, World, world};

/// A sum and what is not in it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Total {
    /// One amount for each currency, that in which is counted first; least and most.
    pub amounts: Vec<Quantity>,
    /// What belongs to it and has no price.
    pub unknown: Vec<String>,
}

impl Total {
    /// Whether there is nothing in it, known or not.
    pub fn is_empty(&self) -> bool {
        self.unknown.is_empty() && self.amounts.iter().all(|it| it.lo() == 0.0 && it.hi() == 0.0)
    }
}

/// One thing that is bought.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// What: "the flywheel (solid, new)".
    pub what: String,
    /// Where it is declared.
    pub site: Site,
    /// Whether it is a donor.
    pub donor: bool,
    /// How far it is.
    pub stage: Stage,
    /// What it costs, freight and tax in it.
    pub cost: Total,
    /// What was paid of it.
    pub paid: Vec<Quantity>,
    /// The freight in its cost.
    pub freight: Vec<Quantity>,
    /// The tax in its cost; of what was paid or ordered nobody said how much.
    pub tax: Vec<Quantity>,
    /// What is laid out beside it and comes back with the old part.
    pub deposit: Vec<Quantity>,
    /// What it rests on.
    pub rests: Vec<Found>,
}

/// Something that comes out and could be sold.
#[derive(Clone, Debug, PartialEq)]
pub struct Goods {
    /// What: "the gearbox (five-speed manual)".
    pub what: String,
    /// Where the place is declared.
    pub site: Site,
    /// What it would fetch, of all like places together; none where nobody said.
    pub price: Option<Quantity>,
    /// What it rests on.
    pub rests: Vec<Found>,
}

/// Something that was sold.
#[derive(Clone, Debug, PartialEq)]
pub struct Sold {
    /// What, as the log names it.
    pub what: String,
    /// What it fetched; none where nobody said.
    pub amount: Option<Quantity>,
    /// The line of the log.
    pub rests: Found,
}

/// The money of a conversion, by one of its ways.
#[derive(Clone, Debug, PartialEq)]
pub struct Money {
    /// The conversion's display name.
    pub title: String,
    /// The way, as it is shown.
    pub way: Option<String>,
    /// The currency in which is counted: the budget's, else that of the first price.
    pub currency: Option<String>,
    /// Everything that is bought.
    pub lines: Vec<Line>,
    /// Not yet ordered.
    pub planned: Total,
    /// Ordered, and of that not yet paid.
    pub committed: Total,
    /// Paid.
    pub spent: Total,
    /// Planned and committed.
    pub to_pay: Total,
    /// All that is bought; of it freight and tax.
    pub cost: Total,
    /// The freight in it.
    pub freight: Vec<Quantity>,
    /// The tax in what is still to be ordered.
    pub tax: Vec<Quantity>,
    /// The share of tax, where one is stated.
    pub tax_rate: Option<Quantity>,
    /// What is laid out and comes back with old parts.
    pub deposits: Vec<Quantity>,
    /// What the donors cost.
    pub donors: Total,
    /// What was sold.
    pub sold: Vec<Sold>,
    /// What that fetched.
    pub proceeds: Total,
    /// What comes out and could be sold.
    pub to_sell: Vec<Goods>,
    /// What that would fetch.
    pub to_fetch: Total,
    /// What comes out and is kept, with the reason.
    pub kept: Vec<(String, String)>,
    /// The budget, and where it stands.
    pub budget: Option<(Quantity, Site)>,
    /// What is left of it once all is paid and what was sold is counted; less than nothing where it does
    /// not hold. What has no price and what is in another currency is not in it.
    pub left: Option<Quantity>,
    /// The rates of exchange that were used, as they are stated.
    pub rates: Vec<Found>,
    /// The same in words: "1 EUR is 1.09 USD".
    pub counted_at: Vec<String>,
    /// What cannot be told: rates that differ, a tax that is disputed, money of which no rate is stated.
    pub unsettled: Vec<String>,
}

/// The money of a conversion by one of its ways. None where it has no recipient.
pub fn money(db: &dyn Db, workspace: Workspace, id: Id, way: Option<u32>) -> Option<Money> {
    let world = world(db, workspace, id.item, id.nth, way)?;
    Some(of_world(db, workspace, &world))
}

/// The money of a world.
pub fn of_world(db: &dyn Db, workspace: Workspace, world: &World) -> Money {
    let ctx = Ctx { db, workspace, world };
    let items = bill(&ctx);
    let mut unsettled: Vec<String> = Vec::new();
    let rates = agreed(rates(&ctx), &mut unsettled);
    let budget = bill::budget(&ctx);
    let home = budget.and_then(|it| it.0.currency()).or_else(|| first_currency(&items));
    let (tax, share) = tax(&ctx, &mut unsettled);
    let mut count = Counted { till: Till::new(&rates, home.unwrap_or_default()), home, tax };
    let mut sums = Sums::default();
    let lines: Vec<Line> =
        items.iter().filter(|it| bought(it)).map(|it| count.line(&ctx, it, &mut sums)).collect();
    unsettled.extend(items.iter().flat_map(|it| &it.prices).filter_map(|it| it.doubt.clone()));
    let sales = bill::sold(&ctx);
    let fetched = count.till.all(sales.iter().filter_map(|it| it.amount.as_ref()));
    let (to_sell, kept) = goods(&ctx, &sales);
    let to_fetch = count.till.all(to_sell.iter().filter_map(|it| it.price.as_ref()));
    let mut cost = sums.planned.clone();
    cost.add(&sums.committed);
    cost.add(&sums.spent);
    let mut to_pay = sums.planned.clone();
    to_pay.add(&sums.committed);
    let mut net = cost.clone();
    net.add(&fetched.times(-1.0));
    let left = budget.zip(home).and_then(|((stated, _), home)| {
        let (least, most) = net.in_currency(home);
        let [low, _, high] = stated.ends_in(&code(home))?;
        amount((low - most, high - least), home)
    });
    if let Some(home) = home {
        let mut all = cost.clone();
        all.add(&fetched);
        all.add(&to_fetch);
        for other in all.others(home) {
            unsettled
                .push(format!("nobody has said the rate of exchange between {} and {other}", code(home)));
        }
    }
    unsettled.extend(count.till.strange.iter().map(|it| format!("{it} is no money")));
    let amounts = |purse: &Purse| purse.amounts(home);
    let total =
        |purse: &Purse, unknown: &[String]| Total { amounts: amounts(purse), unknown: unknown.to_vec() };
    let both: Vec<String> = sums.planned_unknown.iter().chain(&sums.committed_unknown).cloned().collect();
    let nameless = |all: Vec<(&String, bool)>| -> Vec<String> {
        all.into_iter().filter(|it| !it.1).map(|it| it.0.clone()).collect()
    };
    let unsold = nameless(sales.iter().map(|it| (&it.what, it.amount.is_some())).collect());
    let unpriced = nameless(to_sell.iter().map(|it| (&it.what, it.price.is_some())).collect());
    Money {
        title: world.root().shown(db),
        way: way_shown(db, world),
        currency: home.map(code),
        planned: total(&sums.planned, &sums.planned_unknown),
        committed: total(&sums.committed, &sums.committed_unknown),
        spent: total(&sums.spent, &[]),
        to_pay: total(&to_pay, &both),
        cost: total(&cost, &both),
        freight: amounts(&sums.freight),
        tax: amounts(&sums.tax),
        tax_rate: share,
        deposits: amounts(&sums.deposits),
        donors: total(&sums.donors, &sums.donors_unknown),
        proceeds: total(&fetched, &unsold),
        to_fetch: total(&to_fetch, &unpriced),
        to_sell,
        kept,
        sold: sales
            .into_iter()
            .map(|it| Sold { what: it.what.replace('_', " "), amount: it.amount, rests: it.found })
            .collect(),
        budget,
        left,
        counted_at: count.till.used.iter().map(|it| it.shown.clone()).collect(),
        rates: count.till.used.iter().map(|it| it.found.clone()).collect(),
        unsettled,
        lines,
    }
}

/// What all that is bought in a world costs, without the rest of the account.
pub fn cost(db: &dyn Db, workspace: Workspace, world: &World) -> Total {
    let ctx = Ctx { db, workspace, world };
    let items = bill(&ctx);
    let rates = agreed(rates(&ctx), &mut Vec::new());
    let home = bill::budget(&ctx).and_then(|it| it.0.currency()).or_else(|| first_currency(&items));
    let (tax, _) = tax(&ctx, &mut Vec::new());
    let mut till = Till::new(&rates, home.unwrap_or_default());
    let (mut sum, mut unknown) = (Purse::default(), Vec::new());
    for item in items.iter().filter(|it| bought(it)) {
        sum.add(&till.item(item, tax));
        unknown.extend(item.silent.iter().map(|id| silent(&ctx, item, *id)));
    }
    Total { amounts: sum.amounts(home), unknown }
}

impl Total {
    /// One of several sums: from the least of all to the most of all, with what is unknown in any.
    pub fn one_of(all: &[Self]) -> Self {
        let mut hull = Self::default();
        for total in all {
            for it in &total.amounts {
                if !hull.amounts.iter().any(|other| other.currency() == it.currency()) {
                    hull.amounts.extend(Self::ends(all, it.currency()));
                }
            }
            let new = total.unknown.iter().filter(|it| !hull.unknown.contains(it)).cloned();
            hull.unknown.extend(new.collect::<Vec<_>>());
        }
        hull
    }

    /// Least and most of all in one currency; who has none of it pays nothing in it.
    fn ends(all: &[Self], currency: Option<Code>) -> Option<Quantity> {
        let of = |it: &Self| {
            let amount = it.amounts.iter().find(|it| it.currency() == currency);
            amount.map_or((0.0, 0.0), |it| (it.lo(), it.hi()))
        };
        let each = all.iter().map(of);
        let ends = each.reduce(|sum, it| (sum.0.min(it.0), sum.1.max(it.1)))?;
        amount(ends, currency?)
    }
}

fn bought(item: &Item) -> bool {
    !item.prices.iter().any(|price| price.stage == Stage::Sold)
}

/// The rates that do not contradict one another. Rates that differ by more than their rounding are none: what
/// they would bring together stays apart, and they are named.
pub(crate) fn agreed(mut rates: Vec<bill::Rate>, unsettled: &mut Vec<String>) -> Vec<bill::Rate> {
    while let Some((a, b)) = disputed(&rates) {
        unsettled.push(format!("one rate of exchange says {}, another {}", a.shown, b.shown));
        let (one, other) = (a.from, a.to);
        rates.retain(|it| (it.from, it.to) != (one, other) && (it.to, it.from) != (one, other));
    }
    rates
}

/// The way of a world as it is shown.
pub(crate) fn way_shown(db: &dyn Db, world: &World) -> Option<String> {
    let name = world.way.as_ref()?;
    let decl = trunnion_model::world::conversion(db, world.conversion?)?;
    let title = decl.ways.iter().find(|it| it.name.value == *name).and_then(|it| it.title.clone());
    Some(title.map_or_else(|| name.replace('_', " "), |it| it.to_string()))
}

/// The currency of the first price, where no budget names one.
pub(crate) fn first_currency(items: &[Item]) -> Option<Code> {
    items.iter().flat_map(|it| &it.prices).flat_map(|it| &it.amounts).find_map(Quantity::currency)
}

/// The tax that comes on top of offers, as a share and as it is stated.
pub(crate) fn tax(ctx: &Ctx<'_>, unsettled: &mut Vec<String>) -> (f64, Option<Quantity>) {
    match ctx.basis("tax") {
        Known::Unknown | Known::Nothing(_) => (0.0, None),
        Known::Disputed(claims) => {
            let said: Vec<String> = claims.iter().map(Found::display).collect();
            unsettled.push(format!("the tax on top of offers is disputed: {}", said.join(" or ")));
            (0.0, None)
        }
        known @ Known::Stated(_) => match known.quantity() {
            Some(it) => (it.nominal(), Some(it)),
            None => {
                unsettled.push("the tax on top of offers is no figure".to_owned());
                (0.0, None)
            }
        },
    }
}

#[derive(Default)]
struct Sums {
    planned: Purse,
    planned_unknown: Vec<String>,
    committed: Purse,
    committed_unknown: Vec<String>,
    spent: Purse,
    freight: Purse,
    tax: Purse,
    deposits: Purse,
    donors: Purse,
    donors_unknown: Vec<String>,
}

struct Counted<'r> {
    till: Till<'r>,
    home: Option<Code>,
    tax: f64,
}

impl Counted<'_> {
    fn line(&mut self, ctx: &Ctx<'_>, item: &Item, sums: &mut Sums) -> Line {
        let cost = self.till.item(item, self.tax);
        let paid = self.of_each(item, |till, it| till.all(&it.laid_down));
        let freight = self.of_each(item, |till, it| till.all(&it.freight));
        let deposit = self.of_each(item, |till, it| till.all(&it.deposit));
        let share = self.tax;
        let tax = self.of_each(item, |till, it| match it.paid {
            true => Purse::default(),
            false => till.all(&it.amounts).times(share),
        });
        let stage = item.prices.iter().map(|it| it.stage).min().unwrap_or(Stage::Planned);
        let unknown: Vec<String> = item.silent.iter().map(|id| silent(ctx, item, *id)).collect();
        sums.spent.add(&paid);
        match stage {
            Stage::Planned => {
                sums.planned.add(&cost);
                sums.planned_unknown.extend(unknown.iter().cloned());
            }
            Stage::Ordered => {
                sums.committed.add(&cost.less(&paid));
                sums.committed_unknown.extend(unknown.iter().cloned());
            }
            Stage::Here | Stage::Paid | Stage::Sold => {}
        }
        sums.freight.add(&freight);
        sums.tax.add(&tax);
        sums.deposits.add(&deposit);
        if item.donor {
            sums.donors.add(&cost);
            sums.donors_unknown.extend(unknown.iter().cloned());
        }
        let home = self.home;
        let amounts = |it: &Purse| it.amounts(home);
        Line {
            what: item.shown.clone(),
            site: item.id.name_site(ctx.db),
            donor: item.donor,
            stage,
            cost: Total { amounts: amounts(&cost), unknown },
            paid: amounts(&paid),
            freight: amounts(&freight),
            tax: amounts(&tax),
            deposit: amounts(&deposit),
            rests: item.prices.iter().flat_map(|it| it.found.iter().cloned()).collect(),
        }
    }

    /// A part of the price of an item: from the candidate with the least of it to that with the most.
    fn of_each(&mut self, item: &Item, part: impl Fn(&mut Till<'_>, &Price) -> Purse) -> Purse {
        let mut each: Vec<Purse> = item.prices.iter().map(|it| part(&mut self.till, it)).collect();
        each.extend((item.unpriced && !each.is_empty()).then(Purse::default));
        Purse::one_of(&each)
    }
}

/// A candidate without a price, by name.
fn silent(ctx: &Ctx<'_>, item: &Item, id: Id) -> String {
    if item.prices.is_empty() && item.silent.len() == 1 {
        return item.shown.clone();
    }
    format!("{} ({})", item.shown, id.shown(ctx.db))
}

/// What comes out of the recipient and could be sold, and what of it is kept.
fn goods(ctx: &Ctx<'_>, sales: &[bill::Sale]) -> (Vec<Goods>, Vec<(String, String)>) {
    let (mut goods, mut kept) = (Vec::new(), Vec::new());
    for place in ctx.world.places.iter().filter(|it| comes_out(it)) {
        let part = place.before.part();
        let named = |it: &bill::Sale| {
            it.what == place.name.as_str() || part.is_some_and(|id| *id.name(ctx.db) == it.what)
        };
        if sales.iter().any(named) {
            continue;
        }
        let what = shown(ctx, place);
        if let Some(reason) = ctx.fact_before(place, "kept").best() {
            kept.push((what, reason.display()));
            continue;
        }
        let stated = ctx.fact_before(place, "sale_price");
        let each = stated.quantity().filter(|it| it.currency().is_some());
        let times = Quantity::number(f64::from(count(place)));
        let price = each.and_then(|it| if count(place) > 1 { it.mul(&times.ok()?).ok() } else { Some(it) });
        let rests = stated.claims().to_vec();
        goods.push(Goods { what, site: place.site, price, rests });
    }
    (goods, kept)
}

/// Whether something leaves the vehicle at this place; a like part that comes in its stead drives it out too.
fn comes_out(place: &Place) -> bool {
    place.changed() && place.before.is_filled()
}

/// How many of a place's like parts come out.
fn count(place: &Place) -> u32 {
    place.done.iter().map(|it| it.count).max().unwrap_or(place.count).min(place.count)
}

fn shown(ctx: &Ctx<'_>, place: &Place) -> String {
    let count = if count(place) > 1 { format!("{} × ", count(place)) } else { String::new() };
    match place.before.part() {
        Some(part) if part.shown(ctx.db) != place.shown() => {
            format!("{count}the {} ({})", place.shown(), part.shown(ctx.db))
        }
        _ => format!("{count}the {}", place.shown()),
    }
}

#[cfg(test)]
mod tests;

//! What is at stake in some places: money, waiting time, work.

use trunnion_check::awaited::{Awaited, awaited, told};
use trunnion_check::bill::{Item, Stage, bill};
use trunnion_check::ctx::Ctx;
use trunnion_check::purse::{Code, Purse, Rate, Till, rates};
use trunnion_check::works::works;
use trunnion_handbook::quantity::Quantity;
use trunnion_model::fact::Known;
use trunnion_model::name::Id;
use trunnion_model::world::Place;

use crate::money::{agreed, first_currency};

/// What is at stake.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Stake {
    /// Money: one amount for each currency, that in which is counted first; least and most.
    pub money: Vec<Quantity>,
    /// The longest wait.
    pub wait: Option<Quantity>,
    /// The work on these places that is not done yet, added up.
    pub work: Option<Quantity>,
}

impl Stake {
    /// The money to rank by: the most that may be lost in the currency in which is counted, and then what is in
    /// other currencies without a stated rate, which can only be put after it.
    pub fn most(&self) -> (f64, f64) {
        let most = |it: Option<&Quantity>| it.map_or(0.0, Quantity::hi);
        (most(self.money.first()), self.money.iter().skip(1).map(Quantity::hi).sum())
    }
}

/// All that can be at stake in a conversion, looked up once.
pub struct Stakes {
    items: Vec<Item>,
    rates: Vec<Rate>,
    home: Code,
    tax: f64,
    waits: Vec<Awaited>,
    /// What is not done: the places that it is on, and how long it takes.
    works: Vec<(Vec<String>, Quantity)>,
}

impl Stakes {
    /// Of a world.
    pub fn of(ctx: &Ctx<'_>) -> Self {
        let items = bill(ctx);
        let budget = trunnion_check::bill::budget(ctx).and_then(|it| it.0.currency());
        let tax = match ctx.basis("tax") {
            known @ Known::Stated(_) => known.quantity().map_or(0.0, |it| it.nominal()),
            _ => 0.0,
        };
        let waits = awaited(ctx).into_iter().filter(|it| !it.here && told(ctx, &it.names).arrived.is_none());
        let open = works(ctx).into_iter().filter(|it| it.done.is_none());
        let works = open.filter_map(|it| {
            let on = it.work.on.iter().map(|on| on.head().to_string()).collect();
            Some((on, it.work.takes?))
        });
        Self {
            home: budget.or_else(|| first_currency(&items)).unwrap_or_default(),
            rates: agreed(rates(ctx), &mut Vec::new()),
            tax,
            waits: waits.collect(),
            works: works.collect(),
            items,
        }
    }

    /// What hangs on some places: what their new parts cost, the donors once each, the longest wait, and the work
    /// on them.
    pub fn on(&self, places: &[&Place]) -> Stake {
        let changed: Vec<&&Place> = places.iter().filter(|it| it.changed()).collect();
        let donors: Vec<Id> = changed.iter().filter_map(|it| it.donor()).collect();
        let mut till = Till::new(&self.rates, self.home);
        let mut money = Purse::default();
        for item in &self.items {
            let here = !item.place.is_empty() && changed.iter().any(|it| it.name == item.place);
            let sold = item.prices.iter().any(|it| it.stage == Stage::Sold);
            if !sold && (here || item.donor && donors.contains(&item.id)) {
                money.add(&till.item(item, self.tax));
            }
        }
        let named =
            |it: &&Awaited| it.names.get(1).is_some_and(|name| changed.iter().any(|it| it.name == *name));
        let waits = self.waits.iter().filter(named).filter_map(|it| it.wait);
        let wait = waits.max_by(|a, b| a.hi().total_cmp(&b.hi()));
        let on = self.works.iter().filter(|it| it.0.iter().any(|on| places.iter().any(|it| it.name == *on)));
        let work = on.map(|it| it.1).reduce(|sum, it| sum.add(&it).unwrap_or(sum));
        Stake { money: money.amounts(Some(self.home)), wait, work }
    }
}

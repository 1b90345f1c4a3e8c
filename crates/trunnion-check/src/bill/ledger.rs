//! What the job logs tell of money: ordered, paid, arrived, sold.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::decl::Event;
use trunnion_model::fact::{Found, Standing};
use trunnion_model::known::logs;
use trunnion_model::name::Id;

use super::{Item, Price, Stage};
use crate::ctx::Ctx;
use crate::purse::{Rate, exchanged, rates};

#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Ordered,
    Arrived,
    Paid,
    Sold,
}

/// A line of the log that tells of money or of a purchase.
pub(super) struct Cost {
    pub(super) what: String,
    pub(super) amount: Option<Quantity>,
    pub(super) kind: Kind,
    pub(super) found: Found,
    used: bool,
}

/// What the logs tell of money, and which lines of it were counted.
pub(super) struct Ledger {
    pub(super) all: Vec<Cost>,
    rates: Vec<Rate>,
}

impl Ledger {
    pub(super) fn read(ctx: &Ctx<'_>) -> Self {
        let mut all = Vec::new();
        let vehicles =
            std::iter::once(ctx.world.recipient.vehicle).chain(ctx.world.donors.iter().map(|it| it.vehicle));
        let mut seen: Vec<Id> = Vec::new();
        for vehicle in vehicles {
            for (id, log) in logs(ctx.db, ctx.workspace, ctx.world, vehicle) {
                if seen.contains(&id) {
                    continue;
                }
                seen.push(id);
                for entry in &log.entries {
                    let (what, amount, kind) = match &entry.event {
                        Event::Ordered { what, cost, .. } => (what, *cost, Kind::Ordered),
                        Event::Paid { what, cost } => (what, *cost, Kind::Paid),
                        Event::Sold { what, cost } => (what, *cost, Kind::Sold),
                        Event::Arrived { what } => (what, None, Kind::Arrived),
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
                    all.push(Cost { what: what.head().to_string(), amount, kind, found, used: false });
                }
            }
        }
        Self { all, rates: rates(ctx) }
    }

    /// Whether a line of the log tells that something of that name was ordered, paid or came.
    pub(super) fn speaks_of(&self, name: &str) -> bool {
        self.all.iter().any(|it| it.kind != Kind::Sold && it.what == name)
    }

    /// What something costs that goes by these names: what was ordered and paid as the log says, else
    /// as it is offered.
    pub(super) fn price(
        &mut self,
        ctx: &Ctx<'_>,
        of: Id,
        names: &[String],
        offered: impl FnOnce() -> Option<Price>,
    ) -> Option<Price> {
        let about = |it: &Cost| it.kind != Kind::Sold && names.iter().any(|n| !n.is_empty() && *n == it.what);
        let mine: Vec<&mut Cost> = self.all.iter_mut().filter(|it| about(it)).collect();
        let bound = !mine.is_empty();
        let (mut ordered, mut paid, mut found) = (Vec::new(), Vec::new(), Vec::new());
        for it in mine {
            it.used = true;
            match (it.kind, it.amount) {
                (Kind::Paid, Some(amount)) => paid.push(amount),
                (Kind::Ordered, Some(amount)) => ordered.push(amount),
                _ => continue,
            }
            found.push(it.found.clone());
        }
        match (ordered.is_empty(), paid.is_empty()) {
            (true, true) => {
                let mut price = offered()?;
                if bound && price.stage == Stage::Planned {
                    price.stage = Stage::Ordered;
                }
                Some(price)
            }
            (true, false) => Some(Price::settled(of, paid, Stage::Paid, found)),
            (false, true) => Some(Price::settled(of, ordered, Stage::Ordered, found)),
            (false, false) => match owes(&self.rates, &ordered, &paid) {
                Some(true) => {
                    let mut price = Price::settled(of, ordered, Stage::Ordered, found);
                    price.laid_down = paid;
                    Some(price)
                }
                owes => {
                    let mut price = Price::settled(of, paid, Stage::Paid, found);
                    if owes.is_none() {
                        let name = of.shown(ctx.db);
                        price.doubt = Some(format!(
                            "{name} was ordered in one currency and paid in another without a stated rate: nobody \
                             can tell whether all of it is paid"
                        ));
                    }
                    Some(price)
                }
            },
        }
    }

    /// What was bought or sold and is no part of the conversion's own list.
    pub(super) fn rest(mut self, ctx: &Ctx<'_>) -> Vec<Item> {
        let root = ctx.world.root();
        let mut items: Vec<Item> = Vec::new();
        let names: Vec<(String, Kind)> =
            self.all.iter().filter(|it| !it.used).map(|it| (it.what.clone(), it.kind)).collect();
        for (nth, (what, kind)) in names.iter().enumerate() {
            let earlier = names[..nth].iter().any(|it| it.0 == *what && it.1 != Kind::Sold);
            if *kind == Kind::Sold || earlier {
                continue;
            }
            let price = self.price(ctx, root, std::slice::from_ref(what), || None);
            items.extend(price.map(|it| Item::bare(what.replace('_', " "), root, it)));
        }
        for cost in self.all.iter().filter(|it| it.kind == Kind::Sold) {
            let Some(amount) = cost.amount.and_then(|it| it.neg().ok()) else { continue };
            let price = Price::settled(root, vec![amount], Stage::Sold, vec![cost.found.clone()]);
            items.push(Item::bare(format!("{}, sold", cost.what.replace('_', " ")), root, price));
        }
        items
    }
}

/// Whether less was paid than was ordered for; none where their currencies have no stated rate.
fn owes(rates: &[Rate], ordered: &[Quantity], paid: &[Quantity]) -> Option<bool> {
    let home = ordered.first()?.currency()?;
    let sum = |all: &[Quantity], most: bool| -> Option<f64> {
        let each = all.iter().map(|it| exchanged(rates, it, home));
        each.map(|it| it.map(|it| if most { it.1 } else { it.0 })).sum()
    };
    // A cent is no debt, and neither is what the rate leaves open.
    Some(sum(ordered, false)? - sum(paid, true)? > 0.005)
}

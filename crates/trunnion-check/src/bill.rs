//! What a conversion costs: each thing that is bought, by offer or by what the log says was paid.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::built::vehicle;
use trunnion_model::db::Site;
use trunnion_model::decl::{Body, Offer};
use trunnion_model::fact::Found;
use trunnion_model::known;
use trunnion_model::name::Id;
use trunnion_model::world::conversion;

use crate::checks::stock_missing::wanted;
use crate::ctx::Ctx;
use crate::works::{renewed, works};

mod ledger;

use ledger::{Kind, Ledger};

pub use crate::purse::{Rate, disputed, exchanged, rates};

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
    /// The candidates that have none.
    pub silent: Vec<Id>,
    /// The declaration in which an offer is to be stated.
    pub id: Id,
    /// The place that it goes into, where it goes into one.
    pub place: String,
}

/// How far a purchase is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Stage {
    /// Nobody has ordered it.
    Planned,
    /// It lies on the own shelf.
    Here,
    /// It is ordered, and not yet paid in full.
    Ordered,
    /// It is paid.
    Paid,
    /// It was sold: money that came in.
    Sold,
}

impl Stage {
    /// In a word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Planned => "planned",
            Self::Here => "here",
            Self::Ordered => "ordered",
            Self::Paid => "paid",
            Self::Sold => "sold",
        }
    }
}

/// What one candidate costs.
#[derive(Clone)]
pub struct Price {
    /// Which candidate.
    pub of: Id,
    /// The amounts: price, freight; negative where something was sold.
    pub amounts: Vec<Quantity>,
    /// The freight among them.
    pub freight: Option<Quantity>,
    /// Whether tax is in it: what was paid or ordered, a donor's price.
    pub paid: bool,
    /// How far it is.
    pub stage: Stage,
    /// What was paid of it so far.
    pub laid_down: Vec<Quantity>,
    /// What is laid out and comes back.
    pub deposit: Option<Quantity>,
    /// What cannot be told of it: paid in one currency, ordered in another.
    pub doubt: Option<String>,
    /// What it rests on.
    pub found: Vec<Found>,
}

impl Price {
    fn settled(of: Id, amounts: Vec<Quantity>, stage: Stage, found: Vec<Found>) -> Self {
        let laid_down = if stage == Stage::Ordered { Vec::new() } else { amounts.clone() };
        Self { of, amounts, freight: None, paid: true, stage, laid_down, deposit: None, doubt: None, found }
    }
}

/// One of the parts that may go into a place, and what it costs.
struct Candidate {
    price: Option<Price>,
    id: Id,
    /// Whether the log names it by its own name: it is the one that was taken.
    taken: bool,
}

/// Everything that is bought or was sold.
pub fn bill(ctx: &Ctx<'_>) -> Vec<Item> {
    let mut log = Ledger::read(ctx);
    let mut items = donors(ctx, &mut log);
    let first = items.len();
    let mut candidates: Vec<Vec<Candidate>> = Vec::new();
    for it in wanted(ctx) {
        let part = it.part;
        let own = part.name(ctx.db).to_string();
        let offer = ctx.part(part).and_then(|it| it.offer.as_ref());
        let price =
            log.price(ctx, part, &[own.clone(), it.place.clone()], || offered(ctx, part, offer, it.count));
        let candidate = Candidate { price, id: part, taken: log.speaks_of(&own) };
        let same = items[first..].iter().position(|item| !item.place.is_empty() && item.place == it.place);
        match same {
            Some(at) => {
                candidates[at].push(candidate);
                items[first + at].shown = format!("the {}", it.place.replace('_', " "));
            }
            None => {
                candidates.push(vec![candidate]);
                items.push(Item::of(it.shown, part, it.place));
            }
        }
    }
    for (item, candidates) in items[first..].iter_mut().zip(candidates) {
        item.choose(candidates);
    }
    let renewed: Vec<String> = renewed(ctx).into_iter().map(|it| it.0).collect();
    for job in works(ctx) {
        let price = log.price(ctx, job.id, std::slice::from_ref(&job.name), || {
            offered(ctx, job.id, job.work.offer.as_ref(), 1)
        });
        let unpriced = price.is_none() && job.work.service && renewed.contains(&job.name);
        if price.is_some() || unpriced {
            let mut item = Item::of(job.shown(ctx), job.id, String::new());
            item.choose(vec![Candidate { price, id: job.id, taken: false }]);
            items.push(item);
        }
    }
    items.extend(log.rest(ctx));
    items
}

impl Item {
    fn of(shown: String, id: Id, place: String) -> Self {
        Self { shown, donor: false, prices: Vec::new(), unpriced: false, silent: Vec::new(), id, place }
    }

    fn bare(shown: String, id: Id, price: Price) -> Self {
        Self { prices: vec![price], ..Self::of(shown, id, String::new()) }
    }

    /// Takes the candidates over; where the log tells which was bought, the others no longer are. Who
    /// bought two of them paid for both.
    fn choose(&mut self, mut candidates: Vec<Candidate>) {
        let several = candidates.len() > 1;
        if several && candidates.iter().any(|it| it.taken) {
            candidates.retain(|it| it.taken);
        }
        let both = several && candidates.len() > 1 && candidates.iter().all(|it| it.taken);
        for it in candidates {
            match (it.price, self.prices.first_mut().filter(|_| both)) {
                (Some(price), Some(first)) => {
                    first.amounts.extend(price.amounts);
                    first.laid_down.extend(price.laid_down);
                    first.found.extend(price.found);
                    first.stage = first.stage.min(price.stage);
                }
                (Some(price), None) => self.prices.push(price),
                (None, _) => self.silent.push(it.id),
            }
        }
        self.unpriced = !self.silent.is_empty();
    }
}

/// The donors: what the log says was paid or agreed, else the price that is stated.
fn donors(ctx: &Ctx<'_>, log: &mut Ledger) -> Vec<Item> {
    let mut items: Vec<Item> = Vec::new();
    for donor in &ctx.world.donors {
        let id = donor.vehicle;
        if items.iter().any(|it| it.id == id) {
            continue;
        }
        let price = log.price(ctx, id, &[id.name(ctx.db).to_string()], || {
            let amount = vehicle(ctx.db, id)?.price?;
            let at = id.name_site(ctx.db).span;
            let found = known::said(ctx.db, ctx.workspace, id, &Default::default(), at);
            let mut price = Price::settled(id, vec![amount], Stage::Planned, vec![found]);
            price.laid_down.clear();
            Some(price)
        });
        let mut item = Item::of(id.shown(ctx.db), id, String::new());
        item.donor = true;
        item.choose(vec![Candidate { price, id, taken: false }]);
        items.push(item);
    }
    items
}

/// The price of an offer, with freight; on the own shelf nothing is paid any more.
pub fn offered(ctx: &Ctx<'_>, id: Id, offer: Option<&Offer>, count: u32) -> Option<Price> {
    let offer = offer?;
    let found = known::said(ctx.db, ctx.workspace, id, &offer.claim, offer.span);
    if offer.price.is_none() && offer.stock.is_some_and(|it| it >= count) {
        let found = known::said(ctx.db, ctx.workspace, id, &Default::default(), id.name_site(ctx.db).span);
        return Some(Price::settled(id, Vec::new(), Stage::Here, vec![found]));
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
    let (stage, laid_down) = (Stage::Planned, Vec::new());
    Some(Price { of: id, amounts, freight, paid: false, stage, laid_down, deposit, doubt: None, found })
}

/// Something that was sold, as the log says.
pub struct Sale {
    /// The name in the log: of a part, or of the place that it came out of.
    pub what: String,
    /// What it fetched, where that is said.
    pub amount: Option<Quantity>,
    /// The line of the log.
    pub found: Found,
}

/// Everything that the logs of recipient and donors say was sold.
pub fn sold(ctx: &Ctx<'_>) -> Vec<Sale> {
    let log = Ledger::read(ctx);
    let of_kind = log.all.into_iter().filter(|it| it.kind == Kind::Sold);
    of_kind.map(|it| Sale { what: it.what, amount: it.amount, found: it.found }).collect()
}

/// The budget, and where it stands: that of the way where it has one.
pub fn budget(ctx: &Ctx<'_>) -> Option<(Quantity, Site)> {
    let id = ctx.world.conversion?;
    let decl = conversion(ctx.db, id)?;
    let way = decl.ways.iter().find(|it| Some(&it.name.value) == ctx.world.way.as_ref());
    let stated = way.and_then(|it| it.body.budget.as_ref()).or(decl.budget.as_ref())?;
    Some((stated.value, id.site(stated.span)))
}

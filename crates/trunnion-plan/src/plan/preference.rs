//! What a pick costs in each respect, and which counts first.

use trunnion_check::bill::{budget, offered};
use trunnion_check::ctx::Ctx;
use trunnion_check::purse::{Code, Purse, Till, rates};
use trunnion_model::built::{part, scope_of};
use trunnion_model::decl::Body;
use trunnion_model::known;
use trunnion_model::name::{Id, Space};

use crate::money::tax;
use crate::picks::Measure;
use crate::plan::candidates::{Candidate, Open};

/// What may be preferred, in the order that holds where nothing else is said.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Respect {
    /// What is paid for parts.
    Cost,
    /// How long the last of them takes to come.
    Wait,
    /// What the parts that are put in weigh.
    Mass,
    /// The work on places that would else be left alone.
    Effort,
}

impl Respect {
    /// All of them, in the usual order.
    pub const ALL: [Self; 4] = [Self::Cost, Self::Wait, Self::Mass, Self::Effort];

    /// As written: `cost`, `wait`, `mass`, `effort`.
    pub fn word(self) -> &'static str {
        match self {
            Self::Cost => "cost",
            Self::Wait => "wait",
            Self::Mass => "mass",
            Self::Effort => "effort",
        }
    }

    /// Reads it.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|it| it.word() == word)
    }

    /// The columns: how many do not say, and the figure.
    fn columns(self) -> (usize, usize) {
        let at = 2 * self as usize;
        (at, at + 1)
    }
}

/// The column of what is changed at all, and of what is put in though nobody knows which part it is.
const CHANGES: usize = 8;
const UNSEEN: usize = 9;

/// How the columns come together: for each respect how many do not say, then the figure; then the
/// changes, and what nobody has seen.
pub const COLUMNS: [Measure; 10] = [
    Measure::Sum,
    Measure::Sum,
    Measure::Sum,
    Measure::Sum,
    Measure::Longest,
    Measure::Sum,
    Measure::Sum,
    Measure::Sum,
    Measure::Sum,
    Measure::Sum,
];

/// What counts.
#[derive(Clone, Debug, PartialEq)]
pub enum Preference {
    /// One respect after the other; those not named follow in the usual order.
    Order(Vec<Respect>),
    /// So much for each unit of the budget's currency, day, kilogram and hour, added up.
    Weights([f64; 4]),
}

impl Default for Preference {
    fn default() -> Self {
        Self::Order(Respect::ALL.to_vec())
    }
}

impl Preference {
    /// Reads `cost, wait` or `cost=1, wait=20, effort=15`.
    ///
    /// # Errors
    /// A sentence that says what cannot be read.
    pub fn read(text: &str) -> Result<Self, String> {
        let known = || Respect::ALL.map(Respect::word).join(", ");
        let words: Vec<&str> = text.split([',', ' ']).filter(|it| !it.is_empty()).collect();
        let respect = |word: &str| Respect::from_word(word).ok_or(format!("`{word}` is none of {}", known()));
        if !words.iter().any(|it| it.contains('=')) {
            let order: Vec<Respect> = words.into_iter().map(respect).collect::<Result<_, _>>()?;
            if order.is_empty() {
                return Err(format!("nothing is preferred: name some of {}", known()));
            }
            return Ok(Self::Order(order));
        }
        let mut weights = [0.0; 4];
        for word in words {
            let (name, weight) = word.split_once('=').ok_or(format!("`{word}` has no weight"))?;
            let number: f64 = weight.parse().map_err(|_| format!("`{weight}` is no number"))?;
            if !(0.0..=1e6).contains(&number) {
                return Err(format!("a weight is 0 to 1000000, not {weight}"));
            }
            weights[respect(name)? as usize] = number;
        }
        if weights.iter().all(|it| *it == 0.0) {
            return Err("all weights are 0".to_owned());
        }
        Ok(Self::Weights(weights))
    }

    /// In words, for the plan.
    pub fn shown(&self) -> String {
        match self {
            Self::Order(_) => {
                let words: Vec<&str> = self.order().into_iter().map(Respect::word).collect();
                words.join(", then ")
            }
            Self::Weights(weights) => {
                let units = ["for each unit of money", "a day", "a kilogram", "an hour"];
                let each = Respect::ALL.into_iter().zip(weights).zip(units);
                let said = each.filter(|it| *it.0.1 > 0.0);
                said.map(|((it, weight), unit)| format!("{} {weight} {unit}", it.word()))
                    .collect::<Vec<_>>()
                    .join(" + ")
            }
        }
    }

    /// The respects in the order in which they count.
    fn order(&self) -> Vec<Respect> {
        let Self::Order(first) = self else { return Respect::ALL.to_vec() };
        let mut order: Vec<Respect> = Vec::new();
        for it in first.iter().chain(&Respect::ALL) {
            if !order.contains(it) {
                order.push(*it);
            }
        }
        order
    }

    /// The levels of the search: what is known goes before what nobody has seen, what is unknown never counts
    /// as less than what is known, and of what is equal in all respects the one that changes least is best.
    pub fn levels(&self) -> Vec<Vec<(usize, u64)>> {
        let mut levels: Vec<Vec<(usize, u64)>> = vec![vec![(UNSEEN, 1)]];
        match self {
            Self::Order(_) => {
                for it in self.order() {
                    let (unknown, figure) = it.columns();
                    levels.push(vec![(unknown, 1)]);
                    levels.push(vec![(figure, 1)]);
                }
            }
            Self::Weights(weights) => {
                // The figures are cents, minutes, grams and minutes; one scale brings them together.
                const SCALE: [f64; 4] = [720.0, 50.0, 72.0, 1200.0];
                let each = || Respect::ALL.into_iter().zip(weights).zip(SCALE).filter(|it| *it.0.1 > 0.0);
                levels.push(each().map(|((it, _), _)| (it.columns().0, 1)).collect());
                levels.push(
                    each()
                        .map(|((it, weight), scale)| {
                            (it.columns().1, (weight * scale).round().max(1.0) as u64)
                        })
                        .collect(),
                );
            }
        }
        levels.push(vec![(CHANGES, 1)]);
        levels
    }
}

/// What a candidate means in each respect; none where nobody said.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct Figures {
    /// At least and at most, in cents of the plan's currency.
    pub cost: Option<(u64, u64)>,
    /// In minutes.
    pub wait: Option<u64>,
    /// In grams.
    pub mass: Option<u64>,
    /// In minutes of work.
    pub effort: u64,
    /// Whether anything changes.
    pub changes: bool,
    /// Whether nobody knows which part it is.
    pub unseen: bool,
}

impl Figures {
    /// As the search counts them.
    pub fn columns(&self) -> Vec<u64> {
        let (cost, wait, mass) = (self.cost.map(|it| it.1), self.wait, self.mass);
        let unknown = |it: Option<u64>| u64::from(it.is_none());
        vec![
            unknown(cost),
            cost.unwrap_or(0),
            unknown(wait),
            wait.unwrap_or(0),
            unknown(mass),
            mass.unwrap_or(0),
            0,
            self.effort,
            u64::from(self.changes),
            u64::from(self.unseen),
        ]
    }
}

/// The currency in which a plan counts: the budget's, else that of the first offer in order of name.
pub fn currency(ctx: &Ctx<'_>) -> [u8; 3] {
    let budget = budget(ctx).and_then(|it| it.0.currency());
    let offers = || {
        let scope = scope_of(ctx.db, ctx.workspace, ctx.world.root());
        scope.every().into_iter().find_map(|it| part(ctx.db, it)?.offer.as_ref()?.price?.currency())
    };
    budget.or_else(offers).unwrap_or(*b"EUR")
}

/// What each candidate of a place means in a world in which the place is left alone.
pub fn figures(ctx: &Ctx<'_>, open: &Open, currency: [u8; 3]) -> Vec<Figures> {
    let effort = effort(ctx, &open.place);
    let (rates, (tax, _)) = (rates(ctx), tax(ctx, &mut Vec::new()));
    let mut till = Till::new(&rates, currency);
    let one = |candidate: &Candidate| {
        // What stays costs nothing. A donor is paid for as a whole: what is taken from it costs and waits no
        // more.
        let mut figures = Figures { cost: Some((0, 0)), wait: Some(0), mass: Some(0), ..Figures::default() };
        if matches!(candidate, Candidate::AsIs(_)) {
            return figures;
        }
        if let Candidate::Bought(id) = candidate {
            let offer = part(ctx.db, *id).and_then(|it| it.offer.as_ref());
            let price = offered(ctx, *id, offer, open.count);
            figures.cost = price.and_then(|it| cents(&till.price(&it, tax), currency));
            figures.wait = wait(ctx, *id, open.count);
        }
        let mass = candidate.part().and_then(|it| mass(ctx, it));
        figures.mass = mass.map(|it| it * u64::from(open.count));
        figures.effort = effort;
        figures.changes = true;
        figures.unseen = candidate.part().is_none();
        figures
    };
    open.candidates.iter().map(one).collect()
}

/// A sum in cents, at least and at most; none where some of it is in a currency without a rate.
fn cents(sum: &Purse, currency: Code) -> Option<(u64, u64)> {
    let cents = |it: f64| (it * 100.0).round().max(0.0) as u64;
    let (least, most) = sum.in_currency(currency);
    sum.others(currency).is_empty().then(|| (cents(least), cents(most)))
}

fn wait(ctx: &Ctx<'_>, id: Id, count: u32) -> Option<u64> {
    let offer = part(ctx.db, id)?.offer.as_ref()?;
    let shelf = offer.price.is_none() && offer.stock.is_some_and(|it| it >= count);
    match offer.wait {
        Some(it) => Some(it.in_unit("min")?.max(0.0).round() as u64),
        None => shelf.then_some(0),
    }
}

fn mass(ctx: &Ctx<'_>, id: Id) -> Option<u64> {
    let facts = &part(ctx.db, id)?.facts;
    let fact = facts.iter().find(|it| it.target.is_empty() && it.name.value == "mass")?;
    let said = known::as_found(ctx.db, ctx.workspace, id, fact);
    Some((said.quantity()?.in_unit("kg")? * 1000.0).max(0.0).round() as u64)
}

/// The stated work on a place.
fn effort(ctx: &Ctx<'_>, place: &str) -> u64 {
    let scope = scope_of(ctx.db, ctx.workspace, ctx.world.root());
    let mut minutes = 0.0;
    for (_, id) in scope.each(Space::Work) {
        let Some(Body::Work(work)) = id.decl(ctx.db).map(|it| &it.body) else { continue };
        if !work.service && work.on.iter().any(|it| it.head() == place) {
            minutes += work.takes.and_then(|it| it.in_unit("min")).unwrap_or(0.0);
        }
    }
    minutes.max(0.0).round() as u64
}

//! What is at stake in some places: money, waiting time, work.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::built::{part, scope_of, vehicle};
use trunnion_model::db::{Db, Workspace};
use trunnion_model::decl::Body;
use trunnion_model::name::Id;
use trunnion_model::world::{Place, World};

/// What is at stake.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Stake {
    /// Money, one sum for each currency, in the order in which they are met.
    pub money: Vec<Quantity>,
    /// The longest wait.
    pub wait: Option<Quantity>,
    /// The work on these places, added up.
    pub work: Option<Quantity>,
}

impl Stake {
    /// Adds money; sums in different currencies stay apart.
    pub fn pay(&mut self, price: Quantity) {
        match self.money.iter_mut().find(|it| it.currency() == price.currency()) {
            Some(sum) => *sum = sum.add(&price).unwrap_or(*sum),
            None => self.money.push(price),
        }
    }

    /// The money as one figure to rank by: sums in different currencies are not compared but added as
    /// they are, which only decides the order of rows that differ in currency.
    pub fn weight(&self) -> f64 {
        self.money.iter().map(Quantity::nominal).sum()
    }
}

/// What hangs on some places of a world: what their new parts cost, the donors' prices once each, the
/// longest wait, and the work on them.
pub fn stake(db: &dyn Db, workspace: Workspace, world: &World, places: &[&Place]) -> Stake {
    let mut stake = Stake::default();
    let mut donors: Vec<Id> = Vec::new();
    for place in places.iter().filter(|it| it.changed()) {
        if let Some(donor) = place.donor() {
            if !donors.contains(&donor) {
                donors.push(donor);
                stake.money_of_donor(db, donor);
            }
            continue;
        }
        if let Some(id) = place.after.parts().first() {
            // Of several parts that may sit here one will be bought: the first stands for it.
            let offer = part(db, *id).and_then(|it| it.offer.as_ref());
            if let Some(price) = offer.and_then(|it| it.price) {
                stake.pay(price);
            }
            if let Some(wait) = offer.and_then(|it| it.wait)
                && stake.wait.is_none_or(|it| wait.hi() > it.hi())
            {
                stake.wait = Some(wait);
            }
        }
    }
    let scope = scope_of(db, workspace, world.root());
    for id in scope.every() {
        let Some(Body::Work(work)) = id.decl(db).map(|it| &it.body) else { continue };
        let on = work.on.iter().any(|on| places.iter().any(|it| it.name == *on.head()));
        if let (true, Some(takes)) = (on, work.takes) {
            stake.work = Some(stake.work.map_or(takes, |it| it.add(&takes).unwrap_or(it)));
        }
    }
    stake
}

impl Stake {
    fn money_of_donor(&mut self, db: &dyn Db, donor: Id) {
        if let Some(price) = vehicle(db, donor).and_then(|it| it.price) {
            self.pay(price);
        }
    }
}

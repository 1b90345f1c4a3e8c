//! All nets over one network: their trees under what each is forbidden, and what the runs carry.

use std::collections::BTreeMap;
use std::rc::Rc;

use super::ground::{Ground, Halt, Laid, NEVER, Prices};
use super::network::{Net, Network};
use super::tree;

/// What the smallest tree counts for in steps.
const LEAST: u64 = 1000;

/// The runs that nets may not use, by net; each list is sorted. A net that is not listed has its own.
pub(super) type Bans = BTreeMap<usize, Vec<usize>>;

/// The nets, with the trees that are already known.
pub(super) struct Field<'a> {
    pub network: &'a Network,
    pub nets: &'a [Net],
    pub go_on: &'a dyn Fn() -> bool,
    grounds: Vec<Ground>,
    /// For each net, the runs that it alone is too thick for.
    narrow: Vec<Vec<usize>>,
    known: BTreeMap<(usize, Vec<usize>), Option<Rc<Laid>>>,
    /// Steps of the exact method so far: about sixty million a second in a fast build.
    pub work: u64,
}

impl<'a> Field<'a> {
    /// The field, or the first net with a piece that has no tap in the network.
    pub fn of(
        network: &'a Network,
        nets: &'a [Net],
        go_on: &'a dyn Fn() -> bool,
    ) -> Result<Field<'a>, usize> {
        let mut grounds = Vec::with_capacity(nets.len());
        for (nth, net) in nets.iter().enumerate() {
            grounds.push(Ground::of(network, net).ok_or(nth)?);
        }
        let thin = |net: &Net| {
            let thin = |run: usize| network.runs[run].room.is_some_and(|room| room < net.area);
            (0..network.runs.len()).filter(|it| thin(*it)).collect()
        };
        let narrow = nets.iter().map(thin).collect();
        Ok(Field { network, nets, go_on, grounds, narrow, known: BTreeMap::new(), work: 0 })
    }

    /// Whether to go on.
    pub fn going(&self) -> Result<(), Halt> {
        if (self.go_on)() { Ok(()) } else { Err(Halt) }
    }

    /// What a net may not use: what it is forbidden, else what it is too thick for.
    pub fn bans<'b>(&'b self, bans: &'b Bans, net: usize) -> &'b [usize] {
        bans.get(&net).unwrap_or(&self.narrow[net])
    }

    /// The same with one run more.
    pub fn with(&self, bans: &Bans, net: usize, run: usize) -> Vec<usize> {
        let mut list = self.bans(bans, net).to_vec();
        if let Err(at) = list.binary_search(&run) {
            list.insert(at, run);
        }
        list
    }

    /// The tree of a net that is forbidden some runs, at some toll for each run and unit of area.
    pub fn priced(
        &mut self,
        net: usize,
        banned: &[usize],
        scale: u64,
        toll: impl Fn(usize) -> u64,
    ) -> Result<Option<Laid>, Halt> {
        self.going()?;
        let area = self.nets[net].area;
        let cost = |(nth, run): (usize, &super::network::Run)| match banned.binary_search(&nth) {
            Ok(_) => NEVER,
            Err(_) => run.effort.saturating_mul(scale).saturating_add(toll(nth).saturating_mul(area)),
        };
        let prices = Prices { runs: self.network.runs.iter().enumerate().map(cost).collect(), scale };
        self.work = self.work.saturating_add(tree::steps(&self.grounds[net]).max(LEAST));
        tree::lay(&self.grounds[net], &prices, self.go_on)
    }

    /// The tree of least effort of a net that is forbidden some runs; none if there is no way.
    pub fn tree(&mut self, net: usize, banned: &[usize]) -> Result<Option<Rc<Laid>>, Halt> {
        let key = (net, banned.to_vec());
        if let Some(known) = self.known.get(&key) {
            return Ok(known.clone());
        }
        let found = self.priced(net, banned, 1, |_| 0)?.map(Rc::new);
        self.known.insert(key, found.clone());
        Ok(found)
    }

    /// The trees of these nets, each by itself; none if one has no way.
    pub fn trees(&mut self, active: &[usize], bans: &Bans) -> Result<Option<Vec<Rc<Laid>>>, Halt> {
        let mut trees = Vec::with_capacity(active.len());
        for net in active {
            let banned = self.bans(bans, *net).to_vec();
            let Some(tree) = self.tree(*net, &banned)? else { return Ok(None) };
            trees.push(tree);
        }
        Ok(Some(trees))
    }

    /// The cross-section that each run carries.
    pub fn carried(&self, active: &[usize], trees: &[Rc<Laid>]) -> Vec<u64> {
        let mut carried = vec![0u64; self.network.runs.len()];
        for (net, tree) in active.iter().zip(trees) {
            for run in &tree.runs {
                carried[*run] = carried[*run].saturating_add(self.nets[*net].area);
            }
        }
        carried
    }

    /// By how much a run is too full.
    pub fn excess(&self, run: usize, carried: u64) -> u64 {
        self.network.runs[run].room.map_or(0, |room| carried.saturating_sub(room))
    }

    /// The runs that carry too much, in order.
    pub fn overfull(&self, carried: &[u64]) -> Vec<usize> {
        (0..carried.len()).filter(|it| self.excess(*it, carried[*it]) > 0).collect()
    }
}

/// The sum of the efforts.
pub(super) fn effort(trees: &[Rc<Laid>]) -> u64 {
    trees.iter().fold(0, |sum, it| sum.saturating_add(it.effort))
}

/// The sum of the bounds.
pub(super) fn bound(trees: &[Rc<Laid>]) -> u64 {
    trees.iter().fold(0, |sum, it| sum.saturating_add(it.bound))
}

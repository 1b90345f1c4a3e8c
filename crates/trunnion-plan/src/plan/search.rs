//! The best picks: a solver proposes, the checks judge, and what clashes is remembered with only those
//! picks that it needs, until a proposal is left with nothing to be said against it.

use std::collections::{BTreeMap, BTreeSet};

use trunnion_check::bill;
use trunnion_check::ctx::{Ctx, trimmed};
use trunnion_check::purse::{Till, code, rates};
use trunnion_model::db::Site;
use trunnion_model::name::Id;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::World;
use trunnion_syntax::tree::Span;

use crate::money::tax;
use crate::picks::{Candidate as Figured, Limit, Outcome as Solved, Problem, Solution, solve};
use crate::plan::candidates::{Candidate, Open};
use crate::plan::preference::{COLUMNS, Figures, Preference};
use crate::plan::trial::{Assignment, Rests, SHIFTS, Trial, is_same};

/// The most proposals that are judged before the search gives up, and says so.
const MOST_ROUNDS: usize = 400;

/// Fewer clashes of one check than these are learnt from one by one.
const FEW: usize = 5;

/// What cannot all be picked, and why.
#[derive(Clone, Debug)]
pub struct Never {
    /// Open places and their candidates; empty: whatever is picked.
    pub picks: Vec<(usize, usize)>,
    /// The statements it rests on.
    pub grounds: Vec<Site>,
    /// The clash, as it was first met.
    pub clash: Verdict,
    /// What is said of it, whatever else is picked.
    pub sentence: String,
}

/// What was learnt so far, and what is asked for.
pub struct Search {
    /// What each candidate of each open place means.
    pub figures: Vec<Vec<Figures>>,
    /// What counts.
    pub preference: Preference,
    /// What cannot all be picked.
    pub never: Vec<Never>,
    /// Limits of money and stock.
    pub limits: Vec<Limited>,
    /// The code of the currency that the figures count in.
    pub currency: String,
}

/// A limit with the statements it rests on.
#[derive(Clone, Debug)]
pub struct Limited {
    /// What is used up, and how much there is.
    pub limit: Limit,
    /// The statements it rests on.
    pub grounds: Vec<Site>,
    /// In words: "the budget is 2600 EUR, of which …".
    pub said: String,
}

/// How a search ended.
pub enum Found {
    /// The best picks.
    Best(Solution),
    /// There are none.
    Impossible,
    /// It was stopped.
    Stopped,
    /// It gave up: too many proposals clashed.
    GaveUp,
}

/// Whether what a check says is for the picks to settle: what is left of wires, software, order and money is
/// worked out after them.
fn counts(check: &str) -> bool {
    const LATER: [&str; 7] = ["plug/cavity", "wire/", "state/", "loose/", "setup/", "work/", "stock/budget"];
    !LATER.iter().any(|it| check.starts_with(it))
}

impl Search {
    /// The problem as the solver sees it, with more that is not allowed.
    pub fn problem(&self, more: &[Vec<(usize, usize)>]) -> Problem {
        let picks = self.figures.iter();
        Problem {
            picks: picks
                .map(|all| all.iter().map(|it| Figured { figures: it.columns() }).collect())
                .collect(),
            columns: COLUMNS.to_vec(),
            levels: self.preference.levels(),
            never: self.never.iter().map(|it| it.picks.clone()).chain(more.iter().cloned()).collect(),
            limits: self.limits.iter().map(|it| it.limit.clone()).collect(),
        }
    }

    /// The best picks against which no check has anything to say, besides what is not allowed.
    pub fn best(
        &mut self,
        trial: &mut Trial<'_>,
        more: &[Vec<(usize, usize)>],
        go_on: &dyn Fn() -> bool,
    ) -> Found {
        for _ in 0..MOST_ROUNDS {
            if !go_on() {
                return Found::Stopped;
            }
            let solution = match solve(&self.problem(more), go_on) {
                Solved::Best(it) => it,
                Solved::Impossible => return Found::Impossible,
                Solved::Stopped => return Found::Stopped,
            };
            trial.put(&solution.picked, &[]);
            let Some(world) = trial.world() else { return Found::Stopped };
            let clashes = trial.clashes(&world, counts);
            if clashes.is_empty() {
                return Found::Best(solution);
            }
            let mut by_check: BTreeMap<&str, Vec<Verdict>> = BTreeMap::new();
            for clash in clashes {
                by_check.entry(clash.check).or_default().push(clash);
            }
            for alike in by_check.into_values() {
                if !go_on() {
                    return Found::Stopped;
                }
                self.learn(trial, &world, &solution.picked, alike);
            }
        }
        Found::GaveUp
    }

    /// Remembers clashes of one check, each with only those picks that it needs.
    fn learn(&mut self, trial: &Trial<'_>, world: &World, assignment: &Assignment, clashes: Vec<Verdict>) {
        let fixed: BTreeSet<usize> = (0..trial.opens.len()).filter(|it| trial.opens[*it].is_option).collect();
        let named = |it: &Verdict| trial.named(it, assignment).union(&fixed).copied().collect();
        let mut kept: Vec<BTreeSet<usize>> = clashes.iter().map(named).collect();
        let mut rests = together(trial, world, assignment, &clashes, &kept, &[SHIFTS]);
        for (nth, clash) in clashes.iter().enumerate().filter(|it| rests[it.0].is_none()).collect::<Vec<_>>()
        {
            let persists = |kept: &BTreeSet<usize>| trial.persists(world, clash, assignment, kept);
            grow(trial.opens.len(), &persists, &mut kept[nth]);
            rests[nth] = persists(&kept[nth]);
        }
        // Each is tried without its first pick, then each without its second, and so on.
        let picks: Vec<Vec<usize>> = kept.iter().map(|it| it.difference(&fixed).copied().collect()).collect();
        for at in 0..picks.iter().map(Vec::len).max().unwrap_or(0) {
            let without = |(kept, picks): (&BTreeSet<usize>, &Vec<usize>)| {
                let gone = picks.get(at);
                kept.iter().filter(|it| Some(*it) != gone).copied().collect()
            };
            let fewer: Vec<BTreeSet<usize>> = kept.iter().zip(&picks).map(without).collect();
            let found = together(trial, world, assignment, &clashes, &fewer, &[SHIFTS]);
            for (nth, it) in found.into_iter().enumerate().filter(|it| it.1.is_some()) {
                kept[nth].clone_from(&fewer[nth]);
                rests[nth] = it;
            }
        }
        // Nothing known there is one trial; other candidates there are another.
        let rounds: Vec<usize> = (0..SHIFTS).collect();
        let shifted = together(trial, world, assignment, &clashes, &kept, &rounds);
        for (rests, shifted) in rests.iter_mut().zip(shifted) {
            *rests = rests.take().filter(|_| shifted.is_some());
        }
        grown(trial, world, assignment, &clashes, &mut kept, &mut rests);
        for ((clash, kept), rests) in clashes.into_iter().zip(kept).zip(rests) {
            let Rests { grounds, sentence } = rests.unwrap_or_default();
            let picks: Vec<(usize, usize)> = kept.iter().map(|it| (*it, assignment[*it])).collect();
            if !self.never.iter().any(|it| it.picks == picks && it.grounds == grounds) {
                self.never.push(Never { picks, grounds, clash, sentence });
            }
        }
    }
}

/// Adds to the places that are kept for those clashes that do not stay without more.
fn grown(
    trial: &Trial<'_>,
    world: &World,
    assignment: &Assignment,
    clashes: &[Verdict],
    kept: &mut [BTreeSet<usize>],
    rests: &mut [Option<Rests>],
) {
    for (nth, clash) in clashes.iter().enumerate() {
        if rests[nth].is_none() {
            let persists = |kept: &BTreeSet<usize>| trial.persists(world, clash, assignment, kept);
            grow(trial.opens.len(), &persists, &mut kept[nth]);
            rests[nth] = persists(&kept[nth]);
        }
    }
}

/// For each of several clashes of one check whether it stays with the places that are kept for it, and on
/// what it then rests. A few are tried one by one. Many are tried in halves, once for each binary digit of
/// their numbers: any two are then in different halves at least once, so that each is tried without what is
/// kept for any other.
fn together(
    trial: &Trial<'_>,
    world: &World,
    assignment: &Assignment,
    clashes: &[Verdict],
    kept: &[BTreeSet<usize>],
    rounds: &[usize],
) -> Vec<Option<Rests>> {
    if clashes.len() < FEW {
        let each = clashes.iter().zip(kept);
        return each.map(|(clash, kept)| trial.stays(world, clash, assignment, kept, rounds)).collect();
    }
    let mut stays: Vec<Option<Option<Verdict>>> = vec![None; clashes.len()];
    for digit in 0..usize::BITS - (clashes.len() - 1).leading_zeros() {
        for half in [0, 1] {
            let of_half: Vec<usize> = (0..clashes.len()).filter(|it| it >> digit & 1 == half).collect();
            let all: BTreeSet<usize> = of_half.iter().flat_map(|it| &kept[*it]).copied().collect();
            for round in rounds {
                let said = trial.said(world, assignment, &all, *round, clashes[0].check);
                for nth in &of_half {
                    let found = said.iter().find(|it| is_same(it, &clashes[*nth]));
                    match (&stays[*nth], found) {
                        (Some(None), _) => {}
                        (_, None) => stays[*nth] = Some(None),
                        (_, Some(it)) => stays[*nth] = Some(Some(it.clone())),
                    }
                }
            }
        }
    }
    let rest = |(stays, kept): (Option<Option<Verdict>>, &BTreeSet<usize>)| {
        stays.flatten().map(|it| trial.rests(world, it, kept))
    };
    stays.into_iter().zip(kept).map(rest).collect()
}

/// Adds picks until the clash stays: each time the one that completes the shortest run of them.
fn grow(count: usize, persists: &dyn Fn(&BTreeSet<usize>) -> Option<Rests>, kept: &mut BTreeSet<usize>) {
    let mut rest: Vec<usize> = (0..count).filter(|it| !kept.contains(it)).collect();
    loop {
        let (mut low, mut high) = (0, rest.len());
        // With all of them the clash stays: that is how it was found.
        while low < high {
            let middle = (low + high) / 2;
            let mut with = kept.clone();
            with.extend(&rest[..middle]);
            if persists(&with).is_some() {
                high = middle;
            } else {
                low = middle + 1;
            }
        }
        if low == 0 {
            return;
        }
        kept.insert(rest[low - 1]);
        rest.truncate(low - 1);
    }
}

/// The limits of money and stock. What the rest costs is counted first, at its least, as the budget's own
/// check does.
pub fn limits(ctx: &Ctx<'_>, opens: &[Open], figures: &[Vec<Figures>], currency: [u8; 3]) -> Vec<Limited> {
    let mut limits: Vec<Limited> = budget(ctx, opens, figures, currency).into_iter().collect();
    let mut stocked: Vec<(Id, Limit)> = Vec::new();
    for (nth, open) in opens.iter().enumerate() {
        for (at, candidate) in open.candidates.iter().enumerate() {
            let Candidate::Bought(id) = candidate else { continue };
            let stock = ctx.part(*id).and_then(|it| it.offer.as_ref()?.stock);
            let Some(stock) = stock else { continue };
            let used = (nth, at, u64::from(open.count));
            match stocked.iter_mut().find(|it| it.0 == *id) {
                Some(it) => it.1.uses.push(used),
                None => stocked.push((*id, Limit { uses: vec![used], most: u64::from(stock) })),
            }
        }
    }
    for (id, mut limit) in stocked {
        let fitted = ctx.world.places.iter().filter(|it| it.changed() && it.after.part() == Some(id));
        let fitted: u64 = fitted.filter_map(|it| Some(u64::from(it.done.last()?.count))).sum();
        let offer = ctx.part(id).and_then(|it| it.offer.as_ref());
        let grounds = offer.map(|it| id.site(it.span)).into_iter().collect();
        let said = format!("There are {} of {}.", limit.most, id.shown(ctx.db));
        limit.most = limit.most.saturating_sub(fitted);
        limits.push(Limited { limit, grounds, said });
    }
    limits
}

fn budget(ctx: &Ctx<'_>, opens: &[Open], figures: &[Vec<Figures>], currency: [u8; 3]) -> Option<Limited> {
    let (stated, site) = bill::budget(ctx)?;
    let code = code(currency);
    let most = (stated.in_unit(&code)? * 100.0).round();
    let (rates, (tax, _)) = (rates(ctx), tax(ctx, &mut Vec::new()));
    let mut till = Till::new(&rates, currency);
    let picked: Vec<Id> = opens
        .iter()
        .filter(|it| it.chosen_by.is_some())
        .flat_map(|it| &it.candidates)
        .filter_map(Candidate::part)
        .collect();
    let mut fixed = 0.0;
    // The whole statement, not the amount alone.
    let text = site.item.text(ctx.db);
    let word = text.get(..site.span.start as usize).and_then(|it| it.rfind("budget"));
    let start = word.map_or(site.span.start, |it| it as u32);
    let mut grounds = vec![Site { span: Span::new(start, site.span.end), ..site }];
    for item in bill::bill(ctx).iter().filter(|it| !picked.contains(&it.id)) {
        let (least, _) = till.item(item, tax).in_currency(currency);
        if least != 0.0 {
            fixed += least * 100.0;
            grounds.extend(item.prices.iter().flat_map(|it| &it.found).map(|it| it.site));
        }
    }
    let mut uses = Vec::new();
    for (nth, all) in figures.iter().enumerate() {
        for (at, it) in all.iter().enumerate() {
            let least = it.cost.map_or(0, |it| it.0);
            if least > 0 {
                uses.push((nth, at, least));
            }
        }
    }
    let left = most - fixed.round();
    let said = format!(
        "The budget is {}, and what is bought anyway costs {} {code}: {} {code} are left for the rest.",
        stated.display(),
        trimmed(fixed.round() / 100.0, 2),
        trimmed(left / 100.0, 2).replace('-', "−"),
    );
    // A budget that is used up by the rest leaves nothing, not even for what costs nothing.
    let limit = if left < 0.0 {
        Limit {
            uses: figures
                .iter()
                .enumerate()
                .flat_map(|(nth, all)| (0..all.len()).map(move |at| (nth, at, 1)))
                .collect(),
            most: 0,
        }
    } else {
        Limit { uses, most: left as u64 }
    };
    grounds.sort_by_key(|it| (it.item.file(ctx.db).path(ctx.db), it.span));
    grounds.dedup();
    Some(Limited { limit, grounds, said })
}

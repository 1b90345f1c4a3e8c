//! Why there is no plan: a smallest set of statements that cannot all hold.

use std::cell::Cell;

use trunnion_check::ctx::{listed, trimmed};
use trunnion_model::db::{Db, Site};

use crate::loom::{Lack, LoomPlan};
use crate::picks::{Grounds, contradiction as smallest, irreducible};
use crate::plan::search::Search;
use crate::plan::trial::{Trial, declared_at};

/// How many steps the proof of the smallest set may take.
const MOST_STEPS: u32 = 200_000;

/// Statements that cannot all hold.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Contradiction {
    /// The statements, by file and place.
    pub statements: Vec<Statement>,
    /// What follows from them, as a chain of sentences.
    pub chain: Vec<String>,
    /// What would help.
    pub ways_out: Vec<String>,
    /// Whether it is proven that no smaller set contradicts itself; else only that nothing can be left out.
    pub smallest: bool,
}

/// One of them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Statement {
    /// Where it stands.
    pub site: Site,
    /// As it is written, in one line.
    pub text: String,
    /// The declaration that it stands in, as it is shown.
    pub of: String,
}

/// The smallest contradiction of what a search learnt.
pub fn contradiction(trial: &Trial<'_>, search: &Search, go_on: &dyn Fn() -> bool) -> Option<Contradiction> {
    let db = trial.host.db();
    let mut sites: Vec<Site> = Vec::new();
    let mut number = |all: &[Site]| -> Vec<u32> {
        all.iter()
            .map(|site| match sites.iter().position(|it| it == site) {
                Some(at) => at as u32,
                None => {
                    sites.push(*site);
                    sites.len() as u32 - 1
                }
            })
            .collect()
    };
    let grounds = Grounds {
        picks: trial.opens.iter().map(|it| number(it.chosen_by.as_slice())).collect(),
        never: search.never.iter().map(|it| number(&it.grounds)).collect(),
        limits: search.limits.iter().map(|it| number(&it.grounds)).collect(),
    };
    let problem = search.problem(&[]);
    // The smallest set may take very long to prove; after so many steps one is taken of which nothing can
    // be left out. Steps are counted, not time: the answer is the same on every machine.
    let steps = Cell::new(0_u32);
    let patient = || {
        steps.set(steps.get() + 1);
        steps.get() < MOST_STEPS && go_on()
    };
    let (set, smallest) = match smallest(&problem, &grounds, &patient) {
        Some(it) => (it, true),
        None => (irreducible(&problem, &grounds, go_on)?, false),
    };
    let holds = |all: &[u32]| all.iter().all(|it| set.contains(it));
    let mut chain: Vec<String> = Vec::new();
    for (never, grounds) in search.never.iter().zip(&grounds.never) {
        if holds(grounds) && !chain.contains(&never.sentence) {
            chain.push(never.sentence.clone());
        }
    }
    for (limit, grounds) in search.limits.iter().zip(&grounds.limits) {
        if holds(grounds) {
            chain.push(limit.said.clone());
        }
    }
    let mut statements: Vec<Statement> =
        set.iter().filter_map(|it| statement(db, *sites.get(*it as usize)?)).collect();
    statements.sort_by_key(|it| trial.host.locate(it.site));
    Some(Contradiction { statements, chain, ways_out: ways_out(trial, search, &grounds, &set), smallest })
}

/// Why some wires cannot be laid, whatever way they take: the first thing that lacks room or a way, with
/// what it cannot be laid together with.
pub fn of_loom(trial: &Trial<'_>, loom: &LoomPlan) -> Option<Contradiction> {
    let db = trial.host.db();
    let it = loom.unsolved.iter().find(|it| it.lack != Lack::Knowledge)?;
    let mut statements: Vec<Statement> = it.sites.iter().filter_map(|it| statement(db, *it)).collect();
    statements.sort_by_key(|it| trial.host.locate(it.site));
    statements.dedup();
    let help = match it.lack {
        Lack::Room => "make the bore wider, find another way through, or do without one of these wires",
        _ => "state a run between these zones, or put the part in another zone",
    };
    let (chain, ways_out) = (vec![it.sentence.clone()], vec![help.to_owned()]);
    Some(Contradiction { statements, chain, ways_out, smallest: false })
}

fn statement(db: &dyn Db, site: Site) -> Option<Statement> {
    let text = site.item.text(db);
    let text = text.get(site.span.range())?.split_whitespace().collect::<Vec<_>>().join(" ");
    let of = declared_at(db, site).map(|it| it.shown(db)).unwrap_or_default();
    Some(Statement { site, text, of })
}

/// For each place that the contradiction is about: whether there is anything else to put in.
fn ways_out(trial: &Trial<'_>, search: &Search, grounds: &Grounds, set: &[u32]) -> Vec<String> {
    let mut tried: Vec<String> = Vec::new();
    let mut named: Vec<usize> = Vec::new();
    for (never, grounds) in search.never.iter().zip(&grounds.never) {
        if grounds.iter().all(|it| set.contains(it)) {
            named.extend(never.picks.iter().map(|it| it.0));
        }
    }
    named.sort_unstable();
    named.dedup();
    let db = trial.host.db();
    for nth in named {
        let open = &trial.opens[nth];
        let cost = |at: usize| search.figures[nth][at].cost.map_or(0, |it| it.1);
        let all: Vec<String> = open
            .candidates
            .iter()
            .enumerate()
            .map(|(at, it)| match cost(at) {
                0 => it.shown(db),
                cents => {
                    format!("{} ({} {})", it.shown(db), trimmed(cents as f64 / 100.0, 2), search.currency)
                }
            })
            .collect();
        tried.push(format!("{}: none of {} goes", open.place.replace('_', " "), listed(&all)));
    }
    if tried.is_empty() {
        tried.push("no other part for these places is on offer, on the shelf or on a donor".to_owned());
    }
    tried.push("take one of the statements back, or add a donor or an offer that fits".to_owned());
    tried
}

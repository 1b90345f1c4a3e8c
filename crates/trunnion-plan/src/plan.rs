//! The full list of changes that makes a conversion whole: the parts to pick, the wires, what else has one
//! answer; or why there is none.
//!
//! The steps are tried in the text that the host holds, judged by the same checks that judge everything
//! else, and taken back. Nothing is assumed of a check but that it judges.

pub mod candidates;
pub mod contradiction;
mod finish;
pub mod preference;
pub mod search;
pub mod trial;

#[cfg(test)]
mod tests;

use std::cell::Cell;

use trunnion_check::ctx::Ctx;
use trunnion_check::purse::code;
use trunnion_model::db::Host;
use trunnion_model::name::Id;
use trunnion_model::verdict::{Gate, Outcome, Verdict};
use trunnion_model::world::conversion;

use crate::draft::{Draft, Sort, Step};
use crate::loom::{Lack, LoomPlan, Unsolved, loom};
use crate::picks::Solution;
use crate::plan::candidates::{Candidate, Open};
use crate::plan::contradiction::{Contradiction, contradiction};
use crate::plan::preference::{Figures, Preference, Respect};
use crate::plan::search::{Found, Search};
use crate::plan::trial::Trial;

/// How often the wiring and what follows it may send the picks back for another proposal.
const MOST_RETURNS: usize = 12;

/// What makes a conversion whole.
#[derive(Clone, Debug)]
pub struct Plan {
    /// The conversion's display name.
    pub title: String,
    /// The way that was planned, where it has several.
    pub way: Option<String>,
    /// What was preferred, in words.
    pub preferred: String,
    /// The picks of places that change or were left to the planner.
    pub picks: Vec<Pick>,
    /// All steps, by sort, in the order in which they are written.
    pub steps: Vec<Step>,
    /// What the picks come to.
    pub total: Total,
    /// The wiring: what was kept, its effort, what could not be laid.
    pub loom: Option<LoomPlan>,
    /// What clashes with all steps made.
    pub clashes: Vec<Verdict>,
    /// What is open with all steps made, and not accepted: by gate.
    pub open: Vec<(Gate, usize)>,
    /// Why there is no plan, or why the wires cannot all be laid.
    pub contradiction: Option<Contradiction>,
    /// The path of the file that is changed.
    pub path: String,
    /// The file as it is.
    pub before: String,
    /// The file with all steps made, in the one layout.
    pub after: String,
    /// Whether the picks are proven best; else the search was stopped or had to guess.
    pub proven: bool,
    /// How many texts were judged.
    pub judged: usize,
    /// What must be read with it.
    pub notes: Vec<String>,
}

impl Plan {
    /// Whether nothing clashes when all steps are made.
    pub fn is_whole(&self) -> bool {
        let unknown = |it: &Unsolved| it.lack == Lack::Knowledge;
        let laid = self.loom.as_ref().is_none_or(|it| it.unsolved.iter().all(unknown));
        self.contradiction.is_none() && self.clashes.is_empty() && laid
    }

    /// Terminals, seals and the like that the wiring takes, by name, with their number.
    pub fn bought(&self) -> Vec<(String, u32)> {
        let mut all: std::collections::BTreeMap<String, u32> = std::collections::BTreeMap::new();
        for (what, count) in self.loom.iter().flat_map(|it| &it.changes).flat_map(|it| &it.buy) {
            // What nobody has said of each cavity by itself is counted once, for all of them.
            let unsaid = what.split_once(", of which ").and_then(|(what, unsaid)| {
                Some(format!("{}, of which {unsaid}", what.split_once(" for ")?.0))
            });
            *all.entry(unsaid.unwrap_or_else(|| what.clone())).or_default() += count;
        }
        all.into_iter().collect()
    }
}

/// What was picked for one place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pick {
    /// The place, as it is shown.
    pub place: String,
    /// What sits in it after.
    pub picked: String,
    /// The statement.
    pub statement: Option<String>,
    /// What it costs.
    pub figures: Figures,
    /// Why it changes.
    pub because: String,
    /// How many candidates there were, this one with them.
    pub candidates: usize,
    /// The best plan with another candidate here.
    pub alternative: Alternative,
    /// What speaks against it.
    pub drawbacks: Vec<String>,
}

/// The best that could be picked instead.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Alternative {
    /// Another candidate, with what else changes, and the whole plan's figures then.
    Other {
        /// What would sit there.
        picked: String,
        /// What else would be picked otherwise: place and candidate.
        also: Vec<String>,
        /// What the whole would come to.
        total: Total,
    },
    /// No other candidate can be picked: what speaks against each, in a sentence.
    None {
        /// What speaks against each.
        against: Vec<String>,
    },
    /// The search was stopped.
    Unknown,
}

/// What a set of picks comes to.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Total {
    /// At least and at most, in cents.
    pub cost: (u64, u64),
    /// The currency's code.
    pub currency: String,
    /// How many parts have no price.
    pub unpriced: usize,
    /// The longest wait, in minutes.
    pub wait: u64,
    /// How many parts have no stated wait.
    pub unwaited: usize,
    /// What is put in, in grams.
    pub mass: u64,
    /// How many parts have no stated mass.
    pub unweighed: usize,
    /// Work on places that would else be left alone, in minutes.
    pub effort: u64,
    /// How many places change by it.
    pub changes: usize,
}

/// Plans a conversion by one of its ways. The host's text of it is changed while that is done, and as it
/// was at the end. `go_on` is told how many texts were judged, and may stop it: then there is no plan. None
/// also where it is no conversion, or it or its recipient cannot be read.
pub fn plan(
    host: &mut Host,
    id: Id,
    way: Option<u32>,
    preference: Option<&Preference>,
    go_on: &dyn Fn(usize) -> bool,
) -> Option<Plan> {
    let draft = Draft::of(host, id)?;
    let always = finish::doubled(host.db(), id, way);
    let judged = Cell::new(0);
    let mut trial = Trial { host, id, way, draft, always, opens: Vec::new(), judged: &judged };
    let made = whole(&mut trial, preference, &|| go_on(judged.get()));
    trial.restore();
    made
}

fn whole(trial: &mut Trial<'_>, preference: Option<&Preference>, go_on: &dyn Fn() -> bool) -> Option<Plan> {
    let (id, way) = (trial.id, trial.way);
    trial.put(&Vec::new(), &[]);
    let world = trial.world()?;
    let db = trial.host.db();
    let workspace = trial.host.workspace();
    let ctx = Ctx { db, workspace, world: &world };
    let currency = preference::currency(&ctx);
    let opens = candidates::open(db, workspace, &world);
    let figures: Vec<Vec<Figures>> = opens.iter().map(|it| preference::figures(&ctx, it, currency)).collect();
    let stated = candidates::preferred(db, id, way);
    let stated: Vec<Respect> = stated.iter().filter_map(|it| Respect::from_word(it)).collect();
    let preference = preference.cloned().unwrap_or(Preference::Order(stated));
    let limits = crate::plan::search::limits(&ctx, &opens, &figures, currency);
    let title = id.shown(db);
    let way_name = conversion(db, id)
        .and_then(|it| it.ways.get(way? as usize))
        .map(|it| it.name.value.replace('_', " "));
    let (path, before) = (trial.draft.path().to_owned(), trial.draft.text().to_owned());
    trial.opens = opens;
    let mut search = Search {
        figures,
        preference: preference.clone(),
        never: Vec::new(),
        limits,
        currency: code(currency),
    };
    let mut plan = Plan {
        title,
        way: way_name,
        preferred: preference.shown(),
        picks: Vec::new(),
        steps: Vec::new(),
        total: Total::default(),
        loom: None,
        clashes: Vec::new(),
        open: Vec::new(),
        contradiction: None,
        path,
        before: before.clone(),
        after: before,
        proven: true,
        judged: 0,
        notes: Vec::new(),
    };
    let mut guessed: Vec<Vec<(usize, usize)>> = Vec::new();
    let mut best: Option<(usize, Solution, Finished)> = None;
    for _ in 0..MOST_RETURNS {
        match search.best(trial, &guessed, go_on) {
            Found::Best(solution) => {
                let finished = Finished::of(trial, &solution, go_on)?;
                let again = blamed(trial, &solution, &finished.clashes);
                let count = finished.clashes.len();
                if best.as_ref().is_none_or(|it| count < it.0) {
                    best = Some((count, solution, finished));
                }
                match again {
                    Some(picks) if count > 0 && !guessed.contains(&picks) => guessed.push(picks),
                    _ => break,
                }
            }
            Found::Impossible => break,
            Found::Stopped => return None,
            Found::GaveUp => {
                plan.notes.push("The search for parts gave up: too many sets of them clash.".to_owned());
                break;
            }
        }
    }
    // Where no other picks did better, the picks were not to blame.
    if best.as_ref().is_some_and(|it| it.0 > 0) {
        guessed.clear();
    }
    plan.proven = guessed.is_empty();
    let Some((_, solution, finished)) = best else {
        // Statements are quoted from the text as it was.
        trial.restore();
        if plan.notes.is_empty() {
            plan.contradiction = contradiction(trial, &search, go_on);
        }
        // Without a plan everything stands as it is.
        plan.proven = plan.contradiction.is_some();
        trial.put(&Vec::new(), &[]);
        plan.clashes = trial.verdicts().into_iter().filter(|it| it.outcome == Outcome::Clash).collect();
        plan.judged = trial.judged.get();
        return Some(plan);
    };
    plan.picks = picks(trial, &mut search, &solution, &guessed, go_on)?;
    plan.total = total(&search, &solution.picked);
    plan.steps = finished.steps;
    name_reasons(&mut plan);
    trial.restore();
    plan.contradiction = contradiction::of_loom(trial, &finished.loom);
    plan.loom = Some(finished.loom);
    plan.clashes = finished.clashes;
    plan.open = finished.open;
    plan.after = if plan.steps.is_empty() || plan.contradiction.is_some() {
        plan.before.clone()
    } else {
        trial.draft.written(trial.host, &plan.steps)
    };
    plan.judged = trial.judged.get();
    Some(plan)
}

/// Everything after the picks, made and judged.
struct Finished {
    steps: Vec<Step>,
    loom: LoomPlan,
    clashes: Vec<Verdict>,
    open: Vec<(Gate, usize)>,
}

impl Finished {
    fn of(trial: &mut Trial<'_>, solution: &Solution, go_on: &dyn Fn() -> bool) -> Option<Self> {
        trial.put(&solution.picked, &[]);
        let world = trial.world()?;
        let (db, workspace) = (trial.host.db(), trial.host.workspace());
        let mut loom = loom(db, workspace, &world, go_on);
        if !go_on() {
            return None;
        }
        // Places are told as they are in the text before the trial.
        let original = |site| trial.draft.original(db, site);
        for it in &mut loom.unsolved {
            it.sites = it.sites.iter().filter_map(|it| original(*it)).collect();
        }
        let mut later: Vec<Step> = Vec::new();
        for change in &loom.changes {
            later.push(Step {
                text: Some(change.text.clone()),
                replaces: change.replaces.iter().filter_map(|it| original(*it)).collect(),
                because: change.why.clone(),
                sort: Sort::Wire,
            });
        }
        for (site, why) in &loom.dropped {
            let replaces: Vec<_> = original(*site).into_iter().collect();
            later.push(Step { text: None, replaces, because: why.clone(), sort: Sort::Wire });
        }
        let answers = finish::answers(trial, &solution.picked, &later);
        later.extend(answers);
        trial.put(&solution.picked, &later);
        let verdicts = trial.verdicts();
        let unsettled = |it: &&Verdict| it.outcome == Outcome::Open && it.accepted.is_none();
        let open = Gate::ALL.map(|gate| {
            let at = |it: &&Verdict| it.question.as_ref().is_some_and(|it| it.gate == gate);
            (gate, verdicts.iter().filter(unsettled).filter(at).count())
        });
        let clashes = verdicts.iter().filter(|it| it.outcome == Outcome::Clash).cloned().collect();
        let mut steps = trial.always.clone();
        steps.extend(trial.picks(&solution.picked));
        steps.extend(later);
        steps.sort_by_key(|it| it.sort);
        Some(Self { steps, loom, clashes, open: open.to_vec() })
    }
}

/// The picks that may be to blame for what clashes at the end: those that the clashes name and that could
/// be others.
fn blamed(trial: &Trial<'_>, solution: &Solution, clashes: &[Verdict]) -> Option<Vec<(usize, usize)>> {
    let own = clashes.iter().filter(|it| it.check != "work/no-return");
    let named = own.map(|it| trial.named(it, &solution.picked)).find(|it| !it.is_empty())?;
    Some(named.into_iter().map(|it| (it, solution.picked[it])).collect())
}

fn picks(
    trial: &mut Trial<'_>,
    search: &mut Search,
    solution: &Solution,
    guessed: &[Vec<(usize, usize)>],
    go_on: &dyn Fn() -> bool,
) -> Option<Vec<Pick>> {
    let mut picks = Vec::new();
    for (nth, open) in trial.opens.clone().iter().enumerate() {
        let picked = &open.candidates[solution.picked[nth]];
        if matches!(picked, Candidate::AsIs(_)) {
            continue;
        }
        let mut others = guessed.to_vec();
        others.push(vec![(nth, solution.picked[nth])]);
        let alternative = match search.best(trial, &others, go_on) {
            Found::Best(other) => other_plan(trial, search, solution, &other, nth),
            Found::Impossible => Alternative::None { against: against(trial, search, nth, solution) },
            Found::GaveUp => Alternative::Unknown,
            Found::Stopped => return None,
        };
        let db = trial.host.db();
        let offer = picked.part().and_then(|it| trunnion_model::built::part(db, it)?.offer.as_ref());
        let drawbacks = offer.map(|it| it.drawbacks.iter().map(ToString::to_string).collect());
        picks.push(Pick {
            place: open.place.replace('_', " "),
            picked: picked.shown(db),
            statement: picked.statement(db, open),
            figures: search.figures[nth][solution.picked[nth]],
            because: reason(search, open, nth),
            candidates: open.candidates.len(),
            alternative,
            drawbacks: drawbacks.unwrap_or_default(),
        });
    }
    Some(picks)
}

/// Why a place changes: what clashes while it stays; for a `choose` what the other candidates clash with.
fn reason(search: &Search, open: &Open, nth: usize) -> String {
    if open.chosen_by.is_some() {
        return "the best of what was left to the planner".to_owned();
    }
    let stays = |it: &&search::Never| it.picks.contains(&(nth, 0));
    let told = || search.never.iter().filter(stays);
    // What a part demands says more than what follows from it.
    let first = told().find(|it| it.clash.check == "need").or_else(|| told().next());
    let sentence =
        first.map(|it| it.clash.message.split_inclusive(". ").next().unwrap_or_default().trim_end());
    sentence.map_or_else(|| "it goes with the others".to_owned(), lower)
}

/// What speaks against each other candidate of a place, with the rest as picked.
fn against(trial: &Trial<'_>, search: &Search, nth: usize, solution: &Solution) -> Vec<String> {
    let db = trial.host.db();
    let open = &trial.opens[nth];
    let others = (0..open.candidates.len()).filter(|it| *it != solution.picked[nth]);
    others
        .filter_map(|other| {
            let holds = |it: &&search::Never| {
                it.picks.iter().all(|(pick, candidate)| {
                    let there = if *pick == nth { other } else { solution.picked[*pick] };
                    there == *candidate
                }) && it.picks.iter().any(|it| it.0 == nth)
            };
            let never = search.never.iter().find(holds)?;
            Some(format!("{}: {}", open.candidates[other].shown(db), lower(&never.clash.message)))
        })
        .collect()
}

fn other_plan(
    trial: &Trial<'_>,
    search: &Search,
    best: &Solution,
    other: &Solution,
    nth: usize,
) -> Alternative {
    let db = trial.host.db();
    let mut also = Vec::new();
    for (at, open) in trial.opens.iter().enumerate() {
        if at != nth && best.picked[at] != other.picked[at] {
            let it = open.candidates[other.picked[at]].shown(db);
            also.push(format!("{}: {it}", open.place.replace('_', " ")));
        }
    }
    Alternative::Other {
        picked: trial.opens[nth].candidates[other.picked[nth]].shown(db),
        also,
        total: total(search, &other.picked),
    }
}

fn total(search: &Search, picked: &[usize]) -> Total {
    let mut total = Total { currency: search.currency.clone(), ..Total::default() };
    for (figures, nth) in search.figures.iter().zip(picked) {
        let Some(it) = figures.get(*nth) else { continue };
        match it.cost {
            Some((least, most)) => total.cost = (total.cost.0 + least, total.cost.1 + most),
            None => total.unpriced += 1,
        }
        match it.wait {
            Some(wait) => total.wait = total.wait.max(wait),
            None => total.unwaited += 1,
        }
        match it.mass {
            Some(mass) => total.mass += mass,
            None => total.unweighed += 1,
        }
        total.effort += it.effort;
        total.changes += usize::from(it.changes);
    }
    total
}

/// Gives the steps of picks their reasons.
fn name_reasons(plan: &mut Plan) {
    for step in plan.steps.iter_mut().filter(|it| it.because.is_empty()) {
        let pick = plan.picks.iter().find(|it| it.statement == step.text);
        if let Some(pick) = pick {
            step.because.clone_from(&pick.because);
        }
    }
}

/// A sentence as part of another.
fn lower(text: &str) -> String {
    let mut chars = text.trim_end_matches('.').chars();
    match chars.next() {
        Some(first) => first.to_lowercase().chain(chars).collect(),
        None => String::new(),
    }
}

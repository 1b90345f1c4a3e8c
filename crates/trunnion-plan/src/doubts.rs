//! Claims that were not measured, ranked by what hangs on them if they are wrong.

use std::collections::BTreeMap;

use trunnion_check::ctx::Ctx;
use trunnion_check::run::verdicts_of_conversion;
use trunnion_model::built::scope_of;
use trunnion_model::db::{Db, Site, Workspace};
use trunnion_model::decl::{Body, FindOut};
use trunnion_model::fact::{Found, Standing};
use trunnion_model::lower::lowered;
use trunnion_model::name::{Id, Space};
use trunnion_model::verdict::{Fix, Outcome, Verdict};
use trunnion_model::world::{Place, World, conversion, world};

use crate::cover::{Observation, smallest};
use crate::stake::{Stake, Stakes};
use crate::what_if::WhatIf;

/// One claim, and what hangs on it.
#[derive(Clone, Debug, PartialEq)]
pub struct Doubt {
    /// What is claimed, as it is written.
    pub claim: String,
    /// The declaration it stands in, as it is shown.
    pub of: String,
    /// Where it stands.
    pub site: Site,
    /// How well it is supported.
    pub standing: Standing,
    /// By what.
    pub source: String,
    /// The verdicts that rest on it: check, subject, outcome.
    pub verdicts: Vec<(String, String, &'static str)>,
    /// The areas of safety among them.
    pub safety: Vec<String>,
    /// What is at stake.
    pub stake: Stake,
    /// How it is settled.
    pub settle: FindOut,
}

/// The doubts of a conversion.
#[derive(Clone, Debug, PartialEq)]
pub struct Doubts {
    /// The conversion's display name.
    pub title: String,
    /// The claims, the one on which most hangs first.
    pub doubts: Vec<Doubt>,
    /// What is to be found out so that every open point of safety is settled: each once, with the
    /// points it settles, those first that settle most.
    pub measurements: Vec<(String, Vec<String>)>,
    /// Whether no smaller set does; false where the search was given up, which no specification of a size that
    /// people write has come to.
    pub smallest: bool,
}

/// The doubts of a conversion. None where it is none, or has no recipient.
pub fn doubts(db: &dyn Db, workspace: Workspace, id: Id) -> Option<Doubts> {
    let decl = conversion(db, id)?;
    let way = (!decl.ways.is_empty()).then_some(0);
    let world = world(db, workspace, id.item, id.nth, way)?;
    let verdicts = verdicts_of_conversion(db, workspace, id);
    let mut by_claim: Vec<(&Found, Vec<&Verdict>)> = Vec::new();
    for verdict in verdicts.iter().filter(|it| !tells_of_sources(it)) {
        for found in verdict.rests.iter().filter(|it| it.standing != Standing::Measured) {
            match by_claim.iter_mut().find(|(it, _)| it.site == found.site) {
                Some((_, all)) => all.push(verdict),
                None => by_claim.push((found, vec![verdict])),
            }
        }
    }
    let stakes = Stakes::of(&Ctx { db, workspace, world: &world });
    let mut doubts: Vec<Doubt> =
        by_claim.into_iter().map(|(found, on)| doubt(db, workspace, &world, &stakes, found, &on)).collect();
    let standing = standings(&doubts);
    // Safety first; then what is only reported or assumed before what a document says; then by what is at stake.
    let mut order: Vec<usize> = (0..doubts.len()).collect();
    order.sort_by(|x, y| {
        let (a, b) = (&doubts[*x], &doubts[*y]);
        (a.safety.is_empty().cmp(&b.safety.is_empty()))
            .then((a.standing == Standing::Documented).cmp(&(b.standing == Standing::Documented)))
            .then(standing[*x].cmp(&standing[*y]))
            .then(b.verdicts.len().cmp(&a.verdicts.len()))
            .then(a.standing.cmp(&b.standing))
            .then(a.claim.cmp(&b.claim))
            .then(a.of.cmp(&b.of))
    });
    let mut taken: Vec<Option<Doubt>> = doubts.drain(..).map(Some).collect();
    doubts = order.into_iter().filter_map(|it| taken[it].take()).collect();
    let (measurements, smallest) = measurements(db, workspace, id, &verdicts);
    Some(Doubts { title: id.shown(db), doubts, measurements, smallest })
}

/// Where each doubt stands by what is at stake: its places by money, by waiting and by work, added up. So none of
/// the three outweighs the others by the unit it is counted in. Common practice, no source.
fn standings(doubts: &[Doubt]) -> Vec<usize> {
    let seconds = |it: &Option<trunnion_handbook::quantity::Quantity>| it.map_or(0.0, |it| it.hi());
    let money = doubts.iter().map(|it| it.stake.most()).collect();
    let waits = doubts.iter().map(|it| (seconds(&it.stake.wait), 0.0)).collect();
    let work = doubts.iter().map(|it| (seconds(&it.stake.work), 0.0)).collect();
    let by: [Vec<(f64, f64)>; 3] = [money, waits, work];
    let mut sums = vec![0; doubts.len()];
    for of in by {
        let more = |a: &(f64, f64), b: &(f64, f64)| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)).is_gt();
        for (nth, sum) in sums.iter_mut().enumerate() {
            *sum += of.iter().filter(|it| more(it, &of[nth])).count();
        }
    }
    sums
}

/// Verdicts about the sources themselves: they name a doubt, nothing hangs on them.
fn tells_of_sources(verdict: &Verdict) -> bool {
    verdict.check.starts_with("source/") || verdict.check == "kind/asked" || verdict.check == "kind/none"
}

fn doubt(
    db: &dyn Db,
    workspace: Workspace,
    world: &World,
    stakes: &Stakes,
    found: &Found,
    on: &[&Verdict],
) -> Doubt {
    let mut safety: Vec<String> = on.iter().flat_map(|it| it.safety.iter().cloned()).collect();
    safety.sort();
    safety.dedup();
    let mut verdicts: Vec<_> =
        on.iter().map(|it| (it.check.to_owned(), it.subject.clone(), it.outcome.word())).collect();
    verdicts.sort();
    verdicts.dedup();
    let mut places: Vec<&Place> = Vec::new();
    for name in on.iter().flat_map(|it| it.subject.split(['.', '-', '[', ' '])) {
        if let Some(place) = world.place(name)
            && !places.iter().any(|it| it.name == place.name)
        {
            places.push(place);
        }
    }
    let claim = written(db, found.site);
    Doubt {
        of: declaration(db, found.site),
        site: found.site,
        standing: found.standing,
        source: found.source.clone(),
        verdicts,
        safety,
        stake: stakes.on(&places),
        settle: settle(db, workspace, world, &claim),
        claim,
    }
}

/// The statement as it is written, without its source and in one line.
fn written(db: &dyn Db, site: Site) -> String {
    let text = site.item.text(db);
    let text = text.get(site.span.range()).unwrap_or_default();
    let line = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let line = line.split(" per ").next().unwrap_or_default();
    let line = line.split(" because ").next().unwrap_or_default();
    let short: String = line.chars().take(72).collect();
    if short.len() < line.len() { format!("{}…", short.trim_end()) } else { short }
}

fn declaration(db: &dyn Db, site: Site) -> String {
    let decls = &lowered(db, site.item).decls;
    let here = decls.iter().find(|it| it.span.start <= site.span.start && site.span.end <= it.span.end);
    here.map(|it| it.shown().to_string()).unwrap_or_default()
}

/// How a claim is settled: as its measure says.
fn settle(db: &dyn Db, workspace: Workspace, world: &World, claim: &str) -> FindOut {
    let scope = scope_of(db, workspace, world.root());
    let words = |name: &str| name.replace('_', " ");
    // `gearbox.tail_length 694 mm` of a vehicle, `tail length 694 mm` of a part.
    let said = claim.split_once('.').filter(|(place, _)| world.place(place).is_some());
    let said = words(said.map_or(claim, |(_, rest)| rest));
    let named = scope.each(Space::Measure).filter(|(name, _)| {
        let name = words(name);
        said.strip_prefix(name.as_str()).is_some_and(|rest| rest.is_empty() || rest.starts_with(' '))
    });
    let longest = named.max_by_key(|(name, _)| name.len());
    match longest.and_then(|(_, id)| id.decl(db)).map(|it| &it.body) {
        Some(Body::Measure(it)) => it.find_out.clone(),
        _ => FindOut::default(),
    }
}

/// The smallest set of things to find out that settles every open point of safety.
///
/// A point is settled by what it asks for itself. It is settled too by looking which part or loom is there, or when
/// the vehicle was built, where it is no longer open with any of the answers that may be found: each is tried.
fn measurements(
    db: &dyn Db,
    workspace: Workspace,
    id: Id,
    verdicts: &[Verdict],
) -> (Vec<(String, Vec<String>)>, bool) {
    let open = || verdicts.iter().filter(|it| it.outcome == Outcome::Open && it.accepted.is_none());
    let mut points: Vec<(String, String)> = Vec::new();
    for it in open().filter(|it| !it.safety.is_empty() && it.question.is_some()) {
        let point = (it.check.to_owned(), it.subject.clone());
        if !points.contains(&point) {
            points.push(point);
        }
    }
    let number = |check: &str, subject: &str| points.iter().position(|it| it.0 == check && it.1 == subject);
    let mut asked: BTreeMap<String, Observation> = BTreeMap::new();
    let mut try_out = None;
    for verdict in open() {
        let Some(question) = &verdict.question else { continue };
        let it =
            asked.entry(question.what.clone()).or_insert(Observation { settles: Vec::new(), minutes: 0 });
        it.minutes = it.minutes.max(question.minutes.unwrap_or(0));
        let mut settles: Vec<usize> = number(verdict.check, &verdict.subject).into_iter().collect();
        if verdict.check.starts_with("build/") && !points.is_empty() {
            let tried = try_out.get_or_insert_with(|| WhatIf::of(db, workspace, id));
            settles.extend(tried.iter_mut().flat_map(|it| settled_by_looking(it, verdict, &points)));
        }
        for point in settles {
            if !it.settles.contains(&point) {
                it.settles.push(point);
            }
        }
    }
    let (names, observations): (Vec<String>, Vec<Observation>) = asked.into_iter().unzip();
    let cover = smallest(points.len(), &observations);
    let point = |it: &usize| format!("{} {}", points[*it].0, points[*it].1);
    let mut all: Vec<(String, Vec<String>)> = cover
        .picked
        .iter()
        .map(|it| (names[*it].clone(), observations[*it].settles.iter().map(point).collect()))
        .collect();
    all.sort_by_key(|it| (std::cmp::Reverse(it.1.len()), it.0.clone()));
    (all, cover.smallest)
}

/// The points that are no longer open whichever of the answers to a question of what is there is found.
fn settled_by_looking(what_if: &mut WhatIf, verdict: &Verdict, points: &[(String, String)]) -> Vec<usize> {
    let whole = |it: &&Fix| !it.edits.is_empty() && it.edits.iter().all(|it| !it.text.contains('…'));
    let answers: Vec<&Fix> = verdict.fixes.iter().filter(whole).collect();
    // With one answer only there is nothing to tell apart, and with a hole among them not all are known.
    if answers.len() < 2 || answers.len() < verdict.fixes.len() {
        return Vec::new();
    }
    let mut settled: Vec<usize> = (0..points.len()).collect();
    for answer in answers {
        let Some(open) = what_if.open_with(&answer.edits) else { return Vec::new() };
        settled.retain(|it| !open.contains(&points[*it]));
    }
    settled
}

#[cfg(test)]
mod tests;

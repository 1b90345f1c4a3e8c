//! Claims that were not measured, ranked by what hangs on them if they are wrong.

use std::collections::BTreeMap;

use trunnion_check::run::verdicts_of_conversion;
use trunnion_model::built::scope_of;
use trunnion_model::db::{Db, Site, Workspace};
use trunnion_model::decl::{Body, FindOut};
use trunnion_model::fact::{Found, Standing};
use trunnion_model::lower::lowered;
use trunnion_model::name::{Id, Space};
use trunnion_model::verdict::{Outcome, Verdict};
use trunnion_model::world::{Place, World, conversion, world};

use crate::stake::{Stake, stake};

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
    /// points it settles. No smaller set does, since each point asks for its own.
    pub measurements: Vec<(String, Vec<String>)>,
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
    let mut doubts: Vec<Doubt> =
        by_claim.into_iter().map(|(found, on)| doubt(db, workspace, &world, found, &on)).collect();
    // Safety first; then what is only reported or assumed before what a document says; then by what
    // is at stake: money, waiting, work, and how much rests on it.
    doubts.sort_by(|a, b| {
        let seconds = |it: &Option<trunnion_handbook::quantity::Quantity>| it.map_or(0.0, |it| it.hi());
        b.safety
            .len()
            .min(1)
            .cmp(&a.safety.len().min(1))
            .then((a.standing == Standing::Documented).cmp(&(b.standing == Standing::Documented)))
            .then(b.stake.weight().total_cmp(&a.stake.weight()))
            .then(seconds(&b.stake.wait).total_cmp(&seconds(&a.stake.wait)))
            .then(seconds(&b.stake.work).total_cmp(&seconds(&a.stake.work)))
            .then(b.verdicts.len().cmp(&a.verdicts.len()))
            .then(a.standing.cmp(&b.standing))
            .then(a.claim.cmp(&b.claim))
            .then(a.of.cmp(&b.of))
    });
    Some(Doubts { title: id.shown(db), doubts, measurements: measurements(&verdicts) })
}

/// Verdicts about the sources themselves: they name a doubt, nothing hangs on them.
fn tells_of_sources(verdict: &Verdict) -> bool {
    verdict.check.starts_with("source/") || verdict.check == "kind/asked" || verdict.check == "kind/none"
}

fn doubt(db: &dyn Db, workspace: Workspace, world: &World, found: &Found, on: &[&Verdict]) -> Doubt {
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
        stake: stake(db, workspace, world, &places),
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

/// What must be found out to settle every open point of safety.
fn measurements(verdicts: &[Verdict]) -> Vec<(String, Vec<String>)> {
    let open = verdicts.iter().filter(|it| it.outcome == Outcome::Open && it.accepted.is_none());
    let mut all: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for verdict in open.filter(|it| !it.safety.is_empty()) {
        let Some(question) = &verdict.question else { continue };
        let settled = all.entry(question.what.clone()).or_default();
        let point = format!("{} {}", verdict.check, verdict.subject);
        if !settled.contains(&point) {
            settled.push(point);
        }
    }
    let mut all: Vec<_> = all.into_iter().collect();
    all.sort_by_key(|it| (std::cmp::Reverse(it.1.len()), it.0.clone()));
    all
}

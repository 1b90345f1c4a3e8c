//! What is left when the parts are picked: doubled statements, wires, pairing, duties, ends to close.

use trunnion_model::db::Db;
use trunnion_model::decl::Verb;
use trunnion_model::fact::Ref;
use trunnion_model::name::Id;
use trunnion_model::verdict::{Outcome, Verdict};
use trunnion_model::world::{World, conversion};

use crate::draft::{Sort, Step};
use crate::plan::trial::{Assignment, Trial};

/// The statements that say again what another already says: the same place, from the same donor.
pub fn doubled(db: &dyn Db, id: Id, way: Option<u32>) -> Vec<Step> {
    let Some(decl) = conversion(db, id) else { return Vec::new() };
    let way = way.and_then(|it| decl.ways.get(it as usize));
    let mut taken: Vec<(String, String)> = Vec::new();
    let mut steps = Vec::new();
    for change in std::iter::once(decl).chain(way.map(|it| &it.body)).flat_map(|it| &it.changes) {
        let Verb::Take { places, count: None, from } = &change.verb else { continue };
        let is_new = |it: &&Ref| !taken.contains(&(it.text(), from.text()));
        let fresh: Vec<String> = places.iter().filter(is_new).map(Ref::text).collect();
        if fresh.len() < places.len() {
            let again: Vec<String> =
                places.iter().filter(|it| !is_new(it)).map(|it| spaced(&it.text())).collect();
            steps.push(Step {
                text: (!fresh.is_empty()).then(|| format!("take {} from {}", fresh.join(", "), from.text())),
                replaces: vec![id.site(change.span)],
                because: format!("the {} is taken above, and there is one", again.join(", ")),
                sort: Sort::Part,
            });
        }
        taken.extend(fresh.into_iter().map(|it| (it, from.text())));
    }
    steps
}

/// Pairing, duties and ends, as the checks of the trial ask for them: only what has one answer.
pub fn answers(trial: &mut Trial<'_>, assignment: &Assignment, before: &[Step]) -> Vec<Step> {
    trial.put(assignment, before);
    let verdicts = trial.verdicts();
    let Some(world) = trial.world() else { return Vec::new() };
    let mut steps: Vec<Step> = Vec::new();
    for verdict in &verdicts {
        if let Some(it) = answer(&world, verdict).filter(|it| !steps.contains(it)) {
            steps.push(it);
        }
    }
    steps
}

fn answer(world: &World, verdict: &Verdict) -> Option<Step> {
    if matches!(verdict.outcome, Outcome::Clear(_)) || verdict.accepted.is_some() {
        return None;
    }
    let (verb, sort, because) = match verdict.check {
        "setup/pair" => {
            ("pair ", Sort::Software, "it does nothing on this vehicle before it is paired".to_owned())
        }
        "setup/setting" => ("setup ", Sort::Software, fitting(verdict)?),
        "loose/duty" => ("hand ", Sort::Duty, "it does the same, and sits here now".to_owned()),
        "loose/end" => ("blank ", Sort::End, gone(world, verdict)?),
        _ => return None,
    };
    // One answer only: where a hole is left to fill, or several offer themselves, the owner decides.
    let offered: Vec<&str> = verdict.fixes.iter().filter_map(|it| statement(&it.edits, verb)).collect();
    let [only] = offered.as_slice() else { return None };
    Some(Step { text: Some((*only).to_owned()), replaces: Vec::new(), because, sort })
}

/// Why a setting has one value only.
fn fitting(verdict: &Verdict) -> Option<String> {
    let good = verdict.question.as_ref()?.good.as_ref()?;
    good.split_once(", by ").map(|(_, what)| format!("so says {what}"))
}

/// The statement that a fix adds, where it begins with the verb and has no hole.
fn statement<'v>(edits: &'v [trunnion_model::verdict::Edit], verb: &str) -> Option<&'v str> {
    let [edit] = edits else { return None };
    let text = edit.text.trim_start_matches([',', ' ', '\n']).trim_end();
    (text.starts_with(verb) && !text.contains('…') && !text.contains('\n')).then_some(text)
}

/// Why an end is closed: it stays, it is no wire, and what it was joined to has gone.
fn gone(world: &World, verdict: &Verdict) -> Option<String> {
    let (place, end) = verdict.subject.split_once('.')?;
    if end.contains('[') {
        return None;
    }
    let stays = world.place(place).is_some_and(|it| !it.changed());
    let joints = world.joints.iter().chain(world.lines.iter().map(|it| &it.joint));
    let partner = joints.filter(|it| it.before).find_map(|it| {
        if it.a.place == place && it.a.end == end {
            Some(&it.b)
        } else if it.b.place == place && it.b.end == end {
            Some(&it.a)
        } else {
            None
        }
    })?;
    let removed = world.place(&partner.place).is_some_and(|it| it.changed() && !it.after.is_filled());
    (stays && removed).then(|| format!("the {} that it led to is gone", spaced(&partner.place)))
}

fn spaced(text: &str) -> String {
    text.replace('_', " ")
}

//! Runs the checks. Each check on each vehicle or declaration is a query of its own, so
//! that an edit runs again only those that depend on it.

use std::collections::BTreeSet;

use trunnion_model::built::scope_of;
use trunnion_model::db::{Db, Item, SourceFile, Workspace};
use trunnion_model::decl::Body;
use trunnion_model::lower::lowered;
use trunnion_model::name::{Id, Space, nearest, use_problems};
use trunnion_model::verdict::{Fix, Outcome, Verdict};
use trunnion_model::world::{World, conversion, world};

use crate::check::Judge;
use crate::ctx::{Ctx, DeclCtx};
use crate::list::CHECKS;
use crate::naming::name_problems;

/// What one check says of one declaration, conversion or vehicle.
#[salsa::tracked(returns(ref))]
fn judged(
    db: &dyn Db,
    workspace: Workspace,
    item: Item,
    nth: u32,
    way: Option<u32>,
    check: u32,
) -> Vec<Verdict> {
    let id = Id { item, nth };
    let Some(check) = CHECKS.get(check as usize) else { return Vec::new() };
    match check.judge {
        Judge::World(judge) => match world(db, workspace, item, nth, way) {
            Some(world) => judge(&Ctx { db, workspace, world: &world }),
            None => Vec::new(),
        },
        Judge::Decl(judge) => match id.decl(db) {
            Some(decl) => judge(&DeclCtx { db, workspace, id, decl }),
            None => Vec::new(),
        },
    }
}

/// The vehicles that the conversions of a file name, by path and name.
#[salsa::tracked(returns(ref))]
fn converted_in(db: &dyn Db, workspace: Workspace, file: SourceFile) -> BTreeSet<(String, String)> {
    let mut named = BTreeSet::new();
    for id in ids(db, file) {
        let Some(decl) = conversion(db, id) else { continue };
        let refs = decl.recipient.iter().chain(&decl.donors);
        let refs = refs.chain(decl.ways.iter().flat_map(|it| &it.body.donors));
        for it in refs {
            if let Some(vehicle) = scope_of(db, workspace, id).find(Space::Vehicle, it.head()) {
                named.insert((vehicle.path(db).to_string(), vehicle.name(db).to_string()));
            }
        }
    }
    named
}

/// The vehicles that a conversion of the workspace names.
#[salsa::tracked(returns(ref))]
fn in_conversions(db: &dyn Db, workspace: Workspace) -> BTreeSet<(String, String)> {
    let files = workspace.files(db);
    files.values().flat_map(|file| converted_in(db, workspace, *file)).cloned().collect()
}

fn ids(db: &dyn Db, file: SourceFile) -> Vec<Id> {
    let items = file.items(db);
    items
        .iter()
        .flat_map(|item| {
            let count = lowered(db, *item).decls.len() as u32;
            (0..count).map(|nth| Id { item: *item, nth })
        })
        .collect()
}

/// Everything that is to be said about one file: what is wrong with its writing, and the
/// verdicts on what it declares.
#[salsa::tracked(returns(ref))]
pub fn verdicts_of(db: &dyn Db, workspace: Workspace, file: SourceFile) -> Vec<Verdict> {
    let mut verdicts = Vec::new();
    for item in file.items(db).iter() {
        verdicts.extend(lowered(db, *item).problems.iter().map(|it| it.verdict(*item)));
        verdicts.extend(name_problems(db, workspace, *item).iter().map(|it| it.verdict(*item)));
    }
    verdicts.extend(use_problems(db, workspace, file).iter().map(|(item, it)| it.verdict(*item)));
    for id in ids(db, file) {
        match id.decl(db).map(|it| &it.body) {
            Some(Body::Conversion(_)) => verdicts.extend(verdicts_of_conversion(db, workspace, id)),
            Some(Body::Vehicle(_)) => {
                let name = (id.path(db).to_string(), id.name(db).to_string());
                if !in_conversions(db, workspace).contains(&name) {
                    verdicts.extend(of_world(db, workspace, id, None));
                }
            }
            _ => {}
        }
        for (nth, check) in CHECKS.iter().enumerate() {
            if matches!(check.judge, Judge::Decl(_)) {
                verdicts.extend(judged(db, workspace, id.item, id.nth, None, nth as u32).iter().cloned());
            }
        }
    }
    verdicts
}

/// The verdicts on one conversion, by each of its ways if it has any.
pub fn verdicts_of_conversion(db: &dyn Db, workspace: Workspace, id: Id) -> Vec<Verdict> {
    let ways = conversion(db, id).map_or(0, |it| it.ways.len() as u32);
    let mut verdicts =
        if ways == 0 { of_world(db, workspace, id, None) } else { by_ways(db, workspace, id, ways) };
    verdicts.extend(idle_accepts(db, id, &verdicts));
    verdicts
}

/// What was accepted though no check says anything of the kind: a misspelt check or subject.
fn idle_accepts(db: &dyn Db, id: Id, verdicts: &[Verdict]) -> Vec<Verdict> {
    let Some(decl) = conversion(db, id) else { return Vec::new() };
    let accepts = decl.accepts.iter().chain(decl.ways.iter().flat_map(|it| &it.body.accepts));
    let idle = accepts.filter_map(|accept| {
        let (check, subject) = (&accept.check.value, accept.subject.text());
        let of_check: Vec<&Verdict> = verdicts.iter().filter(|it| it.check == check.as_str()).collect();
        if of_check.iter().any(|it| it.subject == subject) {
            return None;
        }
        let (site, near) = match crate::list::find(check) {
            None => {
                let names = CHECKS.iter().map(|it| it.name);
                (id.site(accept.check.span), nearest(check, names))
            }
            Some(_) => {
                let subjects = of_check.iter().map(|it| it.subject.as_str());
                (id.site(accept.subject.span), nearest(&subject, subjects))
            }
        };
        let message = format!("This accepts nothing: no check `{check}` says anything about `{subject}`.");
        let mut verdict = Verdict::new("accept/idle", Outcome::Clash, subject, site, message);
        if let Some(near) = near {
            verdict = verdict.with_fix(Fix::replace(format!("write {near}"), site, near));
        }
        Some(verdict)
    });
    idle.collect()
}

/// What one check says of a world, also of one that stands in no file; accepted points not marked.
pub fn said_in(ctx: &Ctx<'_>, check: &str) -> Vec<Verdict> {
    match CHECKS.iter().find(|it| it.name == check).map(|it| &it.judge) {
        Some(Judge::World(judge)) => judge(ctx),
        _ => Vec::new(),
    }
}

/// The verdicts of all checks on a vehicle before and after its changes, by one of its ways if it has any,
/// accepted points marked.
pub fn of_world(db: &dyn Db, workspace: Workspace, id: Id, way: Option<u32>) -> Vec<Verdict> {
    let mut verdicts = Vec::new();
    for (nth, check) in CHECKS.iter().enumerate() {
        if matches!(check.judge, Judge::World(_)) {
            verdicts.extend(judged(db, workspace, id.item, id.nth, way, nth as u32).iter().cloned());
        }
    }
    if let Some(world) = world(db, workspace, id.item, id.nth, way) {
        mark_accepted(&world, &mut verdicts);
    }
    verdicts
}

/// What all other checks say of the same world, accepted points marked; for the one check that
/// judges by what is settled. No other check may ask for this, or they would wait for one another.
pub(crate) fn of_other_checks(ctx: &Ctx<'_>, own: &str) -> Vec<Verdict> {
    let id = ctx.world.root();
    let ways = conversion(ctx.db, id).map(|it| it.ways.as_slice()).unwrap_or_default();
    let way = ways.iter().position(|it| Some(&it.name.value) == ctx.world.way.as_ref());
    let way = way.and_then(|it| u32::try_from(it).ok());
    let mut verdicts = Vec::new();
    for (nth, check) in CHECKS.iter().enumerate() {
        if matches!(check.judge, Judge::World(_)) && check.name != own {
            let said = judged(ctx.db, ctx.workspace, id.item, id.nth, way, nth as u32);
            verdicts.extend(said.iter().cloned());
        }
    }
    mark_accepted(ctx.world, &mut verdicts);
    verdicts
}

/// Marks the open points that the conversion accepts.
fn mark_accepted(world: &World, verdicts: &mut [Verdict]) {
    for verdict in verdicts.iter_mut().filter(|it| it.outcome == Outcome::Open) {
        let accepted = world
            .accepts
            .iter()
            .find(|it| it.check.value == verdict.check && it.subject.text() == verdict.subject);
        if let Some(accept) = accepted {
            if accept.by.is_none() && !verdict.safety.is_empty() {
                let told = "accepted without a name: where safety hangs on it, `by \"…\"` is wanted too";
                verdict.because.push(told.to_owned());
                continue;
            }
            let reason = accept.because.clone().unwrap_or_else(|| "no reason given".into());
            let by = accept.by.as_ref().map(|it| format!(", {it}")).unwrap_or_default();
            verdict.accepted = Some(format!("{reason}{by}"));
        }
    }
}

/// The verdicts of each way; those that all ways share are said once.
fn by_ways(db: &dyn Db, workspace: Workspace, id: Id, count: u32) -> Vec<Verdict> {
    let each: Vec<Vec<Verdict>> = (0..count).map(|it| of_world(db, workspace, id, Some(it))).collect();
    let ways = conversion(db, id).map(|it| it.ways.as_slice()).unwrap_or_default();
    let mut all: Vec<Verdict> = Vec::new();
    for (nth, verdicts) in each.iter().enumerate() {
        for verdict in verdicts {
            let shared = each.iter().all(|it| it.contains(verdict));
            if !shared {
                let mut own = verdict.clone();
                let way = ways.get(nth).map(|it| it.name.value.to_string()).unwrap_or_default();
                own.message = format!("By way of {}: {}", way.replace('_', " "), own.message);
                all.push(own);
            } else if nth == 0 {
                all.push(verdict.clone());
            }
        }
    }
    all
}

/// All verdicts of the user's files, by file in order of path.
pub fn check_workspace(db: &dyn Db, workspace: Workspace) -> Vec<Verdict> {
    let files = workspace.files(db);
    files.values().flat_map(|file| verdicts_of(db, workspace, *file)).cloned().collect()
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn accepted(accept: &str) -> crate::testing::Found {
        let source = format!(
            "kind brake {{ asks lining material\n  safety brakes }}\n\
             family Dunlin {{ built 2009-06 to 2018-12, place brake is brake }}\n\
             part shoes is brake fills brake\n\
             vehicle van is Dunlin {{ built 2012-04 }}\n\
             conversion easy {{ recipient van, fit shoes\n  {accept} }}"
        );
        check("kind/asked", &source)
    }

    #[test]
    fn a_point_of_safety_is_accepted_only_with_a_name() {
        let nameless = accepted("accept kind/asked brake.lining_material because \"seen\"");
        assert_eq!(nameless.only().accepted, None);
        assert!(nameless.only().because[0].contains("without a name"));
        let named = accepted("accept kind/asked brake.lining_material because \"seen\" by \"M. O.\"");
        assert_eq!(named.only().accepted.as_deref(), Some("seen, M. O."));
    }

    #[test]
    fn what_is_accepted_for_nothing_is_told_with_the_near_name() {
        let found = accepted("accept kind/asked brake.lining_materail because \"seen\" by \"M. O.\"");
        assert!(found.listing().contains("accept/idle"), "{}", found.listing());
    }
}

//! What must hold before a piece of work.

use trunnion_model::decl::Need;
use trunnion_model::judge::{Judge as Judging, Judged, Truth};
use trunnion_model::known;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::{Place, When};

use super::CHECK;
use crate::checks::need::{open_question, ways_out};
use crate::ctx::{Ctx, capital};
use crate::works::Job;

/// A verdict on each demand of a piece of work.
pub(super) fn judged(ctx: &Ctx<'_>, job: &Job<'_>) -> Vec<Verdict> {
    job.work.needs.iter().filter_map(|it| one(ctx, job, it)).collect()
}

fn one(ctx: &Ctx<'_>, job: &Job<'_>, need: &Need) -> Option<Verdict> {
    let own = job.work.on.iter().find_map(|it| ctx.world.place(it.head()));
    let judging = Judging {
        db: ctx.db,
        workspace: ctx.workspace,
        world: ctx.world,
        own: None,
        when: When::After,
        stand: None,
    };
    let judged = judging.judge(&need.condition);
    if judged.truth == Truth::Open && asked_already(ctx, &judged) {
        return None;
    }
    let who = capital(&job.shown(ctx));
    let (subject, site) = (format!("{}.needs", job.name), job.id.site(need.span));
    let mut found = judged.found.clone();
    found.push(known::said(ctx.db, ctx.workspace, job.id, &need.claim, need.span));
    let mut verdict = match judged.truth {
        Truth::Yes => {
            let message = format!("{who} needs {}: {}.", judged.need, judged.have);
            ctx.clear(CHECK.name, subject, site, message, &found)
        }
        Truth::No => {
            let message = format!("{who} needs {}, but {}.", judged.need, judged.have);
            ctx.clash(CHECK.name, subject, site, message, &found).with_fixes(ways_out(ctx, &judged))
        }
        Truth::Open => {
            let anywhere: &Place = own.or(ctx.world.places.first())?;
            let hangs = format!("whether {} may begin", job.shown(ctx));
            let (question, why) = open_question(ctx, anywhere, &judged, hangs);
            let fixes = judged.missing.iter().filter(|it| !it.measure.is_empty() && it.disputed.is_empty());
            let fixes = fixes.filter_map(|it| ctx.state_fact(ctx.world.place(&it.place)?, &it.measure, None));
            let message = format!("{who} needs {}; {why}.", judged.need);
            ctx.open(CHECK.name, subject, site, message, question).with_fixes(fixes)
        }
    };
    verdict.need = Some(judged.need);
    verdict.have = Some(judged.have);
    verdict.formula = judged.formula;
    verdict.margin = judged.margin;
    for source in &judged.sources {
        verdict = verdict.with_source(source);
    }
    for place in job.work.on.iter().filter_map(|it| ctx.world.place(it.head())) {
        for area in ctx.safety(place) {
            if !verdict.safety.contains(&area) {
                verdict.safety.push(area);
            }
        }
    }
    Some(verdict)
}

/// Whether kind/asked asks already for the one thing that is missing.
fn asked_already(ctx: &Ctx<'_>, judged: &Judged) -> bool {
    let [missing] = judged.missing.as_slice() else { return false };
    let Some(place) = ctx.world.place(&missing.place).filter(|it| it.changed()) else { return false };
    missing.disputed.is_empty()
        && ctx.kind_after(place).is_some_and(|(_, it)| it.ask(&missing.measure).is_some())
}

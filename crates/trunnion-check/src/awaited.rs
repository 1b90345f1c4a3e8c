//! What is waited for: the parts that are bought, what services need, and what the log says of them.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::db::Site;
use trunnion_model::decl::{Body, Event};
use trunnion_model::fact::{Claim, Found, Standing};
use trunnion_model::known::{self, logs};
use trunnion_model::name::{Id, Space};
use trunnion_syntax::tree::{Date, Span};

use crate::checks::stock_missing::wanted;
use crate::ctx::Ctx;
use crate::works::{Job, renewed};

/// Something that is waited for.
#[derive(Clone, Debug)]
pub struct Awaited {
    /// The part, or the service that needs something.
    pub id: Id,
    /// As in a verdict: `flywheel`, `flywheel.solid`.
    pub subject: String,
    /// In words: "the flywheel (solid, new)".
    pub shown: String,
    /// The names under which the log may speak of it; the second is the place it goes into, if it has one.
    pub names: Vec<String>,
    /// How long it takes to come, if anybody said so.
    pub wait: Option<Quantity>,
    /// Where that is stated.
    pub stated: Found,
    /// Where it is asked for.
    pub site: Site,
    /// Whether it lies on the own shelf or is made by oneself and needs no order.
    pub here: bool,
    /// Whether anybody offers it; what nobody offers has no wait to ask for.
    pub offered: bool,
}

/// Everything that is put in and comes from no donor, and what the renewed services need.
pub fn awaited(ctx: &Ctx<'_>) -> Vec<Awaited> {
    let mut all: Vec<Awaited> = Vec::new();
    for it in wanted(ctx) {
        let offer = ctx.part(it.part).and_then(|part| part.offer.as_ref());
        let wait = offer.and_then(|it| it.wait);
        // What lies on the shelf needs no order; what is made here takes its own work.
        let on_shelf = offer
            .is_some_and(|offer| offer.price.is_none() && offer.stock.is_some_and(|stock| stock >= it.count));
        let here = on_shelf || it.made && wait.is_none();
        all.push(Awaited {
            id: it.part,
            names: vec![it.part.name(ctx.db).to_string(), it.place],
            stated: said(ctx, it.part, offer.map(|it| (&it.claim, it.span))),
            subject: it.subject,
            shown: it.shown,
            site: it.site,
            wait,
            here,
            offered: offer.is_some_and(|it| it.price.is_some()),
        });
    }
    for (name, change) in renewed(ctx) {
        let Some(id) = ctx.find(ctx.world.root(), Space::Work, &name) else { continue };
        let Some(Body::Work(work)) = id.decl(ctx.db).map(|it| &it.body) else {
            continue;
        };
        let Some(offer) = &work.offer else { continue };
        all.push(Awaited {
            id,
            subject: name.clone(),
            shown: format!("what {} needs", id.shown(ctx.db)),
            names: vec![name],
            wait: offer.wait,
            stated: said(ctx, id, Some((&offer.claim, offer.span))),
            site: change.site,
            here: false,
            offered: true,
        });
    }
    all
}

/// What a piece of work needs of this: the parts that go into the places it works on, and what a service is
/// offered with. What opens something takes it apart, and needs no part.
pub fn needed(ctx: &Ctx<'_>, job: &Job<'_>) -> Vec<Awaited> {
    let fits = job.work.opens.is_empty() && !job.work.service;
    let place =
        |it: &Awaited| it.names.get(1).is_some_and(|name| job.work.on.iter().any(|on| on.head() == name));
    awaited(ctx).into_iter().filter(|it| it.id == job.id || fits && place(it)).collect()
}

fn said(ctx: &Ctx<'_>, id: Id, stated: Option<(&Claim, Span)>) -> Found {
    match stated {
        Some((claim, span)) => known::said(ctx.db, ctx.workspace, id, claim, span),
        None => known::said(ctx.db, ctx.workspace, id, &Claim::default(), id.name_site(ctx.db).span),
    }
}

/// What the log says of something: when it was ordered, when it came; and the log's newest day.
pub struct Told {
    /// When it was ordered last.
    pub ordered: Option<(Date, Found)>,
    /// When it came last.
    pub arrived: Option<(Date, Found)>,
    /// The newest day of the log.
    pub newest: Option<Date>,
}

/// What the log says of the thing of these names.
pub fn told(ctx: &Ctx<'_>, names: &[String]) -> Told {
    let mut told = Told { ordered: None, arrived: None, newest: None };
    for (id, log) in logs(ctx.db, ctx.workspace, ctx.world, ctx.world.recipient.vehicle) {
        for entry in &log.entries {
            told.newest = told.newest.max(Some(entry.date));
            let found = |standing| Found {
                values: Vec::new(),
                bound: None,
                standing,
                source: format!("job log, {}", entry.date),
                source_item: Some(id.item),
                site: id.site(entry.span),
            };
            let is_it = |what: &str| names.iter().any(|it| !it.is_empty() && it == what);
            match &entry.event {
                Event::Ordered { what, .. } if is_it(what.head()) => {
                    told.ordered = Some((entry.date, found(Standing::Documented)));
                }
                Event::Arrived { what } if is_it(what.head()) => {
                    told.arrived = Some((entry.date, found(Standing::Measured)));
                }
                _ => {}
            }
        }
    }
    told
}

/// Least and most whole days of a wait. None for one of a century, which is none.
pub fn days(wait: &Quantity) -> Option<(i64, i64)> {
    let days = |seconds: f64| -> Option<i64> {
        let days = (seconds / 86_400.0).ceil();
        #[allow(clippy::cast_possible_truncation)]
        (0.0..36_500.0).contains(&days).then_some(days as i64)
    };
    Some((days(wait.lo())?, days(wait.hi())?))
}

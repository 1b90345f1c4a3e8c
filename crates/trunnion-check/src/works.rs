//! The pieces of work that belong to a conversion: which they are, what opens what, what is done already.

use std::collections::BTreeSet;

use trunnion_handbook::quantity::Quantity;
use trunnion_model::built::scope_of;
use trunnion_model::db::Site;
use trunnion_model::decl::{Body, Event, Verb, Work};
use trunnion_model::fact::Found;
use trunnion_model::known::{self, logs};
use trunnion_model::name::{Id, Space};
use trunnion_syntax::tree::Date;

use crate::ctx::Ctx;

/// A piece of work, or a service.
#[derive(Clone)]
pub struct Job<'a> {
    /// Its declaration.
    pub id: Id,
    /// Its name.
    pub name: String,
    /// What it states.
    pub work: &'a Work,
    /// When the log says that it was done.
    pub done: Option<Date>,
}

impl Job<'_> {
    /// As it is shown: "gearbox out".
    pub fn shown(&self, ctx: &Ctx<'_>) -> String {
        self.id.shown(ctx.db)
    }

    /// Where to point at.
    pub fn site(&self, ctx: &Ctx<'_>) -> Site {
        self.id.name_site(ctx.db)
    }

    /// Whether it opens an access.
    pub fn opens(&self, access: &str) -> bool {
        self.work.opens.iter().any(|it| it.value == access)
    }

    /// Whether it can only be done while an access is open.
    pub fn reached_in(&self, access: &str) -> bool {
        self.work.reached_in.iter().any(|it| it.value == access)
    }

    /// Its declaration as a claim, for what it states.
    pub fn found(&self, ctx: &Ctx<'_>) -> Option<Found> {
        let decl = self.id.decl(ctx.db)?;
        let name = decl.name.as_ref().map_or(decl.span, |it| it.span);
        Some(known::said(ctx.db, ctx.workspace, self.id, &decl.claim, name))
    }
}

/// Every piece of work and every service that the conversion can see.
pub fn declared<'a>(ctx: &Ctx<'a>) -> Vec<Job<'a>> {
    let scope = scope_of(ctx.db, ctx.workspace, ctx.world.root());
    let mut done: Vec<(String, Date)> = Vec::new();
    for (_, log) in logs(ctx.db, ctx.workspace, ctx.world, ctx.world.recipient.vehicle) {
        for entry in &log.entries {
            if let Event::Done { what, .. } = &entry.event {
                done.push((what.clone(), entry.date));
            }
        }
    }
    let named =
        |text: &str, name: &str| text.split(|c: char| !c.is_alphanumeric() && c != '_').any(|it| it == name);
    let jobs = scope.each(Space::Work).filter_map(|(_, id)| match id.decl(ctx.db).map(|it| &it.body) {
        Some(Body::Work(work)) => {
            let name = id.name(ctx.db).to_string();
            let when = done.iter().filter(|(text, _)| named(text, &name)).map(|it| it.1).min();
            Some(Job { id, name, work: work.as_ref(), done: when })
        }
        _ => None,
    });
    jobs.collect()
}

/// The names after `renew`, with the statement.
pub fn renewed(ctx: &Ctx<'_>) -> Vec<(String, Found)> {
    let Some(id) = ctx.world.conversion else { return Vec::new() };
    let mut all = Vec::new();
    for change in &ctx.world.changes {
        if let Verb::Renew { items } = &change.verb {
            let found = known::said(ctx.db, ctx.workspace, id, &change.claim, change.span);
            all.extend(items.iter().map(|it| (it.head().to_string(), found.clone())));
        }
    }
    all
}

/// The pieces of work of this conversion: those on a place that it changes or cuts, services that it renews,
/// what opens the way to them, what is reached only there, and what must be done before.
pub fn works<'a>(ctx: &Ctx<'a>) -> Vec<Job<'a>> {
    if ctx.world.conversion.is_none() {
        return Vec::new();
    }
    let all = declared(ctx);
    let renewed: BTreeSet<String> = renewed(ctx).into_iter().map(|it| it.0).collect();
    let mut touched: BTreeSet<String> =
        ctx.world.places.iter().filter(|it| it.changed()).map(|it| it.name.to_string()).collect();
    for change in &ctx.world.changes {
        if let Verb::Cut { what, .. } = &change.verb {
            touched.insert(what.head().to_string());
        }
    }
    touched.extend(renewed.iter().cloned());
    let on_touched = |it: &Job<'_>| it.work.on.iter().any(|place| touched.contains(place.head().as_str()));
    let mut mine: Vec<bool> =
        all.iter().map(|it| renewed.contains(&it.name) || !it.work.service && on_touched(it)).collect();
    loop {
        let before = mine.iter().filter(|it| **it).count();
        for at in 0..all.len() {
            if !mine[at] {
                mine[at] = drawn_in(&all, &mine, at);
            }
        }
        if mine.iter().filter(|it| **it).count() == before {
            break;
        }
    }
    all.into_iter().zip(mine).filter(|it| it.1).map(|it| it.0).collect()
}

/// Whether a piece of work comes with those that are known to be done.
fn drawn_in(all: &[Job<'_>], mine: &[bool], at: usize) -> bool {
    let it = &all[at];
    let done: Vec<&Job<'_>> = all.iter().zip(mine).filter(|it| *it.1).map(|it| it.0).collect();
    let asked_for = done.iter().any(|other| other.work.after.iter().any(|name| *name.head() == it.name));
    // It alone opens what one of them needs open.
    let only_way = done.iter().any(|other| {
        other.work.reached_in.iter().any(|access| {
            let openers = all.iter().filter(|it| it.opens(&access.value)).count();
            openers == 1 && it.opens(&access.value)
        })
    });
    // Work without a place of its own belongs to what is open anyway.
    let inside = !it.work.service
        && it.work.on.is_empty()
        && it.work.reached_in.iter().any(|access| done.iter().any(|other| other.opens(&access.value)));
    asked_for || only_way || inside
}

/// Hours in words, as they add up: "14 h 35 min".
pub fn hours(time: &Quantity) -> Option<String> {
    let minutes = time.in_unit("min")?.round();
    let (hours, rest) = ((minutes / 60.0).floor(), minutes % 60.0);
    Some(match (hours > 0.0, rest > 0.0) {
        (true, true) => format!("{hours} h {rest} min"),
        (true, false) => format!("{hours} h"),
        _ => format!("{rest} min"),
    })
}

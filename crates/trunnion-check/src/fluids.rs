//! What is filled into what: the places that hold a fluid, and the work that fills them.

use trunnion_model::built::scope_of;
use trunnion_model::decl::{Body, Verb, Work};
use trunnion_model::fact::{Fact, Found};
use trunnion_model::kinds::WholeKind;
use trunnion_model::known;
use trunnion_model::name::{Id, Space};
use trunnion_model::verdict::{Edit, Fix};
use trunnion_model::world::Place;
use trunnion_syntax::tree::Span;

use crate::ctx::{Ctx, insert};

/// A place that is filled, with the work that says with what.
pub(crate) struct Filled<'a> {
    /// The place.
    pub place: &'a Place,
    /// Work on the place that names a fluid or an amount.
    pub work: Vec<(Id, &'a Work)>,
    /// Other work on the place.
    pub other: Vec<(Id, &'a Work)>,
}

/// The work that is done on a place: what is declared for it, and the services that are renewed.
fn work_on<'a>(ctx: &Ctx<'a>, place: &Place) -> Vec<(Id, &'a Work)> {
    let renewed = |id: Id| {
        let name = id.name(ctx.db);
        ctx.world.changes.iter().any(|it| match &it.verb {
            Verb::Renew { items } => items.iter().any(|it| *it.head() == name),
            _ => false,
        })
    };
    let scope = scope_of(ctx.db, ctx.workspace, ctx.world.root());
    let all = scope.each(Space::Work).filter_map(|(_, id)| match id.decl(ctx.db).map(|it| &it.body) {
        Some(Body::Work(it)) => Some((id, it.as_ref())),
        _ => None,
    });
    all.filter(|(id, it)| it.on.iter().any(|on| *on.head() == place.name) && (!it.service || renewed(*id)))
        .collect()
}

/// What a piece of work states.
pub(crate) fn stated<'a>(work: &'a Work, name: &str) -> Option<&'a Fact> {
    work.facts.iter().find(|it| it.target.is_empty() && it.name.value == name)
}

/// The same as a claim.
pub(crate) fn claim(ctx: &Ctx<'_>, id: Id, fact: &Fact) -> Found {
    known::as_found(ctx.db, ctx.workspace, id, fact)
}

/// The places that something is to be filled into: those that change and hold a fluid, and those
/// that work is done on which names one.
pub(crate) fn filled<'a>(ctx: &Ctx<'a>) -> Vec<Filled<'a>> {
    if ctx.world.conversion.is_none() {
        return Vec::new();
    }
    let places = ctx.world.places.iter().filter(|it| it.after.is_filled());
    places
        .filter_map(|place| {
            let names = |it: &Work| stated(it, "fluid").is_some() || stated(it, "fluid_amount").is_some();
            let (work, other): (Vec<_>, Vec<_>) =
                work_on(ctx, place).into_iter().partition(|(_, it)| names(it));
            (place.changed() || !work.is_empty()).then_some(Filled { place, work, other })
        })
        .collect()
}

/// The media that a kind holds, its own and those of the kinds it builds on, by name.
pub(crate) fn media(ctx: &Ctx<'_>, kind: &WholeKind) -> Vec<String> {
    let kinds = kind.line.iter().filter_map(|id| match &id.decl(ctx.db)?.body {
        Body::Kind(it) => Some(it),
        _ => None,
    });
    kinds.flat_map(|it| it.media.iter().map(|it| it.head().to_string())).collect()
}

impl Filled<'_> {
    /// A way out that states it in work on the place, or in work of its own after the conversion.
    pub fn state(&self, ctx: &Ctx<'_>, title: &str, statements: &[String]) -> Option<Fix> {
        if let Some((id, _)) = self.work.first().or(self.other.first()) {
            let edits = statements.iter().filter_map(|it| insert(ctx.db, *id, it)).collect();
            return Some(Fix { title: format!("{title} in {}", id.shown(ctx.db)), edits });
        }
        let id = ctx.world.conversion?;
        let end = id.decl(ctx.db)?.span.end;
        let name = &self.place.name;
        let text = format!(
            "\n\nwork fill_{name} \"fill the {}\" {{\n  on {name}\n  {}\n}}",
            self.place.shown(),
            statements.join("\n  ")
        );
        let edits = vec![Edit { site: id.site(Span::new(end, end)), text }];
        Some(Fix { title: format!("{title} as work of its own"), edits })
    }
}

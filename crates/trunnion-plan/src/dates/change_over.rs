//! The dates on which something changes over, and the spans between them.

use std::collections::{BTreeSet, HashSet};

use jiff::civil::Date;
use trunnion_check::calendar::{first_day, last_day};
use trunnion_model::built::{family, scope_of};
use trunnion_model::db::{Db, SourceFile, Workspace};
use trunnion_model::decl::{Body, Fitted};
use trunnion_model::name::Id;
use trunnion_model::world::World;
use trunnion_syntax::expr::{Expr, ExprKind};
use trunnion_syntax::tree;

/// The spans between change-over dates, first and last day of each, over the window of the
/// recipient's family. None where the family has no window.
pub fn spans(db: &dyn Db, workspace: Workspace, world: &World) -> Option<Vec<(Date, Date)>> {
    let families = &world.recipient.families;
    let window = families.iter().find_map(|it| family(db, *it)?.built)?;
    let (first, last) = (first_day(window.0), last_day(window.1));
    let mut starts: BTreeSet<Date> = BTreeSet::from([first]);
    let every = seen(db, workspace, world);
    let fitted = every.iter().flat_map(|id| fitted(db, *id));
    let windows = fitted.filter(|it| concerns(db, it, families)).map(|it| (it.from, it.to));
    let compared = every.iter().flat_map(|id| conditions(db, *id)).flat_map(dates_in);
    // A span begins on the day of a change, and on the day after a last day.
    for (from, to) in windows.chain(compared.map(|it| (Some(it), Some(it)))) {
        starts.extend(from.map(first_day));
        starts.extend(to.and_then(|it| last_day(it).tomorrow().ok()));
    }
    let starts: Vec<Date> = starts.into_iter().filter(|it| first <= *it && *it <= last).collect();
    let ends = starts.iter().skip(1).filter_map(|it| it.yesterday().ok()).chain([last]);
    Some(starts.iter().copied().zip(ends).collect())
}

/// Everything that the conversion, its recipient or a family of that can see, each once.
pub fn seen(db: &dyn Db, workspace: Workspace, world: &World) -> Vec<Id> {
    let from =
        [world.root(), world.recipient.vehicle].into_iter().chain(world.recipient.families.iter().copied());
    let mut files: Vec<SourceFile> = Vec::new();
    let (mut known, mut all): (HashSet<Id>, Vec<Id>) = (HashSet::new(), Vec::new());
    for id in from {
        let file = id.item.file(db);
        if !files.contains(&file) {
            files.push(file);
            all.extend(scope_of(db, workspace, id).every().into_iter().filter(|it| known.insert(*it)));
        }
    }
    all
}

/// The windows of a part or a loom, those of places that a part only suits among them.
pub fn fitted(db: &dyn Db, id: Id) -> Vec<&Fitted> {
    match id.decl(db).map(|it| &it.body) {
        Some(Body::Part(it)) => it.fitted.iter().chain(it.suits.iter().map(|it| &it.1)).collect(),
        Some(Body::Loom(it)) => it.fitted.iter().collect(),
        _ => Vec::new(),
    }
}

/// Whether a window is about one of these families.
pub fn concerns(db: &dyn Db, fitted: &Fitted, families: &[Id]) -> bool {
    let named = |it: &trunnion_model::fact::Ref| families.iter().any(|id| id.name(db) == *it.head());
    fitted.family.as_ref().is_none_or(named)
}

/// Every condition of a declaration, in which a build date may stand.
pub fn conditions(db: &dyn Db, id: Id) -> Vec<&Expr> {
    match id.decl(db).map(|it| &it.body) {
        Some(Body::Rule(it)) => it.when.iter().chain(&it.needs).map(|it| &it.condition).collect(),
        Some(Body::Part(it)) => it.needs.iter().map(|it| &it.condition).collect(),
        Some(Body::Work(it)) => it.needs.iter().map(|it| &it.condition).collect(),
        _ => Vec::new(),
    }
}

/// The dates in a condition.
pub fn dates_in(expr: &Expr) -> Vec<tree::Date> {
    match &expr.kind {
        ExprKind::Date(it) => vec![*it],
        ExprKind::Not(a) => dates_in(a),
        ExprKind::And(a, b) | ExprKind::Or(a, b) | ExprKind::Arithmetic(_, a, b) => {
            dates_in(a).into_iter().chain(dates_in(b)).collect()
        }
        ExprKind::Compare { left, right, .. } => dates_in(left).into_iter().chain(dates_in(right)).collect(),
        ExprKind::Call(_, all) => all.iter().flat_map(dates_in).collect(),
        _ => Vec::new(),
    }
}

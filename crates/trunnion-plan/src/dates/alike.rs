//! Spans and sets of options that cannot be told apart, so that one of them is checked for all.
//!
//! What sits where as built follows from the windows of parts and looms and from the options that the family
//! binds places, joints and lines to; nothing else in a specification reads the build date or an option, but
//! conditions that name them. Where each window says the same of two spans, and each option that is read has
//! the same value, the two vehicles are alike, and so is all that is said of them.

use std::collections::BTreeSet;

use jiff::civil::Date;
use trunnion_check::calendar::{first_day, last_day};
use trunnion_model::built::{family, scope_of};
use trunnion_model::db::{Db, Workspace};
use trunnion_model::decl::{Body, With};
use trunnion_model::name::{Id, Space};
use trunnion_model::world::World;
use trunnion_syntax::expr::{Expr, ExprKind};
use trunnion_syntax::tree::Name;

use super::change_over::{concerns, conditions, dates_in, fitted, seen};

/// All that reads the build date or an option.
pub struct Alike {
    windows: Vec<Window>,
    /// The options whose value is read as such.
    read: Vec<Name>,
    /// The days from which on a condition with a date says something else.
    days: Vec<Date>,
    /// Whether a condition asks for the build date itself, which then stands in what is said.
    asked: bool,
}

/// A window of a part or a loom.
struct Window {
    from: Option<Date>,
    to: Option<Date>,
    with: Vec<(Name, Name)>,
    /// Whether it is that of a part which the conversion brings: that is judged by its dates also where the
    /// vehicle has other options.
    own: bool,
}

impl Alike {
    /// Of a conversion, by all its ways.
    pub fn of(db: &dyn Db, workspace: Workspace, worlds: &[&World]) -> Self {
        let mut it = Self { windows: Vec::new(), read: Vec::new(), days: Vec::new(), asked: false };
        let Some(first) = worlds.first() else { return it };
        let families = &first.recipient.families;
        let mut read: BTreeSet<Name> = BTreeSet::new();
        let mut days: BTreeSet<Date> = BTreeSet::new();
        let changed = worlds.iter().flat_map(|it| &it.places).filter(|it| it.changed());
        let brought: BTreeSet<String> =
            changed.flat_map(|it| it.after.parts()).map(|it| it.name(db).to_string()).collect();
        let scope = scope_of(db, workspace, first.root());
        let mut named: BTreeSet<&str> = BTreeSet::new();
        for id in seen(db, workspace, first) {
            let own = brought.contains(id.name(db).as_str());
            for line in fitted(db, id).into_iter().filter(|it| concerns(db, it, families)) {
                if own {
                    read.extend(line.with.iter().map(|it| it.option.value.clone()));
                }
                it.windows.push(Window {
                    from: line.from.map(first_day),
                    to: line.to.map(last_day),
                    with: line
                        .with
                        .iter()
                        .map(|it| (it.option.value.clone(), it.value.value.clone()))
                        .collect(),
                    own,
                });
            }
            for condition in conditions(db, id) {
                words(condition, &mut named);
                for date in dates_in(condition) {
                    days.insert(first_day(date));
                    days.extend(last_day(date).tomorrow().ok());
                }
            }
            if let Some(Body::Line(line)) = id.decl(db).map(|it| &it.body) {
                read.extend(line.with.iter().map(|it| it.option.value.clone()));
            }
        }
        for with in families.iter().flat_map(|id| bound(db, *id)) {
            read.insert(with.option.value.clone());
        }
        let options = families.iter().filter_map(|id| family(db, *id)).flat_map(|it| &it.options);
        for (option, _) in options {
            let measure = scope.find(Space::Measure, &option.value).is_some();
            if measure || named.contains(option.value.as_str()) {
                read.insert(option.value.clone());
            }
        }
        it.asked = named.contains("built");
        it.read = read.into_iter().collect();
        it.days = days.into_iter().collect();
        it
    }

    /// What tells a span and a set of options from others: the same for those that are alike. The span may
    /// contain no change-over but on its first day.
    pub fn key(&self, from: Date, set: &[(String, String)]) -> Vec<u8> {
        let value = |option: &str| set.iter().find(|it| it.0 == option).map(|it| it.1.as_str());
        let mut key: Vec<u8> = Vec::with_capacity(self.windows.len() + 32);
        for it in &self.windows {
            // None of the values may differ, and one that is not stated leaves it open.
            let each = it.with.iter().map(|(option, wanted)| value(option).map(|it| *wanted == it));
            let (mut held, mut unsaid) = (true, false);
            for it in each {
                held &= it != Some(false);
                unsaid |= it.is_none();
            }
            let held = if held && unsaid { None } else { Some(held) };
            let inside = it.from.is_none_or(|it| it <= from) && it.to.is_none_or(|it| from <= it);
            key.push(match (held, it.own) {
                (Some(false), false) => 0,
                (held, _) => 1 + u8::from(inside) + 2 * held.map_or(0, |it| 1 + u8::from(it)),
            });
        }
        if self.asked {
            key.extend(from.to_string().bytes());
        }
        let passed = self.days.iter().filter(|it| **it <= from).count();
        key.extend((passed as u32).to_le_bytes());
        for option in &self.read {
            key.extend(value(option).unwrap_or_default().bytes());
            key.push(0);
        }
        key
    }
}

/// The options that a family binds places, joints, lines and what it holds to.
fn bound(db: &dyn Db, id: Id) -> Vec<&With> {
    let Some(it) = family(db, id) else { return Vec::new() };
    let places = it.places.iter().filter_map(|it| it.with.as_ref());
    let joints = it.joints.iter().filter_map(|it| it.with.as_ref());
    let lines = it.lines.iter().filter_map(|it| it.with.as_ref());
    let holds = it.holds.iter().filter_map(|it| it.with.as_ref());
    places.chain(joints).chain(lines).chain(holds).collect()
}

/// Every word of the paths in a condition.
fn words<'e>(expr: &'e Expr, all: &mut BTreeSet<&'e str>) {
    match &expr.kind {
        ExprKind::Not(a) => words(a, all),
        ExprKind::And(a, b) | ExprKind::Or(a, b) | ExprKind::Arithmetic(_, a, b) => {
            words(a, all);
            words(b, all);
        }
        ExprKind::Compare { left, right, .. } => {
            words(left, all);
            words(right, all);
        }
        ExprKind::Call(_, each) => each.iter().for_each(|it| words(it, all)),
        ExprKind::Path(it) | ExprKind::Fitted(it) => all.extend(it.parts.iter().map(|it| it.value.as_str())),
        ExprKind::Sends(it, _) | ExprKind::Hears(it, _) | ExprKind::Has(it, _) => {
            all.extend(it.parts.iter().map(|it| it.value.as_str()));
        }
        ExprKind::Is(a, b) => all.extend(a.parts.iter().chain(&b.parts).map(|it| it.value.as_str())),
        ExprKind::Figure(_) | ExprKind::Text(_) | ExprKind::Date(_) | ExprKind::Marking(_) => {}
    }
}

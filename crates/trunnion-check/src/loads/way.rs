//! The way of a wire: the zones and runs it passes, how long it is, and what shares each run with it.

use std::collections::BTreeMap;

use trunnion_handbook::quantity::Quantity;
use trunnion_model::built::family;
use trunnion_model::db::Site;
use trunnion_model::decl::Run;
use trunnion_model::name::Id;
use trunnion_model::verdict::{Gate, Question, Who};
use trunnion_model::world::WireAt;
use trunnion_syntax::tree::Name;

use crate::ctx::Ctx;
use crate::sum::Sum;

/// What a wire needs beside its runs to reach its plugs, where the `basis` does not say: both ends.
const REACH: f64 = 1.0;

/// Two zones, the lesser name first.
pub type Between = (Name, Name);

/// The runs of a vehicle, and which wires pass each.
pub struct Ways<'a> {
    /// By their zones.
    pub runs: BTreeMap<Between, (Id, &'a Run)>,
    /// The wires in each run, by number in the world.
    pub shared: BTreeMap<Between, Vec<usize>>,
}

fn between(a: &Name, b: &Name) -> Between {
    if a <= b { (a.clone(), b.clone()) } else { (b.clone(), a.clone()) }
}

/// The pairs of zones that a wire passes from one to the next.
pub fn passes(wire: &WireAt) -> impl Iterator<Item = Between> {
    wire.wire
        .zones
        .windows(2)
        .filter(|it| it[0].head() != it[1].head())
        .map(|it| between(it[0].head(), it[1].head()))
}

impl<'a> Ways<'a> {
    /// All runs of the vehicle's families, with the wires in them after the changes.
    pub fn of(ctx: &Ctx<'a>) -> Self {
        let mut made = Self { runs: BTreeMap::new(), shared: BTreeMap::new() };
        for id in &ctx.world.recipient.families {
            for run in family(ctx.db, *id).into_iter().flat_map(|it| &it.runs) {
                made.runs.entry(between(run.a.head(), run.b.head())).or_insert((*id, run));
            }
        }
        for (nth, wire) in ctx.world.wires.iter().enumerate() {
            for it in passes(wire) {
                made.shared.entry(it).or_default().push(nth);
            }
        }
        made
    }

    /// How long a wire is: as stated, else the sum of its runs with what it needs to reach its plugs.
    /// None, and the sum ends open, where that is not stated.
    pub fn length(&self, sum: &mut Sum<'_, '_>, wire: &WireAt) -> Option<Quantity> {
        if let Some(stated) = wire.wire.length {
            return Some(stated);
        }
        let shown = format!("the wire from {} to {}", wire.a.text(), wire.b.text());
        if wire.wire.zones.is_empty() {
            let hangs = sum.hangs();
            sum.lacks(
                format!("the length of {shown}"),
                length_question(format!("the length of {shown}"), hangs),
            );
            return None;
        }
        let mut total = Quantity::exact(0.0, "m").ok()?;
        for pair in passes(wire) {
            let length = self.runs.get(&pair).and_then(|(_, it)| it.length);
            let Some(length) = length else {
                let what = format!("how long the way from {} to {} is", pair.0, pair.1).replace('_', " ");
                let hangs = sum.hangs();
                let mut question = length_question(what.clone(), hangs);
                question.type_in = Some(format!("in the family: run {} to {} … m", pair.0, pair.1));
                sum.lacks(what, question);
                return None;
            };
            total = total.add(&length).ok()?;
        }
        let reach = sum.basis_or("wire_allowance", REACH, "m")?;
        total.add(&reach).ok()?.shown_in("m").ok()
    }
}

fn length_question(what: String, hangs: String) -> Question {
    Question {
        what,
        good: None,
        tool: Some("tape, or a string laid along the way".to_owned()),
        precision: Some("0.1 m".to_owned()),
        minutes: Some(10),
        who: Who::Tape,
        gate: Gate::Power,
        hangs,
        type_in: Some("in the wire: … m long".to_owned()),
    }
}

/// Where a run is declared.
pub fn site(run: &(Id, &Run)) -> Site {
    run.0.site(run.1.span)
}

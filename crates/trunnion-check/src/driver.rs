//! What a driver can do: the persons that a specification tells of, and their figures.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::built::scope_of;
use trunnion_model::decl::Body;
use trunnion_model::fact::{Fact, Known, Standing};
use trunnion_model::known;
use trunnion_model::name::{Id, Space};
use trunnion_model::verdict::{Gate, Question, Verdict, Who};

use crate::ctx::{Ctx, question};
use crate::sum::Sum;

/// The persons that are told of.
pub(crate) fn persons(ctx: &Ctx<'_>) -> Vec<Id> {
    scope_of(ctx.db, ctx.workspace, ctx.world.root()).each(Space::Person).map(|it| it.1).collect()
}

/// The subject of a verdict on a person: it names the person only where there are several.
pub(crate) fn subject(ctx: &Ctx<'_>, about: String, person: Id, of: usize) -> String {
    if of > 1 { format!("{about}.{}", person.name(ctx.db)) } else { about }
}

fn facts<'a>(ctx: &Ctx<'a>, person: Id) -> &'a [Fact] {
    match person.decl(ctx.db).map(|it| &it.body) {
        Some(Body::Person(facts)) => facts,
        _ => &[],
    }
}

fn about<'a>(facts: &'a [Fact], measure: &str) -> impl Iterator<Item = &'a Fact> {
    facts.iter().filter(move |it| it.target.is_empty() && it.name.value == *measure)
}

/// Whether anybody stated what a person can do or reach, by measure.
pub(crate) fn told(ctx: &Ctx<'_>, person: Id, measure: &str) -> bool {
    about(facts(ctx, person), measure).next().is_some()
}

/// What a person can do or reach, by measure; asked for where nobody stated it.
pub(crate) fn ability(ctx: &Ctx<'_>, sum: &mut Sum<'_, '_>, person: Id, measure: &str) -> Option<Quantity> {
    let claims = about(facts(ctx, person), measure);
    let known = Known::settle(claims.map(|it| known::as_found(ctx.db, ctx.workspace, person, it)).collect());
    let words = measure.replace('_', " ");
    let declared = known::measure(ctx.db, ctx.workspace, ctx.world.root(), measure);
    let find_out = declared.map(|it| it.find_out.clone()).unwrap_or_default();
    let what = format!("the {words} of {}", person.shown(ctx.db));
    let mut ask = question(what, &find_out, sum.hangs());
    ask.type_in = Some(format!("in person {}: {words} at most …", person.name(ctx.db)));
    let found = sum.settle_with(&known, ask, None)?;
    let figure = found.quantity()?;
    // A figure measured without a stated precision is no better than the usual tool for it.
    match find_out.precision.filter(|_| found.standing == Standing::Measured && figure.is_exact()) {
        Some(precision) => figure.plus_minus(&precision).ok(),
        None => Some(figure),
    }
}

/// A verdict on a person points at where the person is told of, so that it is known to be private.
pub(crate) fn of(ctx: &Ctx<'_>, verdict: Verdict, person: Option<Id>) -> Verdict {
    match person {
        Some(it) => verdict.with_related(it.name_site(ctx.db), "the person"),
        None => verdict,
    }
}

/// The question for a driver of whom nothing is told.
pub(crate) fn nobody(measure: &str, hangs: String) -> Question {
    let words = measure.replace('_', " ");
    Question {
        what: format!("the {words} of the driver"),
        good: None,
        tool: Some("with the driver, seated and belted".to_owned()),
        precision: None,
        minutes: Some(20),
        who: Who::Owner,
        gate: Gate::Buying,
        hangs,
        type_in: Some(format!("in a private file: person driver {{ {words} at most … }}")),
    }
}

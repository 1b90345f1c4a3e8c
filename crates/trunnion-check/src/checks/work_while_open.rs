//! # work/while-open
//!
//! A service that can be reached only while something is open that this conversion opens is renewed along
//! with it, or somebody decides that it is not.
//!
//! ## Why it matters
//!
//! A seal of 28 EUR behind a gearbox that is out anyway takes half an hour. The same seal a year later takes
//! the gearbox out again.
//!
//! ## An example that stays open
//!
//! ```trunnion open
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12, place gearbox is unit }
//! part auto_six is unit fills gearbox { mass 86 kg }
//! work gearbox_out { takes 3 h, on gearbox, opens clutch_housing }
//! service rear_seal "rear crankshaft seal" { reached only in clutch_housing, takes 30 min, offer 28 EUR }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit auto_six }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12, place gearbox is unit }
//! part auto_six is unit fills gearbox { mass 86 kg }
//! work gearbox_out { takes 3 h, on gearbox, opens clutch_housing }
//! service rear_seal "rear crankshaft seal" { reached only in clutch_housing, takes 30 min, offer 28 EUR }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit auto_six, renew rear_seal }
//! ```
//!
//! ## References
//!
//! What the specification and the job log state. That a seal is renewed while access is open: common practice,
//! no source.

use trunnion_model::fact::Found;
use trunnion_model::verdict::{Gate, Question, Verdict, Who};

use crate::check::{Check, Judge};
use crate::ctx::{Ctx, capital, listed};
use crate::works::{Job, declared, hours, renewed, works};

/// The check.
pub static CHECK: Check =
    Check { name: "work/while-open", source: include_str!("work_while_open.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let (jobs, renewed) = (works(ctx), renewed(ctx));
    let services = declared(ctx).into_iter().filter(|it| it.work.service);
    services.filter_map(|it| one(ctx, &it, &jobs, &renewed)).collect()
}

fn one(ctx: &Ctx<'_>, service: &Job<'_>, jobs: &[Job<'_>], renewed: &[(String, Found)]) -> Option<Verdict> {
    // All of its ways in must be open: one that nothing opens is judged by work/order.
    let mut openers: Vec<&Job<'_>> = Vec::new();
    for access in &service.work.reached_in {
        openers.push(jobs.iter().find(|it| it.opens(&access.value))?);
    }
    let first = openers.first()?;
    let accesses: Vec<String> = service.work.reached_in.iter().map(|it| it.value.replace('_', " ")).collect();
    let (who, access) = (service.shown(ctx), listed(&accesses));
    let subject = service.name.clone();
    let own = service.found(ctx)?;
    if let Some(on) = service.done {
        let message = format!("{} was renewed on {on}, with {access} open.", capital(&who));
        return Some(ctx.clear(CHECK.name, subject, service.site(ctx), message, &[own]));
    }
    if let Some((_, change)) = renewed.iter().find(|it| it.0 == service.name) {
        let message =
            format!("{} is renewed while {access} is open for {}.", capital(&who), first.shown(ctx));
        return Some(ctx.clear(CHECK.name, subject, change.site, message, &[change.clone(), own]));
    }
    let offer = service.work.offer.as_ref();
    let price = offer.and_then(|it| it.price).map(|it| it.display());
    let figures: Vec<String> = service.work.takes.as_ref().and_then(hours).into_iter().chain(price).collect();
    let cost = if figures.is_empty() { String::new() } else { format!(" ({})", figures.join(", ")) };
    let last = last_renewed(ctx, service);
    let since = last.as_ref().map(|it| format!("; last renewed {}", it.display())).unwrap_or_default();
    let message = format!(
        "{}{cost} can be reached only while {access} is open, as it will be for {}{since}; nobody has said whether it is \
         renewed.",
        capital(&who),
        first.shown(ctx)
    );
    let statement = format!("renew {}", service.name);
    let question = Question {
        what: format!("whether {who} is renewed while {access} is open"),
        good: None,
        tool: None,
        precision: None,
        minutes: Some(5),
        who: Who::Owner,
        gate: Gate::Buying,
        hangs: format!("whether {access} is opened once or twice"),
        type_in: Some(statement.clone()),
    };
    let fix = ctx.add_change(format!("renew {who} with it"), &statement);
    let verdict = ctx.open(CHECK.name, subject, service.site(ctx), message, question).with_fixes(fix);
    let because = service.id.decl(ctx.db).and_then(|it| it.claim.because.clone());
    let verdict = crate::ctx::with_found(verdict, &last.into_iter().chain([own]).collect::<Vec<_>>());
    Some(match because.or_else(|| offer.and_then(|it| it.claim.because.clone())) {
        Some(because) => verdict.with_because(because.to_string()),
        None => verdict,
    })
}

/// When what the service works on was renewed last, where somebody stated it.
fn last_renewed(ctx: &Ctx<'_>, service: &Job<'_>) -> Option<Found> {
    let places = service.work.on.iter().filter_map(|it| ctx.world.place(it.head()));
    places.into_iter().find_map(|it| ctx.fact(it, "last_renewed").best().cloned())
}

#[cfg(test)]
mod tests {
    use crate::testing::{Found, check};

    fn opened(service: &str, conversion: &str, log: &str) -> Found {
        let source = format!(
            r#"
source manual "Workshop manual" documented
kind unit {{ asks mass }}
family Dunlin {{ built 2009-06 to 2018-12, place gearbox, engine is unit }}
part auto_six is unit fills gearbox {{ mass 86 kg }}
part diesel is unit fills engine {{ fitted on Dunlin, last renewed "2019-05, at 96000 km" per manual }}
work gearbox_out "gearbox out" {{ takes 3 h, on gearbox, opens clutch_housing }}
work dash_out {{ opens footwell }}
service rear_seal "rear crankshaft seal" {{ {service} }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{ recipient van, fit auto_six
  {conversion} }}
log of van {{ {log} }}"#
        );
        check("work/while-open", &source)
    }

    const SEAL: &str =
        "reached only in clutch_housing, takes 30 min, offer 28 EUR because \"it is behind the gearbox\"";

    #[test]
    fn what_is_renewed_is_clear() {
        let found = opened(SEAL, "renew rear_seal", "");
        found.clear("Rear crankshaft seal is renewed while clutch housing is open for gearbox out.");
        assert_eq!(found.text(), "renew rear_seal");
    }

    #[test]
    fn what_nobody_decided_is_open_with_its_price() {
        let found = opened(SEAL, "budget 1 EUR", "");
        found.open(
            "Rear crankshaft seal (30 min, 28 EUR) can be reached only while clutch housing is open, as it will be for \
             gearbox out; nobody has said whether it is renewed.",
        );
        assert_eq!(found.text(), "rear_seal");
        assert_eq!(found.only().because, ["it is behind the gearbox"]);
        assert!(found.fixed(0).contains("  renew rear_seal }"), "{}", found.fixed(0));
    }

    #[test]
    fn when_it_was_renewed_last_is_told() {
        let found = opened("reached only in clutch_housing, on engine", "budget 1 EUR", "");
        assert!(found.only().message.contains("; last renewed 2019-05, at 96000 km;"), "{}", found.listing());
    }

    #[test]
    fn what_was_done_is_clear() {
        opened(SEAL, "budget 1 EUR", "2026-03-05 done rear_seal, 30 min")
            .clear("Rear crankshaft seal was renewed on 2026-03-05, with clutch housing open.");
    }

    #[test]
    fn what_stays_closed_or_is_always_in_reach_is_not_looked_at() {
        opened("reached only in footwell, takes 30 min", "budget 1 EUR", "").silent();
        opened("takes 30 min", "budget 1 EUR", "").silent();
    }

    #[test]
    fn an_open_one_can_be_accepted_with_a_reason() {
        let found = opened(SEAL, "accept work/while-open rear_seal because \"renewed last year\"", "");
        assert_eq!(found.only().accepted.as_deref(), Some("renewed last year"));
    }
}

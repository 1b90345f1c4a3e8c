//! # fluid/amount
//!
//! As much is filled in as what is fitted holds: within the tolerance of the `basis` (5 % where none is
//! stated), or more where the level is set by letting the rest run out.
//!
//! ## Why it matters
//!
//! A gearbox with a litre too little overheats on the first climb, one with a litre too much froths
//! and blows its seals. And somebody must buy the cans.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind box { asks fluid amount }
//! family Dunlin { built 2009-06 to 2018-12
//!   place gearbox is box }
//! part auto_six is box fills gearbox { fluid amount 8.4 L }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit auto_six }
//! work fill "fill the gearbox" { on gearbox, fluid amount 2.2 L }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind box { asks fluid amount }
//! family Dunlin { built 2009-06 to 2018-12
//!   place gearbox is box }
//! part auto_six is box fills gearbox { fluid amount 8.4 L, fluid level "overflow plug, oil at 40 °C" }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit auto_six }
//! work fill "fill the gearbox" { on gearbox, fluid amount 9 L }
//! ```
//!
//! ## References
//!
//! Comparison of what is stated, several fillings added up. 5 %: common practice, no source. Where the way
//! of setting the level names an overflow, the rest runs out, and more is no fault.

use trunnion_handbook::quantity::{Quantity, Truth};
use trunnion_model::fact::Known;
use trunnion_model::verdict::{Fix, Gate, Question, Verdict, Who};

use crate::check::{Check, Judge};
use crate::ctx::{Ctx, listed};
use crate::fluids::{Filled, claim, filled, stated};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "fluid/amount", source: include_str!("fluid_amount.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    filled(ctx).iter().filter_map(|it| one(ctx, it)).collect()
}

fn one(ctx: &Ctx<'_>, filled: &Filled<'_>) -> Option<Verdict> {
    let place = filled.place;
    let prescribed = ctx.fact(place, "fluid_amount");
    let put_in: Vec<_> =
        filled.work.iter().filter_map(|(id, it)| Some((*id, stated(it, "fluid_amount")?))).collect();
    let asked = ctx.kind_after(place).is_some_and(|(_, it)| it.ask("fluid_amount").is_some());
    // What the kind asks is asked once; which fluid nobody puts in is fluid/kind.
    if filled.work.is_empty()
        || matches!(prescribed, Known::Nothing(_))
        || (asked && prescribed == Known::Unknown)
    {
        return None;
    }
    if prescribed == Known::Unknown && put_in.is_empty() {
        return None;
    }
    let site = put_in.first().map(|(id, it)| id.site(it.span));
    let site = site.or(place.done.last().map(|it| it.site)).unwrap_or(place.site);
    let hangs = format!("whether the {} is filled as it should be", place.shown());
    let mut sum = Sum::new(ctx, CHECK.name, &*place.name, site, hangs.clone());
    sum.safety_of(&[place]);
    sum.work(|sum| {
        let wanted = sum.figure(place, "fluid_amount");
        if put_in.is_empty() {
            let good = wanted.as_ref().map(Quantity::display);
            let question = Question {
                what: format!("how much is put into the {}", place.shown()),
                good: good.clone(),
                tool: Some("measuring jug".to_owned()),
                precision: Some("0.1 L".to_owned()),
                minutes: Some(5),
                who: Who::Owner,
                gate: Gate::Power,
                hangs: hangs.clone(),
                type_in: Some("in the work that fills it: fluid amount … L".to_owned()),
            };
            let fix = good.as_ref().and_then(|good| {
                filled.state(ctx, &format!("put in {good}"), &[format!("fluid amount {good}")])
            });
            if let Some(good) = good {
                sum.good(good);
            }
            sum.settle_with(&Known::Unknown, question, fix);
            return None;
        }
        let mut total: Option<Quantity> = None;
        for (id, fact) in &put_in {
            sum.rests_on(&claim(ctx, *id, fact));
            let one = fact.values.first()?.quantity()?;
            total = Some(match total {
                Some(it) => it.add(&one).ok()?,
                None => one,
            });
        }
        let (total, wanted) = (total?, wanted?);
        let level = ctx.fact(place, "fluid_level");
        let overflow = level.best().is_some_and(|it| it.display().to_lowercase().contains("overflow"));
        let (who, work) =
            (ctx.part_shown(place), put_in.iter().map(|(id, _)| id.shown(ctx.db)).collect::<Vec<_>>());
        let said = format!("{} are put into {who} by {}", total.display(), listed(&work));
        if let (false, [(id, fact)]) = (total.overlaps(&wanted).ok()?, put_in.as_slice())
            && let Some(value) = fact.values.first()
        {
            let fix =
                Fix::replace(format!("put in {}", wanted.display()), id.site(value.span), wanted.display());
            sum.fix(Some(fix));
        }
        if let Some(level) = level.best().filter(|_| overflow) {
            sum.rests_on(level);
            let needed = format!("it holds {}", wanted.display());
            let more = total.at_least(&wanted) == Ok(Truth::Yes) && total.overlaps(&wanted) == Ok(false);
            let needed =
                if more { format!("{needed}, and the rest runs out at the overflow") } else { needed };
            sum.formula(format!("{} ≥ {}", total.display(), wanted.display()));
            return Some(Answer::at_least(total, wanted, &said, &needed));
        }
        let allowed = sum.basis_or("fluid_tolerance", 5.0, "%")?;
        sum.formula(format!("{} = {} within {}", total.display(), wanted.display(), allowed.display()));
        let needed = format!("it holds {}, give or take {}", wanted.display(), allowed.display());
        Some(Answer::within(total, wanted, allowed, &said, &needed))
    })
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn oil(part: &str, work: &str) -> String {
        format!(
            r#"
source manual "Workshop manual" documented
source club "Club notes" reported
kind box {{ asks mass }}
family Dunlin {{ built 2009-06 to 2018-12
  place gearbox is box }}
part auto_six "automatic" is box fills gearbox {{ {part} }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{ recipient van, fit auto_six }}
{work}"#
        )
    }

    #[test]
    fn what_it_holds_is_clear_and_too_little_a_clash() {
        let fill = |amount: &str| format!("work fill \"filling\" {{ on gearbox, fluid amount {amount} }}");
        let found = check("fluid/amount", &oil("fluid amount 8.4 L", &fill("8.2 L")));
        found.clear("8.2 l are put into automatic by filling; it holds 8.4 l, give or take 5 %.");
        assert!(found.only().sources.iter().any(|it| it.contains("common practice")));
        let found = check("fluid/amount", &oil("fluid amount 8.4 L", &fill("2.2 L")));
        found.clash("2.2 l are put into automatic by filling, but it holds 8.4 l, give or take 5 %.");
        assert_eq!(found.text(), "fluid amount 2.2 L");
        assert!(found.fixed(0).contains("on gearbox, fluid amount 8.4 l }"), "{}", found.fixed(0));
        let wide = oil("fluid amount 8.4 L", &fill("9 L")) + "\nbasis { fluid tolerance 10 % }";
        check("fluid/amount", &wide)
            .clear("9 l are put into automatic by filling; it holds 8.4 l, give or take 10 %.");
    }

    #[test]
    fn more_is_no_fault_where_the_rest_runs_out() {
        let part = "fluid amount 8.4 L, fluid level \"overflow plug, engine running\"";
        let two = "work fill { on gearbox, fluid amount 6 L }\nwork top_up { on gearbox, fluid amount 3 L }";
        check("fluid/amount", &oil(part, two)).clear(
            "9 l are put into automatic by fill and top up; it holds 8.4 l, and the rest runs out at the overflow.",
        );
        check("fluid/amount", &oil(part, "work fill { on gearbox, fluid amount 6 L }"))
            .clash("6 l are put into automatic by fill, but it holds 8.4 l.");
    }

    #[test]
    fn what_nobody_stated_or_is_disputed_is_open() {
        let found =
            check("fluid/amount", &oil("fluid amount 8.4 L", "work fill { on gearbox, fluid \"A6\" }"));
        found.open(
            "Nobody has said how much is put into the gearbox; good would be 8.4 l: it decides whether the gearbox is \
             filled as it should be.",
        );
        assert!(found.fixed(0).contains("fluid \"A6\", fluid amount 8.4 l }"), "{}", found.fixed(0));
        let two = "fluid amount 8.4 L per manual, fluid amount 6 L per club";
        let found = check("fluid/amount", &oil(two, "work fill { on gearbox, fluid amount 8.4 L }"));
        assert_eq!(found.only().outcome.word(), "open");
        check("fluid/amount", &oil("mass 80 kg", "work fill { on gearbox, fluid amount 8.4 L }")).open(
            "Nobody has said the amount of fluid of the gearbox: it decides whether the gearbox is filled as it should be.",
        );
    }

    #[test]
    fn without_any_filling_it_is_silent() {
        check("fluid/amount", &oil("fluid amount 8.4 L", "work box_out { on gearbox }")).silent();
        check("fluid/amount", &oil("mass 80 kg", "work box_out { on gearbox }")).silent();
    }
}

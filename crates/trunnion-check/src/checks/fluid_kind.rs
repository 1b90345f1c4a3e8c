//! # fluid/kind
//!
//! What is filled in is the fluid that is prescribed for what is fitted, and the log tells that the
//! old one was drained and where it went.
//!
//! ## Why it matters
//!
//! The oil of the old gearbox in the new one ruins seals and friction plates within a week, and it
//! cannot be told from the dipstick. Old oil and coolant belong to the collecting point.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind box { asks fluid }
//! family Dunlin { built 2009-06 to 2018-12
//!   place gearbox is box }
//! part auto_six is box fills gearbox { fluid "automatic oil, type A6" }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit auto_six }
//! work fill "fill the gearbox" { on gearbox, fluid "75W-80 gear oil" }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind box { asks fluid }
//! family Dunlin { built 2009-06 to 2018-12
//!   place gearbox is box }
//! part auto_six is box fills gearbox { fluid "automatic oil, type A6" }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit auto_six }
//! work fill "fill the gearbox" { on gearbox, fluid "automatic oil, type A6" }
//! ```
//!
//! ## References
//!
//! Comparison of what is stated, letter by letter but for capitals and blanks: whether two names mean the
//! same oil is for its maker to say. That used oil, coolant and brake fluid are handed in: local rules;
//! which place, common practice, no source.

use trunnion_model::decl::Event;
use trunnion_model::fact::Known;
use trunnion_model::known;
use trunnion_model::verdict::{Fix, Gate, Question, Verdict, Who};
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::ctx::{Ctx, capital, listed};
use crate::fluids::{Filled, claim, filled, media, stated};
use crate::sum::{Answer, Sum};
use trunnion_handbook::quantity::Truth;

/// The check.
pub static CHECK: Check =
    Check { name: "fluid/kind", source: include_str!("fluid_kind.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let mut verdicts: Vec<Verdict> = filled(ctx).iter().filter_map(|it| one(ctx, it)).collect();
    verdicts.extend(ctx.world.places.iter().filter(|it| it.changed()).filter_map(|it| drained(ctx, it)));
    verdicts
}

/// Whether two names of fluids are written alike, capitals and blanks apart.
fn alike(a: &str, b: &str) -> bool {
    let plain = |it: &str| it.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
    plain(a) == plain(b)
}

fn one(ctx: &Ctx<'_>, filled: &Filled<'_>) -> Option<Verdict> {
    let place = filled.place;
    let prescribed = ctx.fact(place, "fluid");
    let put_in: Vec<_> =
        filled.work.iter().filter_map(|(id, it)| Some((*id, stated(it, "fluid")?))).collect();
    let asked = ctx.kind_after(place).is_some_and(|(_, it)| it.ask("fluid").is_some());
    match &prescribed {
        // That it is unknown is asked by its kind.
        Known::Unknown if asked || put_in.is_empty() => return None,
        Known::Nothing(_) if put_in.is_empty() => return None,
        _ => {}
    }
    let site = put_in.first().map(|(id, it)| id.site(it.span));
    let site = site.or(place.done.last().map(|it| it.site)).unwrap_or(place.site);
    let hangs = format!("whether the {} runs in the fluid it was made for", place.shown());
    let mut sum = Sum::new(ctx, CHECK.name, &*place.name, site, hangs.clone());
    sum.safety_of(&[place]);
    sum.work(|sum| {
        let who = ctx.part_shown(place);
        if let (Known::Nothing(found), Some((id, fact))) = (&prescribed, put_in.first()) {
            sum.rests_on(found);
            sum.rests_on(&claim(ctx, *id, fact));
            let said = format!("{} puts {} into {who}", id.shown(ctx.db), said_of(fact));
            return Some(Answer::told(Truth::No, &said, "it holds none"));
        }
        let wanted = sum.word(place, "fluid")?;
        if put_in.is_empty() {
            let question = Question {
                what: format!("which fluid is put into the {}", place.shown()),
                good: Some(wanted.clone()),
                tool: Some("label of the can".to_owned()),
                precision: None,
                minutes: Some(5),
                who: Who::Owner,
                gate: Gate::Power,
                hangs: hangs.clone(),
                type_in: Some(format!("work fill_{} {{ on {}, fluid … }}", place.name, place.name)),
            };
            sum.good(wanted.clone());
            let mut statements = vec![format!("fluid \"{wanted}\"")];
            let amount = ctx.fact(place, "fluid_amount").quantity();
            statements.extend(amount.map(|it| format!("fluid amount {}", it.display())));
            let fix = filled.state(ctx, &format!("put in {wanted}"), &statements);
            sum.settle_with(&Known::Unknown, question, fix);
            return None;
        }
        let (right, wrong): (Vec<_>, Vec<_>) = put_in.iter().partition(|(_, it)| {
            it.values.first().and_then(|it| it.word()).is_some_and(|it| alike(&it, &wanted))
        });
        for (id, fact) in &put_in {
            sum.rests_on(&claim(ctx, *id, fact));
        }
        if wrong.is_empty() {
            let work: Vec<String> = right.iter().map(|(id, _)| id.shown(ctx.db)).collect();
            let said =
                format!("{} is prescribed for {who}, and put in by: {}.", capital(&wanted), listed(&work));
            return Some(Answer::sentences(Truth::Yes, said, "").need(wanted.clone(), wanted));
        }
        for (id, fact) in &wrong {
            if let Some(value) = fact.values.first() {
                let title = format!("put in {wanted}");
                sum.fix(Some(Fix::replace(title, id.site(value.span), format!("\"{wanted}\""))));
            }
        }
        let put: Vec<String> =
            wrong.iter().map(|(id, it)| format!("{} ({})", said_of(it), id.shown(ctx.db))).collect();
        let put = listed(&put);
        let clash = format!("{} is put into {who}, but {wanted} is prescribed.", capital(&put));
        Some(Answer::sentences(Truth::No, "", clash).need(wanted, put))
    })
}

fn said_of(fact: &trunnion_model::fact::Fact) -> String {
    fact.values.iter().map(trunnion_model::fact::Value::display).collect::<Vec<_>>().join(", ")
}

/// Whether the log tells that the fluid of what came out was drained, and where it went; nothing
/// while the log tells of no work there.
fn drained(ctx: &Ctx<'_>, place: &Place) -> Option<Verdict> {
    let (_, kind) = ctx.kind_before(place).filter(|_| place.before.is_filled())?;
    let media = media(ctx, kind);
    if media.is_empty() || matches!(ctx.fact_before(place, "fluid"), Known::Nothing(_)) {
        return None;
    }
    let vehicle = ctx.built().vehicle;
    let logs = known::logs(ctx.db, ctx.workspace, ctx.world, vehicle);
    let entries = logs.iter().flat_map(|(id, log)| log.entries.iter().map(move |it| (*id, it)));
    let words = |text: &str| -> Vec<String> {
        text.split(|c: char| !c.is_alphanumeric() && c != '_').map(str::to_lowercase).collect()
    };
    let about: Vec<_> = entries
        .filter_map(|(id, entry)| match &entry.event {
            Event::Done { what, .. } => {
                let words = words(what);
                words.iter().any(|it| it == place.name.as_str()).then_some((id, entry, what, words))
            }
            _ => None,
        })
        .collect();
    let (_, first, ..) = about.first()?;
    let is_drain = |it: &[String]| it.iter().any(|it| it == "drain" || it == "drained");
    let drain = about.iter().find(|it| is_drain(&it.3));
    let fluid = listed(&media.iter().map(|it| it.replace('_', " ")).collect::<Vec<_>>());
    let subject = format!("{}.drained", place.name);
    let question = |what: String| Question {
        what,
        good: Some("handed in at the collecting point".to_owned()),
        tool: Some("look at the cans".to_owned()),
        precision: None,
        minutes: Some(2),
        who: Who::Owner,
        gate: Gate::Road,
        hangs: "whether the old fluid is disposed of as local rules ask".to_owned(),
        type_in: Some(format!(
            "log of {}: {} done drain {} … L to the collecting point",
            vehicle.name(ctx.db),
            first.date,
            place.name
        )),
    };
    let Some((id, entry, what, words)) = drain else {
        let (id, entry, ..) = about.first()?;
        let message = format!(
            "The log tells of work on the {} ({}), and nobody has said that its {fluid} was drained, and where it went.",
            place.shown(),
            entry.date
        );
        let what = format!("where the {fluid} of the {} went", place.shown());
        return Some(ctx.open(CHECK.name, subject, id.site(entry.span), message, question(what)));
    };
    let site = id.site(entry.span);
    if !words.iter().any(|it| it == "to") {
        let message = format!(
            "The {} was drained on {}, and nobody has said where its {fluid} went.",
            place.shown(),
            entry.date
        );
        let what = format!("where the {fluid} of the {} went", place.shown());
        return Some(ctx.open(CHECK.name, subject, site, message, question(what)));
    }
    let message = format!("The {} was drained on {}: {what}.", place.shown(), entry.date);
    let mut verdict = ctx.clear(CHECK.name, subject, site, message, &[]);
    verdict = verdict.with_source(format!("job log, {}", entry.date));
    Some(verdict)
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn oil(part: &str, work: &str) -> String {
        format!(
            r#"
source manual "Workshop manual" documented
source club "Club notes" reported
medium gearbox_oil
kind box {{ asks mass
  medium gearbox_oil }}
family Dunlin {{ built 2009-06 to 2018-12
  place gearbox is box }}
part manual_five is box fills gearbox {{ fitted on Dunlin }}
part auto_six "automatic" is box fills gearbox {{ {part} }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{
  recipient van
  fit auto_six
}}
{work}"#
        )
    }

    #[test]
    fn the_right_oil_is_clear_and_another_a_clash() {
        let part = "fluid \"Automatic oil, type A6\"";
        let fill = |oil: &str| format!("work fill \"fill it\" {{ on gearbox, fluid \"{oil}\" }}");
        check("fluid/kind", &oil(part, &fill("automatic oil, type A6")))
            .clear("Automatic oil, type A6 is prescribed for automatic, and put in by: fill it.");
        let found = check("fluid/kind", &oil(part, &fill("75W-80")));
        found.clash("75W-80 (fill it) is put into automatic, but Automatic oil, type A6 is prescribed.");
        assert_eq!(found.text(), "fluid \"75W-80\"");
        assert!(
            found.fixed(0).contains("on gearbox, fluid \"Automatic oil, type A6\" }"),
            "{}",
            found.fixed(0)
        );
        check("fluid/kind", &oil("fluid none", &fill("75W-80")))
            .clash("Fill it puts 75W-80 into automatic, but it holds none.");
    }

    #[test]
    fn what_nobody_put_in_is_open_with_the_work_that_would() {
        let found = check("fluid/kind", &oil("fluid \"type A6\", fluid amount 8.4 L", ""));
        found.open(
            "Nobody has said which fluid is put into the gearbox; good would be type A6: it decides whether the \
             gearbox runs in the fluid it was made for.",
        );
        let fixed = found.fixed(0);
        assert!(fixed.contains("\n  on gearbox\n  fluid \"type A6\"\n  fluid amount 8.4 l\n}"), "{fixed}");
        check("fluid/kind", &fixed)
            .clear("Type A6 is prescribed for automatic, and put in by: fill the gearbox.");
        let found = check("fluid/kind", &oil("fluid \"type A6\"", "work box_out { on gearbox }"));
        assert!(
            found.fixed(0).contains("work box_out { on gearbox, fluid \"type A6\" }"),
            "{}",
            found.fixed(0)
        );
    }

    #[test]
    fn a_service_counts_when_it_is_renewed() {
        let service = "service box_oil { on gearbox, fluid \"75W-80\" }";
        check("fluid/kind", &oil("fluid \"type A6\"", service)).open(
            "Nobody has said which fluid is put into the gearbox; good would be type A6: it decides whether the \
             gearbox runs in the fluid it was made for.",
        );
        let renewed =
            oil("fluid \"type A6\"", service).replace("fit auto_six\n", "fit auto_six\n  renew box_oil\n");
        check("fluid/kind", &renewed)
            .clash("75W-80 (box oil) is put into automatic, but type A6 is prescribed.");
    }

    #[test]
    fn a_disputed_oil_is_open() {
        let two = "fluid \"type A6\" per manual, fluid \"type B\" per club";
        let found = check("fluid/kind", &oil(two, "work fill { on gearbox, fluid \"type A6\" }"));
        assert_eq!(found.only().outcome.word(), "open");
    }

    #[test]
    fn once_it_is_out_the_old_oil_is_asked_for() {
        let log =
            |text: &str| format!("log of van {{\n  2026-03-05 done take gearbox out, 4 h\n  {text}\n}}");
        let found = check("fluid/kind", &oil("mass 80 kg", &log("")));
        found.open(
            "The log tells of work on the gearbox (2026-03-05), and nobody has said that its gearbox oil was drained, \
             and where it went.",
        );
        check("fluid/kind", &oil("mass 80 kg", &log("2026-03-05 done drain gearbox 2.2 L")))
            .open("The gearbox was drained on 2026-03-05, and nobody has said where its gearbox oil went.");
        let found = check(
            "fluid/kind",
            &oil("mass 80 kg", &log("2026-03-05 done drain gearbox 2.2 L to the collecting point")),
        );
        assert_eq!(found.about("gearbox.drained").outcome.word(), "clear");
    }
}

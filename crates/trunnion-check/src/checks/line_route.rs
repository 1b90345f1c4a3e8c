//! # line/route
//!
//! A hose or pipe is long enough for its route, also at full travel and lock, and no bend of the
//! route is tighter than it stands.
//!
//! ## Why it matters
//!
//! A hose that reaches on the stands is torn off at full lock or full droop; a bent one kinks, and a
//! kinked brake or oil hose looks sound from the outside.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind unit { asks port out }
//! family Dunlin { built 2009-06 to 2018-12
//!   place gearbox is unit
//!   place radiator is unit }
//! part auto_six is unit fills gearbox { port out }
//! part core is unit fills radiator { fitted on Dunlin, port out }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit auto_six
//!   line hose joins gearbox.out to radiator.out, 0.6 m long { route length 0.62 m, route longest 0.68 m } }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind unit { asks port out }
//! family Dunlin { built 2009-06 to 2018-12
//!   place gearbox is unit
//!   place radiator is unit }
//! part auto_six is unit fills gearbox { port out }
//! part core is unit fills radiator { fitted on Dunlin, port out }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit auto_six
//!   line hose joins gearbox.out to radiator.out, 0.7 m long { route length 0.62 m, route longest 0.68 m } }
//! ```
//!
//! ## References
//!
//! Geometry, by the worst case of the stated tolerances: length ≥ route at ride height, length ≥ route
//! at full travel and lock, bend of the route ≥ least bend of the hose. Where nobody measured a route
//! the check says nothing; a route of something that moves is wanted at full travel too.

use trunnion_handbook::quantity::{Quantity, Truth};
use trunnion_model::fact::Known;
use trunnion_model::known;
use trunnion_model::verdict::{Edit, Fix, Gate, Question, Verdict, Who};
use trunnion_model::world::{Laid, LineAt, Place};
use trunnion_syntax::tree::Span;

use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "line/route", source: include_str!("line_route.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let alone = ctx.world.conversion.is_none();
    let lines = ctx.world.lines.iter().filter(|it| it.joint.after);
    lines
        .filter_map(|line| {
            let ends = [ctx.world.place(&line.joint.a.place)?, ctx.world.place(&line.joint.b.place)?];
            let changes = line.joint.laid == Laid::Conversion || ends.iter().any(|it| it.changed());
            let there = ends.iter().all(|it| it.after.is_filled());
            (there && (alone || changes)).then(|| one(ctx, line, ends)).flatten()
        })
        .collect()
}

/// A figure in the block of a line.
fn figure(line: &LineAt, name: &str) -> Option<Quantity> {
    let fact = line.line.facts.iter().find(|it| it.target.is_empty() && it.name.value == name)?;
    fact.values.first()?.quantity()
}

/// One thing that must hold: what there is, what is wanted, and both in words.
struct Held {
    have: Option<Quantity>,
    want: Option<Quantity>,
    has: (&'static str, &'static str),
    wants: (&'static str, &'static str),
}

fn one(ctx: &Ctx<'_>, line: &LineAt, ends: [&Place; 2]) -> Option<Verdict> {
    let stated = |name: &str| figure(line, name);
    let length = || line.line.length.or_else(|| stated("length"));
    let [route, longest, bend, least] =
        ["route_length", "route_longest", "route_bend", "bend_radius"].map(stated);
    // Stating a least bend alone tells of the hose, not of a route.
    if route.is_none() && longest.is_none() && bend.is_none() {
        return None;
    }
    let moves =
        ends.into_iter().find(|it| ctx.fact(it, "movement").quantity().is_some_and(|it| it.hi() > 0.0));
    let mut held = Vec::new();
    if route.is_some() || longest.is_none() && bend.is_none() {
        let wants = ("its route", "the length of its route");
        held.push(Held { have: length(), want: route, has: ("it is", "its length"), wants });
    }
    if longest.is_some() || (route.is_some() && moves.is_some()) {
        let wants = ("its route at full travel and lock", "the length of its route at full travel and lock");
        held.push(Held { have: length(), want: longest, has: ("it is", "its length"), wants });
    }
    if bend.is_some() {
        let wants = ("it stands", "the least bend that it stands");
        held.push(Held { have: bend, want: least, has: ("its route bends to", "the bend"), wants });
    }
    let name = line.line.title.clone().unwrap_or_else(|| line.line.name.value.clone());
    let hangs = format!("whether the line \"{name}\" reaches without a kink");
    let mut sum = Sum::new(ctx, CHECK.name, &*line.line.name.value, line.joint.site, &*hangs);
    sum.safety_of(&ends);
    sum.work(|sum| {
        sum.rests_on(&known::said(ctx.db, ctx.workspace, line.id, &line.line.claim, line.line.span));
        let (mut well, mut short, mut truth) = (Vec::new(), Vec::new(), Truth::Yes);
        let (mut needs, mut haves, mut room) = (Vec::new(), Vec::new(), Vec::new());
        for it in &held {
            let (Some(have), Some(want)) = (it.have, it.want) else {
                let what = if it.have.is_none() { it.has.1 } else { it.wants.1 };
                ask(sum, line, &name, what, it, &hangs);
                continue;
            };
            let one = have.at_least(&want).ok()?;
            let row = format!("{} {}, {} {}", it.has.0, have.display(), it.wants.0, want.display());
            if one == Truth::No {
                short.push(row)
            } else {
                well.push(row)
            }
            if one == Truth::No || truth == Truth::Yes {
                truth = one;
            }
            sum.formula(format!("{} ≥ {}", have.display(), want.display()));
            needs.push(want.display());
            haves.push(have.display());
            room.extend(have.sub(&want).ok().map(|it| it.display()));
        }
        if truth == Truth::No {
            sum.fix(longer(ctx, line, longest.or(route)));
        }
        let clear = format!("The line \"{name}\" reaches: {}.", well.join("; "));
        let clash = format!("The line \"{name}\" does not go along its route: {}.", short.join("; "));
        let answer = Answer::sentences(truth, clear, clash).margin(room.join(" and "));
        Some(answer.need(needs.join(" and "), haves.join(" and ")))
    })
}

fn ask(sum: &mut Sum<'_, '_>, line: &LineAt, name: &str, what: &str, held: &Held, hangs: &str) {
    let good = match (held.have, held.want) {
        (Some(have), None) => Some(format!("at most {}", have.display())),
        (None, Some(want)) => Some(format!("at least {}", want.display())),
        _ => None,
    };
    let of_hose = held.wants.0 == "it stands";
    let statement = match what {
        "its length" => "… m long",
        "the least bend that it stands" => "bend radius … mm",
        "the length of its route" => "route length … m",
        _ => "route longest … m",
    };
    let question = Question {
        what: format!("{what} (line \"{name}\")"),
        good,
        tool: Some(
            if of_hose { "data sheet of the hose" } else { "string along the route, then tape" }.to_owned(),
        ),
        precision: (!of_hose).then(|| "10 mm".to_owned()),
        minutes: Some(15),
        who: if of_hose { Who::Maker } else { Who::Tape },
        gate: if statement.starts_with("route longest") { Gate::Road } else { Gate::NoReturn },
        hangs: hangs.to_owned(),
        type_in: Some(format!("at the line {}: {statement}", line.line.name.value)),
    };
    let fix = line.line.facts.last().filter(|_| statement != "… m long").map(|fact| {
        let site = line.id.site(Span::new(fact.span.end, fact.span.end));
        let edit = Edit { site, text: format!(", {statement}") };
        Fix { title: format!("state {what}"), edits: vec![edit] }
    });
    sum.settle_with(&Known::Unknown, question, fix);
}

/// A way out of the conversion's own line: a longer one.
fn longer(ctx: &Ctx<'_>, line: &LineAt, route: Option<Quantity>) -> Option<Fix> {
    let (length, route) = (line.line.length?, route?);
    if line.joint.laid != Laid::Conversion || length.at_least(&route) != Ok(Truth::No) {
        return None;
    }
    let whole = line.id.item.text(ctx.db);
    let text = whole.get(line.line.span.range())?;
    let end = text.find(" long")?;
    let start = text[..end].rfind(',')? + 1;
    let start = start + text[start..end].len() - text[start..end].trim_start().len();
    let at = |offset: usize| line.line.span.start + offset as u32;
    let site = line.id.site(Span::new(at(start), at(end)));
    let least = Quantity::si(route.hi(), route.dimension()).ok()?.shown_in("m").ok()?;
    Some(Fix::replace(format!("make it {} long", least.display()), site, least.display()))
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn hose(length: &str, route: &str, moves: &str) -> String {
        format!(
            r#"
kind unit {{ asks port out }}
family Dunlin {{ built 2009-06 to 2018-12
  place gearbox is unit
  place radiator is unit }}
part auto_six is unit fills gearbox {{ port out{moves} }}
part core is unit fills radiator {{ fitted on Dunlin, port out }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{ recipient van, fit auto_six
  line hose "new hose" joins gearbox.out to radiator.out, 10 mm bore{length} {{ {route} }}
}}"#
        )
    }

    #[test]
    fn a_hose_that_reaches_and_bends_is_clear() {
        let route = "route length 0.62 m ± 0.02 m, route longest 0.68 m, route bend 70 mm, bend radius 60 mm";
        let found = check("line/route", &hose(", 0.7 m long", route, ""));
        found.clear(
            "The line \"new hose\" reaches: it is 0.7 m, its route 0.62 m ± 0.02 m; it is 0.7 m, its route at full \
             travel and lock 0.68 m; its route bends to 70 mm, it stands 60 mm.",
        );
        assert_eq!(
            found.only().formula.as_deref(),
            Some("0.7 m ≥ 0.62 m ± 0.02 m; 0.7 m ≥ 0.68 m; 70 mm ≥ 60 mm")
        );
    }

    #[test]
    fn too_short_at_full_lock_is_a_clash_with_a_longer_one_offered() {
        let found =
            check("line/route", &hose(", 0.65 m long", "route length 0.62 m, route longest 0.68 m", ""));
        found.clash(
            "The line \"new hose\" does not go along its route: it is 0.65 m, its route at full travel and lock 0.68 m.",
        );
        assert!(found.fixed(0).contains("10 mm bore, 0.68 m long {"), "{}", found.fixed(0));
        let found = check("line/route", &hose(", 1 m long", "route bend 40 mm, bend radius 60 mm", ""));
        found.clash(
            "The line \"new hose\" does not go along its route: its route bends to 40 mm, it stands 60 mm.",
        );
        assert!(found.only().fixes.is_empty(), "a longer hose bends as much");
        assert_eq!(found.only().margin.as_deref(), Some("−20 mm"));
    }

    #[test]
    fn what_is_missing_is_asked() {
        check("line/route", &hose(", 0.7 m long", "route bend 70 mm", "")).open(
            "Nobody has said the least bend that it stands (line \"new hose\"): it decides whether the line \
             \"new hose\" reaches without a kink.",
        );
        let found = check("line/route", &hose(", 0.7 m long", "route length 0.62 m", ", movement 40 mm"));
        found.open(
            "Nobody has said the length of its route at full travel and lock (line \"new hose\"): it decides whether \
             the line \"new hose\" reaches without a kink.",
        );
        assert!(found.fixed(0).contains("{ route length 0.62 m, route longest … m }"), "{}", found.fixed(0));
        assert_eq!(found.text().split_whitespace().next(), Some("line"));
        check("line/route", &hose(", 0.62 m long", "route length 0.60 m to 0.64 m", "")).open(
            "The line \"new hose\" reaches: it is 0.62 m, its route 0.6 to 0.64 m: the tolerances leave both possible.",
        );
    }

    #[test]
    fn without_a_route_it_is_silent() {
        check("line/route", &hose(", 0.7 m long", "bend radius 60 mm", "")).silent();
    }
}

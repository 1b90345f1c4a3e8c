//! # kind/none
//!
//! A part that the conversion touches says what sort of thing it is; of one that does not, nothing
//! can be asked, and it is listed as not looked at.
//!
//! ## Why it matters
//!
//! The trade's questions hang on the kind of a part: its mounts, ports, switches, what it does for
//! others. A part without a kind passes every check, because no check knows what to look for.
//!
//! ## An example that stays open
//!
//! ```trunnion open
//! kind gearbox { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place gearbox }
//! part auto_six fills gearbox { mass 86 kg }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit auto_six }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind gearbox { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place gearbox }
//! part auto_six is gearbox fills gearbox { mass 86 kg }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit auto_six }
//! ```
//!
//! ## References
//!
//! Common practice, no source.

use std::collections::BTreeSet;

use trunnion_model::built::scope_of;
use trunnion_model::db::Site;
use trunnion_model::kinds::kind_of_part;
use trunnion_model::known;
use trunnion_model::name::{Id, Space};
use trunnion_model::verdict::{Edit, Fix, Gate, Question, Verdict, Who};
use trunnion_model::world::Place;
use trunnion_syntax::tree::Span;

use crate::check::{Check, Judge};
use crate::checks::kind_asked::change_site;
use crate::ctx::Ctx;

/// The check.
pub static CHECK: Check =
    Check { name: "kind/none", source: include_str!("kind_none.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let Some(conversion) = ctx.world.conversion else { return Vec::new() };
    let touched = touched(ctx);
    let (mut verdicts, mut rests_on, mut count) = (Vec::new(), Vec::new(), 0);
    for place in ctx.world.places.iter().filter(|it| touched.contains(it.name.as_str())) {
        // What leaves is looked at as well: its loose ends and duties hang on its kind.
        let leaves = !place.after.is_filled();
        if leaves && !place.before.is_filled() {
            continue;
        }
        count += 1;
        let holding = if leaves { &place.before } else { &place.after };
        let kindless: Vec<Id> = match place.kind {
            Some(_) => Vec::new(),
            None => {
                let parts = holding.parts().iter();
                parts.filter(|it| kind_of_part(ctx.db, ctx.workspace, **it).is_none()).copied().collect()
            }
        };
        let kind = if leaves { ctx.kind_before(place) } else { ctx.kind_after(place) };
        if kindless.is_empty() && kind.is_some() {
            for id in holding.parts() {
                let Some(decl) = id.decl(ctx.db) else { continue };
                let span = decl.name.as_ref().map_or(decl.span, |it| it.span);
                rests_on.push(known::said(ctx.db, ctx.workspace, *id, &decl.claim, span));
            }
        } else {
            verdicts.push(open(ctx, place, &kindless));
        }
    }
    if verdicts.is_empty() && count > 0 {
        let message = match count {
            1 => "The one place that the conversion touches says what sort of thing sits there.".to_owned(),
            _ => format!("All {count} places that the conversion touches say what sort of thing sits there."),
        };
        let subject = conversion.name(ctx.db).to_string();
        verdicts.push(ctx.clear("kind/none", subject, ctx.root_site(), message, &rests_on));
    }
    verdicts
}

/// The places that change and those joined to one that changes, before or after.
fn touched<'a>(ctx: &Ctx<'a>) -> BTreeSet<&'a str> {
    let world = ctx.world;
    let changed: BTreeSet<&str> =
        world.places.iter().filter(|it| it.changed()).map(|it| it.name.as_str()).collect();
    let mut touched = changed.clone();
    let joints = world.joints.iter().chain(world.lines.iter().map(|it| &it.joint));
    for joint in joints.filter(|it| it.before || it.after) {
        let (a, b) = (joint.a.place.as_str(), joint.b.place.as_str());
        if changed.contains(a) || changed.contains(b) {
            touched.extend([a, b]);
        }
    }
    touched
}

fn open(ctx: &Ctx<'_>, place: &Place, kindless: &[Id]) -> Verdict {
    let names = kindless.iter().map(|it| it.shown(ctx.db)).collect::<Vec<_>>().join(" or ");
    let what = match kindless {
        [] => format!("what sits in the place {}", place.shown()),
        _ => format!("what sort of thing {names} is"),
    };
    let site = match kindless {
        [only] => only.name_site(ctx.db),
        _ if place.changed() => change_site(place),
        _ => ctx.root_site(),
    };
    let near = nearest_kind(ctx, place);
    let type_in = kindless.first().map(|it| {
        let kind = near.clone().unwrap_or_else(|| "…".to_owned());
        format!("part {} is {kind}", it.name(ctx.db))
    });
    let question = Question {
        what: what.clone(),
        good: None,
        tool: None,
        precision: None,
        minutes: Some(2),
        who: Who::Owner,
        gate: Gate::Buying,
        hangs: "every question that the trade asks of it".to_owned(),
        type_in,
    };
    let message = format!("Not looked at: nobody has said {what}.");
    let mut verdict = ctx.open("kind/none", place.name.to_string(), site, message, question);
    verdict = verdict.with_fixes(kindless.iter().filter_map(|it| is_kind(ctx, *it, near.as_deref())));
    if kindless.is_empty() {
        let from = place.donor().unwrap_or(ctx.world.recipient.vehicle);
        verdict = verdict.with_fixes(
            ctx.insert(from, &format!("has {} …", place.name))
                .map(|edit| Fix { title: format!("say what sits in {}", place.shown()), edits: vec![edit] }),
        );
    }
    verdict.safety = ctx.safety(place);
    verdict
}

/// A fix that says the kind after the part's name; a hole where no kind is called like the place.
fn is_kind(ctx: &Ctx<'_>, id: Id, near: Option<&str>) -> Option<Fix> {
    let end = id.decl(ctx.db)?.name.as_ref()?.span.end;
    let site: Site = id.site(Span::new(end, end));
    let kind = near.unwrap_or("…");
    let title = format!("say that {} is a {}", id.shown(ctx.db), kind.replace('_', " "));
    Some(Fix { title, edits: vec![Edit { site, text: format!(" is {kind}") }] })
}

/// The kind called like the place, like the end of its name (`spare_final_drive`), or nearly so.
fn nearest_kind(ctx: &Ctx<'_>, place: &Place) -> Option<String> {
    let scope = scope_of(ctx.db, ctx.workspace, ctx.world.root());
    let whole = place.name.as_str();
    let tails = whole.match_indices('_').map(|(at, _)| &whole[at + 1..]);
    let mut heads = whole.rmatch_indices('_').map(|(at, _)| &whole[..at]);
    std::iter::once(whole)
        .chain(tails)
        .find(|it| scope.find(Space::Kind, it).is_some())
        .or_else(|| heads.find(|it| scope.find(Space::Kind, it).is_some()))
        .map(str::to_owned)
        .or_else(|| scope.suggest(Space::Kind, whole))
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn fitted(part: &str) -> String {
        format!(
            r#"
kind final_drive {{ asks mass }}
kind unit {{ asks mass }}
family Dunlin {{ built 2009-06 to 2018-12
  place spare_final_drive
  place engine is unit
  place seat
  joint engine.rear to spare_final_drive.nose }}
part motor is unit fills engine {{ fitted on Dunlin }}
{part}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{ recipient van, fit axle }}"#
        )
    }

    #[test]
    fn kinds_everywhere_are_clear_and_what_is_not_touched_is_not_asked() {
        check("kind/none", &fitted("part axle is final_drive fills spare_final_drive { mass 30 kg }"))
            .clear("All 2 places that the conversion touches say what sort of thing sits there.");
    }

    #[test]
    fn a_part_without_a_kind_is_not_looked_at() {
        let found = check(
            "kind/none",
            &fitted(r#"part axle "the short axle" fills spare_final_drive { mass 30 kg }"#),
        );
        found.open("Not looked at: nobody has said what sort of thing the short axle is.");
        assert_eq!(found.text(), "axle");
        let fixed = found.fixed(0);
        assert!(fixed.contains(r#"part axle is final_drive "the short axle" fills spare_final_drive"#));
        check("kind/none", &fixed)
            .clear("All 2 places that the conversion touches say what sort of thing sits there.");
    }

    #[test]
    fn a_neighbour_nobody_knows_is_open() {
        let source = fitted("part axle is final_drive fills spare_final_drive { mass 30 kg }")
            .replace("place engine is unit", "place engine")
            .replace("part motor is unit fills engine { fitted on Dunlin }", "");
        let found = check("kind/none", &source);
        found.open("Not looked at: nobody has said what sits in the place engine.");
        assert!(found.fixed(0).contains("vehicle van is Dunlin { built 2012-04, has engine … }"));
    }

    #[test]
    fn what_is_removed_is_looked_at_too() {
        let source = r"
family Dunlin { built 2009-06 to 2018-12
  place clutch_pedal }
part pedal fills clutch_pedal { fitted on Dunlin }
vehicle van is Dunlin { built 2012-04 }
conversion easy { recipient van, remove clutch_pedal }";
        check("kind/none", source).open("Not looked at: nobody has said what sort of thing pedal is.");
        check("kind/none", &source.replace("remove clutch_pedal", "budget 100 EUR")).silent();
    }
}

//! # set/together
//!
//! What only works as a set comes together: a part from a donor brings the rest of its set from the
//! same donor, what the options no longer call for goes, and what they now call for comes.
//!
//! ## Why it matters
//!
//! An engine controller starts with its own key reader only; an automatic wants its selector, its
//! controller, its cooler. What of a set stays behind is bought at the dealer's price, once the
//! breaker is scrap. What of the old set stays in gets in the way.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind key_reader { asks mass }
//! kind engine_controller { asks mass
//!   comes with key_reader }
//! family Dunlin { built 2009-06 to 2018-12
//!   place engine_controller is engine_controller
//!   place key_reader is key_reader
//!   holds engine_controller in engine_controller
//!   holds key_reader in key_reader }
//! vehicle van is Dunlin { built 2012-04 }
//! vehicle breaker is Dunlin { built 2015-09 }
//! conversion easy { recipient van, donor breaker, take engine_controller from breaker }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind key_reader { asks mass }
//! kind engine_controller { asks mass
//!   comes with key_reader }
//! family Dunlin { built 2009-06 to 2018-12
//!   place engine_controller is engine_controller
//!   place key_reader is key_reader
//!   holds engine_controller in engine_controller
//!   holds key_reader in key_reader }
//! vehicle van is Dunlin { built 2012-04 }
//! vehicle breaker is Dunlin { built 2015-09 }
//! conversion easy { recipient van, donor breaker, take engine_controller, key_reader from breaker }
//! ```
//!
//! ## References
//!
//! Common practice, no source; what comes with what stands in the kinds and parts.

use trunnion_model::built::family;
use trunnion_model::decl::With;
use trunnion_model::fact::Ref;
use trunnion_model::kinds::{kind_of, whole_kind};
use trunnion_model::name::{Id, Space};
use trunnion_model::verdict::{Fix, Gate, Outcome, Question, Verdict, Who};
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::checks::kind_asked::change_site;
use crate::ctx::Ctx;

/// The check.
pub static CHECK: Check =
    Check { name: "set/together", source: include_str!("set_together.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    if ctx.world.conversion.is_none() {
        return Vec::new();
    }
    let mut verdicts: Vec<Verdict> = ctx.world.places.iter().flat_map(|it| of_place(ctx, it)).collect();
    let clashing = |verdict: &Verdict| verdict.outcome == Outcome::Clash;
    let missed: Vec<Fix> =
        verdicts.iter().filter(|it| clashing(it)).flat_map(|it| it.fixes.clone()).collect();
    for verdict in by_options(ctx) {
        // What a set misses is not said again because the options call for it too.
        let again = verdict.fixes.iter().any(|it| missed.iter().any(|other| other.edits == it.edits));
        if !again {
            verdicts.push(verdict);
        }
    }
    verdicts
}

/// The rest of the set of a part that comes from a donor.
fn of_place(ctx: &Ctx<'_>, place: &Place) -> Vec<Verdict> {
    let Some(donor) = place.donor().filter(|_| place.after.is_filled()) else { return Vec::new() };
    let mut named: Vec<(Id, &Ref)> = Vec::new();
    if let Some((_, kind)) = ctx.kind_after(place) {
        named.extend(kind.comes_with.iter().map(|(id, it)| (*id, it)));
    }
    for id in place.after.parts() {
        named.extend(ctx.part(*id).into_iter().flat_map(|it| &it.comes_with).map(|it| (*id, it)));
    }
    let mut seen: Vec<Id> = Vec::new();
    let mut verdicts = Vec::new();
    for (by, kind) in named {
        let Some(id) = ctx.find(by, Space::Kind, kind.head()).filter(|it| !seen.contains(it)) else {
            continue;
        };
        seen.push(id);
        let mut verdict = Set { ctx, place, donor, kind: id }.verdict();
        verdict = verdict.with_related(by.site(kind.span), "what comes with it");
        verdict.safety = ctx.safety(place);
        verdicts.push(verdict);
    }
    verdicts
}

/// One thing that belongs to the set of what is taken from a donor.
struct Set<'a> {
    ctx: &'a Ctx<'a>,
    place: &'a Place,
    donor: Id,
    kind: Id,
}

impl Set<'_> {
    fn is_it(&self, kind: Option<Id>) -> bool {
        let name = self.kind.name(self.ctx.db);
        kind.is_some_and(|it| whole_kind(self.ctx.db, self.ctx.workspace, it).is(self.ctx.db, &name))
    }

    /// The places where a thing of the kind sits, sat, or belongs.
    fn members(&self) -> Vec<&Place> {
        let kind_in = |holding, place: &Place| kind_of(self.ctx.db, self.ctx.workspace, holding, place.kind);
        let all = self.ctx.world.places.iter().filter(|it| it.name != self.place.name);
        all.filter(|it| {
            self.is_it(it.kind) || self.is_it(kind_in(&it.after, it)) || self.is_it(kind_in(&it.before, it))
        })
        .collect()
    }

    /// The places of the donor where it has one.
    fn at_donor(&self) -> Vec<String> {
        let donor = self.ctx.world.donors.iter().find(|it| it.vehicle == self.donor);
        let places = donor.iter().flat_map(|it| &it.places).filter(|it| it.holding.is_filled());
        let of_kind = places.filter(|it| {
            it.name != self.place.name
                && (self.is_it(it.kind)
                    || self.is_it(kind_of(self.ctx.db, self.ctx.workspace, &it.holding, it.kind)))
        });
        of_kind.map(|it| it.name.to_string()).collect()
    }

    fn verdict(&self) -> Verdict {
        let (ctx, own, it) = (self.ctx, self.place.shown(), self.kind.shown(self.ctx.db));
        let subject = format!("{}.{}", self.place.name, self.kind.name(ctx.db));
        let site = change_site(self.place);
        let from = self.donor.shown(ctx.db);
        let members = self.members();
        let comes = |it: &&&Place| it.changed() && it.after.is_filled();
        if members.iter().any(|it| it.donor() == Some(self.donor) && it.after.is_filled()) {
            let message = format!("The {own} and its {it} come from {from} together.");
            return ctx.clear("set/together", subject, site, message, &[]);
        }
        let bought = members.iter().filter(comes).find(|it| it.donor().is_none());
        if let Some(member) = bought {
            let what = ctx.holding_shown(&member.after, member);
            let message = format!("The {own} from {from} wants a {it} with it: {what} is fitted for it.");
            return ctx.clear("set/together", subject, change_site(member), message, &[]);
        }
        let together = format!("The {own} from {from} only works together with its {it}");
        let of_other = members.iter().find_map(|it| Some((it, it.donor()?)));
        let stays = members.iter().find(|it| it.after.is_filled());
        let at_donor = self.at_donor();
        let clash = match (of_other, stays) {
            (Some((member, other)), _) => {
                Some(format!("the {} comes from {}", member.shown(), other.shown(ctx.db)))
            }
            (None, Some(member)) if ctx.kind_after(member).is_some() && known(member) => {
                Some(format!("the {} of {} stays", member.shown(), ctx.world.recipient.vehicle.shown(ctx.db)))
            }
            (None, None) if !at_donor.is_empty() => Some("that does not come along".to_owned()),
            _ => None,
        };
        let take = |place: &String| {
            let from = self.donor.name(ctx.db);
            ctx.add_change(
                format!("take the {} as well", place.replace('_', " ")),
                &format!("take {place} from {from}"),
            )
        };
        let fixes: Vec<_> = at_donor.iter().filter_map(take).collect();
        // On a general scheme the trade's habit proves nothing about this vehicle: it is asked.
        let mut families = ctx.built().families.iter().filter_map(|it| family(ctx.db, *it));
        match clash.filter(|_| families.any(|it| !it.scheme)) {
            Some(why) => ctx
                .clash("set/together", subject, site, format!("{together}, but {why}."), &[])
                .with_fixes(fixes),
            None => {
                let question = Question {
                    what: format!("whether the {it} comes with the {own}"),
                    good: Some(format!("the {it} from {from}")),
                    tool: None,
                    precision: None,
                    minutes: Some(5),
                    who: Who::Seller,
                    gate: Gate::Buying,
                    hangs: format!("whether the {own} works at all"),
                    type_in: None,
                };
                let message = format!("{together}, and nobody has said whether that comes along.");
                ctx.open("set/together", subject, site, message, question).with_fixes(fixes)
            }
        }
    }
}

/// Whether it is known that something sits there.
fn known(place: &Place) -> bool {
    !matches!(place.after, trunnion_model::built::Holding::Unknown)
}

/// The option value that a place is bound to.
fn bound_to<'a>(ctx: &Ctx<'a>, place: &Place) -> Option<&'a With> {
    ctx.world.recipient.families.iter().find_map(|id| {
        let places = &family(ctx.db, *id)?.places;
        places.iter().find(|it| it.name.value == place.name)?.with.as_ref()
    })
}

/// Whether the conversion changes the option.
fn changes(ctx: &Ctx<'_>, with: &With) -> bool {
    let option = &with.option.value;
    let after = ctx.world.options_after.get(option);
    after.is_some() && ctx.world.recipient.option(option) != after
}

fn shown(option: &str, value: &str) -> String {
    format!("{} {}", option.replace('_', " "), value.replace('_', " "))
}

/// The option value that a place belonged to which no longer holds, where something still sits
/// there and nothing is done about it.
pub(crate) fn left_over(ctx: &Ctx<'_>, place: &Place) -> Option<String> {
    if place.changed() || !place.called_before || place.called_after || !place.after.is_filled() {
        return None;
    }
    let with = bound_to(ctx, place).filter(|it| changes(ctx, it))?;
    Some(shown(&with.option.value, &with.value.value))
}

/// The option value that newly calls for a place, where nothing sits and nothing comes.
pub(crate) fn wanting(ctx: &Ctx<'_>, place: &Place) -> Option<String> {
    let empty = !place.before.is_filled() && !place.after.is_filled();
    if place.changed() || place.called_before || !place.called_after || !empty {
        return None;
    }
    let with = bound_to(ctx, place).filter(|it| changes(ctx, it))?;
    Some(shown(&with.option.value, &with.value.value))
}

/// What the options after the changes call for, and what they no longer do.
fn by_options(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let mut verdicts = Vec::new();
    let mut in_order: Vec<&With> = Vec::new();
    let mut failing: Vec<&str> = Vec::new();
    for place in &ctx.world.places {
        let Some(with) = bound_to(ctx, place).filter(|it| changes(ctx, it)) else { continue };
        let verdict = match (left_over(ctx, place), wanting(ctx, place)) {
            (Some(of), _) => still_there(ctx, place, &of),
            (_, Some(of)) => called_for(ctx, place, &of),
            // Removed though called for, or replaced though not: decided, but not in order.
            _ if place.called_after != place.after.is_filled() => {
                failing.push(&with.option.value);
                continue;
            }
            _ => {
                if !in_order.iter().any(|it| it.option.value == with.option.value) {
                    in_order.push(with);
                }
                continue;
            }
        };
        failing.push(&with.option.value);
        verdicts.push(verdict);
    }
    for with in in_order.iter().filter(|it| !failing.contains(&it.option.value.as_str())) {
        let option = &with.option.value;
        let Some(after) = ctx.world.options_after.get(option) else { continue };
        let old = ctx.world.recipient.option(option);
        let left =
            old.map(|it| format!(", and nothing of {} is left", shown(option, it))).unwrap_or_default();
        let message = format!("All places that {} calls for are filled{left}.", shown(option, after));
        verdicts.push(ctx.clear("set/together", option.to_string(), ctx.root_site(), message, &[]));
    }
    verdicts
}

fn asked(what: String, who: Who, hangs: String, type_in: Option<String>) -> Question {
    let gate = if who == Who::Owner { Gate::NoReturn } else { Gate::Buying };
    Question { what, good: None, tool: None, precision: None, minutes: None, who, gate, hangs, type_in }
}

fn still_there(ctx: &Ctx<'_>, place: &Place, of: &str) -> Verdict {
    let (name, own) = (&place.name, place.shown());
    let message = format!("The {own} belongs to {of} and is still there: remove it or say why it stays.");
    let question = asked(
        format!("what becomes of the {own}"),
        Who::Owner,
        format!("whether the {own} is in the way of what comes"),
        Some(format!("in the conversion: remove {name}")),
    );
    let mut verdict = ctx.open("set/together", name.to_string(), ctx.root_site(), message, question);
    verdict = verdict.with_related(place.site, "the place");
    verdict.safety = ctx.safety(place);
    let by = if verdict.safety.is_empty() { "" } else { " by \"…\"" };
    let accept = format!("accept set/together {name}{by} because \"…\"");
    verdict
        .with_fixes(ctx.add_change(format!("remove the {own}"), &format!("remove {name}")))
        .with_fixes(ctx.add_change(format!("accept that the {own} stays"), &accept))
}

fn called_for(ctx: &Ctx<'_>, place: &Place, of: &str) -> Verdict {
    let (name, own) = (&place.name, place.shown());
    let message = format!("The {own} is called for with {of}, and nobody has said where it comes from.");
    let has = |it: &&std::sync::Arc<trunnion_model::built::Built>| {
        it.place(name).is_some_and(|it| it.holding.is_filled())
    };
    let donors: Vec<_> = ctx.world.donors.iter().filter(has).map(|it| it.vehicle.name(ctx.db)).collect();
    let mut statements: Vec<String> = donors.iter().map(|it| format!("take {name} from {it}")).collect();
    if statements.is_empty() {
        statements.push(format!("fit … for {name}"));
    }
    let who = if donors.is_empty() { Who::Maker } else { Who::Seller };
    let question = asked(
        format!("where the {own} comes from"),
        who,
        format!("whether {of} works without it"),
        statements.first().map(|it| format!("in the conversion: {it}")),
    );
    let mut verdict = ctx.open("set/together", name.to_string(), ctx.root_site(), message, question);
    verdict = verdict.with_related(place.site, "the place");
    verdict.safety = ctx.safety(place);
    verdict.with_fixes(statements.iter().filter_map(|it| ctx.add_change(it.clone(), it)))
}

#[cfg(test)]
mod tests;

//! # wire/inrush
//!
//! The fuse of a feed surely holds for as long as the highest current of a consumer on it lasts.
//!
//! ## Why it matters
//!
//! Motors and lamps draw several times their current for an instant. A fuse that is chosen by the steady
//! current alone then blows now and then, always when it is least wanted, and a larger one is put in that
//! no longer protects the wire.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind unit { asks mass }
//! family Curlew { built 2015-02 to 2020-11
//!   place pump is unit
//!   feed F9 is 12 V from battery, fuse 10 A }
//! part pump_12 is unit { plug W { 1 supply 12 V draw 5 A, 2 ground }, peak current 22 A, peak time 400 ms }
//! vehicle camper is Curlew { built 2017-08 }
//! conversion water { recipient camper, fit pump_12 for pump, wire F9 to pump.W[1] 1 mm2 RD }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind unit { asks mass }
//! family Curlew { built 2015-02 to 2020-11
//!   place pump is unit
//!   feed F9 is 12 V from battery, fuse 10 A }
//! part pump_12 is unit { plug W { 1 supply 12 V draw 5 A, 2 ground }, peak current 20 A, peak time 100 ms }
//! vehicle camper is Curlew { built 2017-08 }
//! conversion water { recipient camper, fit pump_12 for pump, wire F9 to pump.W[1] 1 mm2 RD }
//! ```
//!
//! ## References
//!
//! Least opening times of blade fuses: ISO 8820-3, see `trunnion explain fuse_holds`; the maker's curve is
//! nearer. Only what hangs on a feed by wires and splices is looked at, one consumer at a time.

use trunnion_handbook::quantity::Truth;
use trunnion_model::decl::Feed;
use trunnion_model::known;
use trunnion_model::name::Id;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::{EndAt, Place, WireEnd};

use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::pack::is_high;
use crate::sum::{Answer, Sum};
use crate::wiring::{Wired, same_net, wired};

/// The check.
pub static CHECK: Check =
    Check { name: "wire/inrush", source: include_str!("wire_inrush.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let filled = ctx.world.places.iter().filter(|it| it.after.is_filled());
    let begun = filled.filter(|it| ctx.stated(it, "peak_current") && ctx.concerns(&[it]));
    let all = wired(ctx.world);
    begun.filter_map(|it| one(ctx, it, &feed(ctx, &all, it)?)).collect()
}

/// The feed with a fuse on which the only supply of a part hangs.
fn feed<'a>(ctx: &Ctx<'a>, wired: &Wired<'_>, place: &Place) -> Option<(Id, &'a Feed)> {
    let part = ctx.part(place.after.part()?)?;
    let supplies = part.ends.iter().flat_map(|end| end.cavities.iter().map(move |it| (end, it)));
    let mut supplies = supplies.filter(|(_, it)| it.role.value == "supply" && it.out != Some(true));
    let (end, cavity) = supplies.next()?;
    // Which of several carries the peak nobody has said.
    if supplies.next().is_some() || is_high(cavity) || cavity.gives.is_some() {
        return None;
    }
    let at = EndAt { place: place.name.clone(), end: end.name.value.clone() };
    let (from, nowhere) = (WireEnd::Cavity(at, cavity.number.value), WireEnd::Strange(String::new()));
    let on =
        |feed: &Feed| same_net(ctx.world, wired, &nowhere, &from, &WireEnd::Feed(feed.name.value.clone()));
    let found = ctx.world.feeds.iter().find(|(_, it)| it.fuse.is_some() && on(it))?;
    Some((found.0, &found.1))
}

fn one(ctx: &Ctx<'_>, place: &Place, (id, feed): &(Id, &Feed)) -> Option<Verdict> {
    let site = place.done.last().map_or(place.site, |it| it.site);
    let (what, name) = (ctx.part_shown(place), feed.name.value.as_str());
    let hangs = format!("whether the fuse of {name} holds when {what} starts");
    let sum = Sum::new(ctx, CHECK.name, format!("{}.peak_current", place.name), site, hangs);
    sum.work(|sum| {
        sum.note("taken alone: what else runs on the feed makes the fuse quicker");
        sum.rests_on(&known::said(ctx.db, ctx.workspace, *id, &feed.claim, feed.span));
        let peak = sum.figure(place, "peak_current");
        let (fuse, peak) = (feed.fuse?, peak?);
        let said = format!("{what} draws up to {} from {name}", peak.display());
        let rated = format!("its fuse of {} carries that for good", fuse.display());
        if peak.at_most(&fuse).ok()? == Truth::Yes {
            return Some(Answer::told(Truth::Yes, &said, &rated).need(fuse.display(), peak.display()));
        }
        let lasts = sum.figure(place, "peak_time")?;
        let holds = sum.call("fuse_holds", &[peak, fuse])?.shown_in("ms").ok()?;
        let said = format!("{said} for {}", lasts.display());
        let needed = format!("its fuse of {} surely holds for {}", fuse.display(), holds.display());
        Some(Answer::at_most(lasts, holds, &said, &needed))
    })
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn camper(peak: &str, wire: &str) -> String {
        format!(
            r"
kind unit {{ asks mass }}
family Curlew {{ built 2015-02 to 2020-11
  place pump is unit
  feed F9 is 12 V from battery, fuse 10 A }}
part pump_12 is unit {{ plug W {{ 1 supply 12 V draw 5 A, 2 ground }}, {peak} }}
vehicle camper is Curlew {{ built 2017-08 }}
conversion water {{ recipient camper, fit pump_12 for pump{wire} }}"
        )
    }

    const WIRE: &str = ", wire F9 to pump.W[1] 1 mm2 RD";

    /// ISO 8820-3: at twice its rating a blade fuse opens after 0.15 s at the soonest.
    #[test]
    fn a_short_peak_passes() {
        let found = check("wire/inrush", &camper("peak current 20 A, peak time 100 ms", WIRE));
        found.clear("Pump 12 draws up to 20 A from F9 for 100 ms; its fuse of 10 A surely holds for 150 ms.");
        assert_eq!(found.text(), "fit pump_12 for pump");
        check("wire/inrush", &camper("peak current 9 A", WIRE))
            .clear("Pump 12 draws up to 9 A from F9; its fuse of 10 A carries that for good.");
    }

    #[test]
    fn a_long_one_clashes() {
        check("wire/inrush", &camper("peak current 20 A, peak time 400 ms", WIRE)).clash(
            "Pump 12 draws up to 20 A from F9 for 400 ms, but its fuse of 10 A surely holds for 150 ms.",
        );
    }

    #[test]
    fn how_long_it_lasts_is_asked() {
        check("wire/inrush", &camper("peak current 20 A", WIRE)).open(
            "Nobody has said the time for which its highest current lasts of the pump: it decides whether the \
             fuse of F9 holds when pump 12 starts.",
        );
        check("wire/inrush", &camper("peak current 20 A", "")).silent();
    }
}

//! # clutch/release
//!
//! The travel of the clutch pedal, through master cylinder, slave cylinder and fork, moves the release
//! bearing as far as the cover needs, and no cylinder runs out of stroke before.
//!
//! ## Why it matters
//!
//! Another gearbox comes with another slave cylinder, and the pedal box stays. Too little travel, and
//! the clutch drags: first gear grinds, on the hottest day first. Too much, and the fingers are pressed
//! over, or the slave leaves its bore.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Dunlin { built 2009-06 to 2018-12
//!   place clutch is clutch
//!   place clutch_pedal is clutch_pedal_box
//!   place clutch_slave is clutch_slave }
//! part cover_262 is clutch fills clutch { fitted on Dunlin, release travel 8.5 mm ± 0.5 mm }
//! part pedals is clutch_pedal_box fills clutch_pedal { fitted on Dunlin, piston diameter 17.5 mm,
//!   pedal travel 140 mm, pedal ratio 5.2, stroke 32 mm }
//! part slave_22 is clutch_slave { piston diameter 22 mm, lever ratio 2.4, stroke 30 mm }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion box { recipient van, fit slave_22 for clutch_slave }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! family Dunlin { built 2009-06 to 2018-12
//!   place clutch is clutch
//!   place clutch_pedal is clutch_pedal_box
//!   place clutch_slave is clutch_slave }
//! part cover_262 is clutch fills clutch { fitted on Dunlin, release travel 8.5 mm ± 0.5 mm }
//! part pedals is clutch_pedal_box { piston diameter 19 mm, pedal travel 140 mm, pedal ratio 5.2, stroke 32 mm }
//! part slave_22 is clutch_slave { piston diameter 22 mm, lever ratio 1.9, stroke 30 mm }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion box { recipient van, fit slave_22 for clutch_slave, fit pedals for clutch_pedal }
//! ```
//!
//! ## References
//!
//! Volume kept between two pistons, and a lever; see `trunnion explain slave_travel` and `lever_travel`.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "clutch/release", source: include_str!("clutch_release.rs"), judge: Judge::World(judge) };

/// Pedal, what the fluid moves, and cover.
struct Chain<'a> {
    pedal: &'a Place,
    slave: &'a Place,
    cover: &'a Place,
}

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let pedal = ctx.only_of_kind("clutch_pedal_box");
    let slave = ctx.only_of_kind("clutch_slave").or_else(|| in_gearbox(ctx));
    let (Some(pedal), Some(slave), Some(cover)) = (pedal, slave, ctx.only_of_kind("clutch")) else {
        return Vec::new();
    };
    let chain = Chain { pedal, slave, cover };
    let begun = ctx.stated(cover, "release_travel")
        || ctx.stated(pedal, "pedal_ratio")
        || ctx.stated(slave, "piston_diameter");
    if !begun || !ctx.concerns(&[pedal, slave, cover]) {
        return Vec::new();
    }
    let mut verdicts: Vec<Verdict> = release(ctx, &chain).into_iter().collect();
    if ctx.stated(pedal, "stroke") {
        verdicts.extend(stroke(ctx, &chain, pedal, "master"));
    }
    if ctx.stated(slave, "stroke") {
        verdicts.extend(stroke(ctx, &chain, slave, "slave"));
    }
    let bearing = ctx.only_of_kind("release_bearing");
    let made_for = bearing.filter(|it| ctx.stated(it, "finger_height"));
    verdicts.extend(made_for.and_then(|it| fingers(ctx, &chain, it)));
    verdicts
}

/// A gearbox that keeps the slave cylinder inside states its piston itself.
fn in_gearbox<'a>(ctx: &Ctx<'a>) -> Option<&'a Place> {
    ctx.only_of_kind("manual_gearbox").filter(|it| ctx.stated(it, "piston_diameter"))
}

impl Chain<'_> {
    fn sum<'c, 'a>(&self, ctx: &'c Ctx<'a>, subject: String, hangs: &str) -> Sum<'c, 'a> {
        let of = [self.slave, self.pedal, self.cover];
        let site = of.iter().find_map(|it| it.done.last()).map_or(self.cover.site, |it| it.site);
        let mut sum = Sum::new(ctx, CHECK.name, subject, site, hangs);
        sum.safety_of(&[self.pedal]);
        sum
    }

    /// The travel of the slave's piston when the pedal goes all its way, free travel taken off.
    fn slave_travel(&self, sum: &mut Sum<'_, '_>) -> Option<Quantity> {
        let travel = sum.figure(self.pedal, "pedal_travel");
        let free = sum.maybe(self.pedal, "free_travel");
        let ratio = sum.figure(self.pedal, "pedal_ratio");
        let master = sum.figure(self.pedal, "piston_diameter");
        let slave = sum.figure(self.slave, "piston_diameter");
        let useful = match free {
            Some(free) => {
                let left = travel?.sub(&free).ok()?;
                sum.formula(format!("{} − {} = {}", travel?.display(), free.display(), left.display()));
                left
            }
            None => travel?,
        };
        sum.call("slave_travel", &[useful, ratio?, master?, slave?])
    }
}

fn release(ctx: &Ctx<'_>, chain: &Chain<'_>) -> Option<Verdict> {
    chain.sum(ctx, chain.cover.name.to_string(), "whether the clutch frees").work(|sum| {
        let needed = sum.figure(chain.cover, "release_travel");
        let fork = sum.figure(chain.slave, "lever_ratio");
        let slave = chain.slave_travel(sum);
        let bearing = sum.call("lever_travel", &[slave?, fork?])?;
        let needed = needed?;
        let said = format!("the whole pedal moves the release bearing {}", bearing.display());
        Some(Answer::at_least(bearing, needed, &said, &format!("the cover needs {}", needed.display())))
    })
}

/// A cylinder that runs out of stroke before the pedal is down.
fn stroke(ctx: &Ctx<'_>, chain: &Chain<'_>, place: &Place, which: &str) -> Option<Verdict> {
    let hangs = format!("whether the {which} cylinder has the stroke");
    chain.sum(ctx, format!("{}.stroke", place.name), &hangs).work(|sum| {
        let there = sum.figure(place, "stroke");
        let needed = if which == "slave" {
            chain.slave_travel(sum)?
        } else {
            let travel = sum.figure(chain.pedal, "pedal_travel");
            let ratio = sum.figure(chain.pedal, "pedal_ratio");
            sum.call("lever_travel", &[travel?, ratio?])?
        };
        let there = there?;
        let said = format!("the whole pedal moves the piston of the {which} cylinder {}", needed.display());
        Some(Answer::at_most(needed, there, &said, &format!("its stroke is {}", there.display())))
    })
}

/// The bearing is made for fingers of a height; the slave has only so much stroke to make up the rest.
fn fingers(ctx: &Ctx<'_>, chain: &Chain<'_>, bearing: &Place) -> Option<Verdict> {
    let hangs = "whether the release bearing stands right at the fingers";
    chain.sum(ctx, format!("{}.finger_height", chain.cover.name), hangs).work(|sum| {
        let made_for = sum.figure(bearing, "finger_height");
        let there = sum.figure(chain.cover, "finger_height");
        let stroke = sum.figure(chain.slave, "stroke");
        let fork = sum.figure(chain.slave, "lever_ratio");
        let used = chain.slave_travel(sum);
        let off = made_for?.sub(&there?).ok()?.abs().ok()?;
        let spare = sum.call("lever_travel", &[stroke?.sub(&used?).ok()?, fork?])?;
        sum.formula(format!("{} against {}: {}", made_for?.display(), there?.display(), off.display()));
        let said = format!("the fingers stand {} from where the bearing expects them", off.display());
        Some(Answer::at_most(off, spare, &said, &format!("the slave makes up {}", spare.display())))
    })
}

#[cfg(test)]
mod tests {
    use crate::testing::{Found, check};

    fn van(pedal: &str, slave: &str, cover: &str) -> Found {
        let text = format!(
            r#"
source manual "Workshop manual" documented
family Dunlin {{ built 2009-06 to 2018-12
  place clutch is clutch
  place clutch_pedal is clutch_pedal_box
  place clutch_slave is clutch_slave
  place release_bearing is release_bearing }}
part cover is clutch fills clutch {{ fitted on Dunlin, condition "sound", {cover} }}
part pedals is clutch_pedal_box fills clutch_pedal {{ fitted on Dunlin, {pedal} }}
part bearing is release_bearing fills release_bearing {{ fitted on Dunlin, finger height 38 mm }}
part slave is clutch_slave {{ {slave} }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion box {{ recipient van, fit slave for clutch_slave }}"#
        );
        check("clutch/release", &text)
    }

    const PEDAL: &str = "piston diameter 20 mm, pedal ratio 5, pedal travel 140 mm, free travel 10 mm";
    const COVER: &str = "release travel 8.5 mm ± 0.5 mm, finger height 38 mm";

    /// By hand: (140 − 10) / 5 × 20² / 20² = 26 mm, / 2 = 13 mm; spare stroke (30 − 26) / 2 = 2 mm.
    #[test]
    fn enough_travel_is_clear() {
        let found = van(PEDAL, "piston diameter 20 mm, lever ratio 2, stroke 30 mm", COVER);
        let release = found.about("clutch");
        assert_eq!(
            release.message,
            "The whole pedal moves the release bearing 13 mm; the cover needs 8.5 mm ± 0.5 mm."
        );
        assert_eq!(release.margin.as_deref(), Some("4 to 5 mm"));
        assert_eq!(
            found.about("clutch_slave.stroke").message,
            "The whole pedal moves the piston of the slave cylinder 26 mm; its stroke is 30 mm."
        );
        assert_eq!(
            found.about("clutch.finger_height").message,
            "The fingers stand 0 mm from where the bearing expects them; the slave makes up 2 mm."
        );
    }

    #[test]
    fn too_little_travel_is_a_clash() {
        let found = van(PEDAL, "piston diameter 25.4 mm, lever ratio 2.1, stroke 10 mm", COVER);
        let release = found.about("clutch");
        assert_eq!(
            release.message,
            "The whole pedal moves the release bearing 7.676 mm, but the cover needs 8.5 mm ± 0.5 mm."
        );
        assert_eq!(found.text_of(release), "fit slave for clutch_slave");
        assert_eq!(found.about("clutch_slave.stroke").outcome.word(), "clash");
    }

    #[test]
    fn fingers_that_stand_elsewhere_are_a_clash() {
        let cover = "release travel 8.5 mm, finger height 43 mm";
        let found = van(PEDAL, "piston diameter 20 mm, lever ratio 2, stroke 30 mm", cover);
        assert_eq!(
            found.about("clutch.finger_height").message,
            "The fingers stand 5 mm from where the bearing expects them, but the slave makes up 2 mm."
        );
    }

    #[test]
    fn what_nobody_said_is_open_and_nothing_begun_is_silent() {
        let found = van(PEDAL, "piston diameter 20 mm", COVER);
        assert_eq!(
            found.about("clutch").message,
            "Nobody has said the lever ratio of the clutch slave: it decides whether the clutch frees."
        );
        van("condition \"sound\"", "condition \"sound\"", "mass 5 kg").silent();
    }
}

//! # loose/end
//!
//! Every end that was joined before the changes and is not after them, and every end that a part
//! brings along, is joined, blanked, bridged, moved or accepted: bolts, wires, fluids, supports,
//! cables and openings alike.
//!
//! ## Why it matters
//!
//! Taking a thing out is quickly done. What it leaves behind is found later: a hose that drips brake
//! fluid, a live wire behind the trim, a hole in the bulkhead, a bracket that carried something.
//! What counts is the end that stays in the vehicle; what leaves takes its own ends with it.
//!
//! ## An example that stays open
//!
//! ```trunnion open
//! kind pedal_box { asks opening bulkhead, port supply carrying clutch_fluid }
//! kind shell { asks opening clutch_hole, port reservoir carrying clutch_fluid }
//! family Dunlin { built 2009-06 to 2018-12
//!   place clutch_pedal is pedal_box
//!   place body is shell
//!   holds pedal_box in clutch_pedal
//!   holds shell in body
//!   joint clutch_pedal.bulkhead to body.clutch_hole
//!   line supply joins body.reservoir to clutch_pedal.supply, 8 mm bore }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, remove clutch_pedal }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind pedal_box { asks opening bulkhead, port supply carrying clutch_fluid }
//! kind shell { asks opening clutch_hole, port reservoir carrying clutch_fluid }
//! family Dunlin { built 2009-06 to 2018-12
//!   place clutch_pedal is pedal_box
//!   place body is shell
//!   holds pedal_box in clutch_pedal
//!   holds shell in body
//!   joint clutch_pedal.bulkhead to body.clutch_hole
//!   line supply joins body.reservoir to clutch_pedal.supply, 8 mm bore }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van
//!   remove clutch_pedal
//!   blank body.clutch_hole
//!   blank body.reservoir }
//! ```
//!
//! ## References
//!
//! Common practice, no source; so are the gates: a face must be settled before buying (what joins it
//! may have to be made), an opening before there is no way back, a port or a wire before power
//! (fluid runs, current flows), a mount or a cable before the road.

use std::collections::BTreeSet;

use trunnion_model::decl::EndClass;
use trunnion_model::fact::Found;
use trunnion_model::known;
use trunnion_model::verdict::{Gate, Verdict};
use trunnion_model::world::{Answer, EndAt, Laid, Place, When, WireEnd};

use crate::check::{Check, Judge};
use crate::checks::kind_asked::change_site;
use crate::checks::set_together::left_over;
use crate::ctx::Ctx;

mod book;
mod said;

use book::Book;
pub use book::{Fate, fate};
pub(crate) use said::end_shown;
use said::{Loose, Was};

/// The check.
pub static CHECK: Check =
    Check { name: "loose/end", source: include_str!("loose_end.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    if ctx.world.conversion.is_none() {
        return Vec::new();
    }
    let looking = Looking { ctx, book: Book::of(ctx) };
    let changed = ctx.world.places.iter().filter(|it| it.changed());
    let mut verdicts: Vec<Verdict> = changed.flat_map(|it| looking.about(it)).collect();
    verdicts.extend(looking.taken());
    verdicts
}

/// The moment by which a loose end of a medium must be settled; common practice, no source.
pub(crate) fn gate(class: EndClass) -> Gate {
    match class {
        EndClass::Face => Gate::Buying,
        EndClass::Opening => Gate::NoReturn,
        EndClass::Plug | EndClass::Port => Gate::Power,
        EndClass::Mount | EndClass::Link => Gate::Road,
    }
}

/// What was found about one changed place.
#[derive(Default)]
struct Tally {
    /// What was looked at and is in order; an end once.
    ends: BTreeSet<String>,
    rests_on: Vec<Found>,
    answers: Vec<Answer>,
    loose: Vec<Verdict>,
}

struct Looking<'a> {
    ctx: &'a Ctx<'a>,
    book: Book<'a>,
}

impl Looking<'_> {
    fn about(&self, place: &Place) -> Vec<Verdict> {
        let mut tally = Tally::default();
        self.neighbours(place, &mut tally);
        self.comes_in(place, &mut tally);
        self.went_out(place, &mut tally);
        self.terminals(place, &mut tally);
        if !tally.loose.is_empty() || tally.ends.is_empty() {
            return tally.loose;
        }
        let name = place.shown();
        let message = match tally.ends.len() {
            1 => format!("The one end at the {name} is joined or answered."),
            count => format!("All {count} ends at the {name} are joined or answered."),
        };
        let subject = place.name.to_string();
        let clear = self.ctx.clear("loose/end", subject, change_site(place), message, &tally.rests_on);
        let mut clear =
            tally.answers.iter().fold(clear, |it, answer| it.with_related(answer.site, answer.verb));
        clear.safety = self.ctx.safety(place);
        vec![clear]
    }

    /// What stays in the vehicle of joints to what was there.
    fn neighbours(&self, place: &Place, tally: &mut Tally) {
        for link in self.book.links(&place.name).filter(|it| it.joint.before) {
            let (own, other) = link.ends_from(&place.name);
            let Some(at) = self.ctx.world.place(&other.place) else { continue };
            // Ends of other changed places are looked at there; those of a place that is no longer
            // called for are set/together's.
            if at.changed() || !at.after.is_filled() || left_over(self.ctx, at).is_some() {
                continue;
            }
            if !self.settled(other, tally) {
                let was = Was::Joined { own: own.clone(), link };
                tally.loose.push(self.loose(place, at, other.clone(), was));
            }
        }
    }

    /// The ends of what comes in.
    fn comes_in(&self, place: &Place, tally: &mut Tally) {
        let before = self.ctx.ends(place, When::Before);
        let mut undrawn = Vec::new();
        for end in self.book.incoming(place) {
            let at = EndAt { place: place.name.clone(), end: end.name.clone() };
            if end.class == EndClass::Plug && self.book.wired(&at, When::After) {
                // The terminals of the loom are counted each; new wires count for their plug.
                if !self.book.wired(&at, When::Before) {
                    tally.ends.insert(at.text());
                }
            } else if !self.settled(&at, tally) {
                let was_there = before.iter().any(|it| it.name == end.name && !it.absent);
                if was_there && !self.book.drawn(&at) {
                    undrawn.push(end);
                } else {
                    tally.loose.push(self.loose(place, place, at, Was::ComesIn(end)));
                }
            }
        }
        // One question for all of them: the drawing of the vehicle is short here.
        if let Some(first) = undrawn.first().cloned() {
            let at = EndAt { place: place.name.clone(), end: first.name.clone() };
            let was = if undrawn.len() == 1 { Was::ComesIn(first) } else { Was::Undrawn(undrawn) };
            tally.loose.push(self.loose(place, place, at, was));
        }
    }

    /// The ends of what was there that no joint, line or wire of the vehicle speaks of: something
    /// was joined to them.
    fn went_out(&self, place: &Place, tally: &mut Tally) {
        let stays = self.ctx.kind_before(place).map(|(_, it)| it.stays.as_slice()).unwrap_or_default();
        for end in self.ctx.ends(place, When::Before) {
            if end.absent || stays.contains(&end.name) || fate(self.ctx, place, &end.name) != Fate::Gone {
                continue;
            }
            let at = EndAt { place: place.name.clone(), end: end.name.clone() };
            if self.book.drawn(&at) || self.settled(&at, tally) {
                continue;
            }
            tally.loose.push(self.loose(place, place, at, Was::WentOut(end)));
        }
    }

    /// The terminals of the loom that sat in what was there.
    fn terminals(&self, place: &Place, tally: &mut Tally) {
        let mut seen: BTreeSet<(&EndAt, u32)> = BTreeSet::new();
        for wire in self.book.wires(&place.name).filter(|it| it.laid != Laid::Conversion) {
            for (own, other) in [(&wire.a, &wire.b), (&wire.b, &wire.a)] {
                let WireEnd::Cavity(at, n) = own else { continue };
                if at.place != place.name || !seen.insert((at, *n)) {
                    continue;
                }
                let far = match other {
                    WireEnd::Cavity(far, m) => self.ctx.world.place(&far.place).map(|it| (it, far, *m)),
                    _ => None,
                };
                if !self.book.cavity_gone(place, at, *n) {
                    tally.ends.insert(own.text());
                    let said = known::said(
                        self.ctx.db,
                        self.ctx.workspace,
                        wire.id,
                        &wire.wire.claim,
                        wire.wire.span,
                    );
                    tally.rests_on.push(said);
                } else if far.is_some_and(|(it, far, m)| self.book.cavity_gone(it, far, m)) {
                    // A wire that loses both ends leads nowhere.
                } else if let Some(answer) = self.book.cavity_answer(at, *n, far.map(|(_, it, m)| (it, m))) {
                    tally.ends.insert(own.text());
                    tally.answers.push(answer.clone());
                } else {
                    let far = far.map_or(place, |it| it.0);
                    let was = Was::Wired { wire, cavity: *n, other: other.clone() };
                    tally.loose.push(self.loose(place, far, at.clone(), was));
                }
            }
        }
    }

    /// Ends that were joined to one which the conversion joins to something else, though neither
    /// part changes.
    fn taken(&self) -> Vec<Verdict> {
        let mut loose = Vec::new();
        for (new, end) in self.book.laid() {
            let unchanged = |at: &EndAt| self.ctx.world.place(&at.place).filter(|it| !it.changed());
            let Some(place) = unchanged(end) else { continue };
            for link in self.book.links(&end.place).filter(|it| it.joint.before) {
                let Some(other) = link.joint.other(end) else { continue };
                let Some(at) = unchanged(other).filter(|it| it.after.is_filled()) else { continue };
                if !self.settled(other, &mut Tally::default()) {
                    let was = Was::Joined { own: end.clone(), link };
                    let mut verdict = self.loose(place, at, other.clone(), was);
                    verdict.site = new.site;
                    loose.push(verdict);
                }
            }
        }
        loose
    }

    /// Whether an end is joined or answered; if so it is counted, with what that rests on.
    fn settled(&self, at: &EndAt, tally: &mut Tally) -> bool {
        if let Some(link) = self.book.joined(at) {
            let mut key = [link.joint.a.text(), link.joint.b.text()];
            key.sort();
            tally.ends.insert(key.join("-"));
            tally.rests_on.extend(self.book.claim(link));
            return true;
        }
        let Some(answer) = self.book.end_answer(at) else { return false };
        tally.ends.insert(at.text());
        tally.answers.push(answer.clone());
        let before = self.book.links(&at.place).filter(|it| it.joint.before && it.joint.other(at).is_some());
        tally.rests_on.extend(before.filter_map(|it| self.book.claim(it)));
        true
    }

    fn loose(&self, changed: &Place, stays: &Place, at: EndAt, was: Was<'_>) -> Verdict {
        Loose { ctx: self.ctx, changed, stays, at, was }.verdict()
    }
}

#[cfg(test)]
mod tests;

//! The size of each new wire: the smallest that is sold and holds, by what the checks judge it by.
//!
//! Where no basis allows judging, the size of a like wire: that of the net it joins, else of the smallest
//! supply of this vehicle that carries as much; else 6 A for each mm²; else, where nobody has said what flows,
//! 0.5 mm² for signals and 0.75 mm² for the rest (all common practice, no source). The terminal has the last word.

use trunnion_check::ctx::{Ctx, trimmed};
use trunnion_check::loads::cable::cable;
use trunnion_check::loads::carries::{allowed, lies};
use trunnion_check::loads::told::SIZES;
use trunnion_check::loads::way::Ways;
use trunnion_check::loads::{Current, Loads};
use trunnion_check::sum::Sum;
use trunnion_handbook::quantity::Quantity;
use trunnion_model::decl::Wire;
use trunnion_model::fact::Ref;
use trunnion_model::world::{Laid, When, WireAt, WireEnd, World};
use trunnion_syntax::tree::{At, Span};

use super::existing::Standing;
use super::links::Link;
use super::nets::{Sort, Wanted};
use super::ways::Zones;

/// The share of the voltage that may be lost and the warmth of the copper where the `basis` says nothing, as
/// wire/drop takes them: common practice, no source.
const SHARE: f64 = 3.0;
const WARM: f64 = 60.0;
/// What a wire needs beside its runs where the `basis` does not say, in m, as wire/drop takes it.
const REACH: f64 = 1.0;
/// Sizes where nothing tells: common practice, no source.
const SIGNAL: f64 = 0.5;
const OTHER: f64 = 0.75;
/// What a square millimetre carries at most where neither a basis nor a like wire tells, in A: common
/// practice, no source; well below what tables allow, so that a bundle stays cool.
const DENSITY: f64 = 6.0;

/// A size with its reason.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Sized {
    /// As it is written: `0.75 mm2`.
    pub text: String,
    pub mm2: f64,
    pub why: String,
}

/// The world with all new wires in it, each of a size.
pub(super) fn with_links(
    standing: &Standing<'_, '_>,
    rest: &World,
    zones: &Zones,
    links: &[Link],
    mm2: &[f64],
) -> World {
    let mut world = rest.clone();
    let word = |text: &str, nth: u32| Ref {
        parts: vec![At { value: text.into(), span: Span::new(nth, nth) }],
        index: None,
        span: Span::new(nth, nth),
    };
    for (nth, (link, mm2)) in links.iter().zip(mm2).enumerate() {
        let [a, b] = [&link.a, &link.b].map(|it| standing.nodes[it.node].clone());
        let names = link.path.iter().filter_map(|it| zones.names.get(*it));
        let wire = Wire {
            a: word(&a.text(), nth as u32),
            b: word(&b.text(), nth as u32),
            size: Quantity::exact(*mm2, "mm²").ok(),
            colour: None,
            zones: names.map(|it| word(it, nth as u32)).collect(),
            length: None,
            claim: Default::default(),
            span: Span::new(u32::MAX - nth as u32, u32::MAX),
        };
        let id = world.root();
        world.wires.push(WireAt { was: (a.clone(), b.clone()), a, b, wire, id, laid: Laid::Conversion });
    }
    world
}

/// The sizes of all links, in their order.
pub(super) fn sizes(
    standing: &Standing<'_, '_>,
    rest: &World,
    zones: &Zones,
    wanted: &[Wanted],
    links: &[Link],
) -> Vec<Sized> {
    let (db, workspace) = (standing.frame.ctx.db, standing.frame.ctx.workspace);
    let mm2: Vec<f64> = links.iter().map(|it| usual(&wanted[it.net].sort)).collect();
    let after = with_links(standing, rest, zones, links, &mm2);
    let (old, ctx) = (Ctx { db, workspace, world: rest }, Ctx { db, workspace, world: &after });
    let (before, loads) = (Loads::of(&old, When::After), Loads::of(&ctx, When::After));
    let ways = Ways::of(&ctx);
    let sizing = Sizing { standing, rest, ctx: &ctx, before: &before, loads: &loads, ways: &ways };
    let first = rest.wires.len();
    links.iter().enumerate().map(|(nth, it)| sizing.one(it, &wanted[it.net], first + nth)).collect()
}

/// The size where nothing tells.
pub(super) fn usual(sort: &Sort) -> f64 {
    match sort {
        Sort::High(_) | Sort::Low(_) | Sort::Lin(_) | Sort::Signal(_) => SIGNAL,
        Sort::Supply | Sort::Ground => OTHER,
    }
}

struct Sizing<'s, 'f, 'a> {
    standing: &'s Standing<'f, 'a>,
    rest: &'s World,
    ctx: &'s Ctx<'s>,
    before: &'s Loads<'s>,
    loads: &'s Loads<'s>,
    ways: &'s Ways<'s>,
}

impl Sizing<'_, '_, '_> {
    fn one(&self, link: &Link, wanted: &Wanted, wire: usize) -> Sized {
        let current = self.loads.current(wire);
        let amps = current.filter(|it| it.known).map(|it| it.amps()[2]).filter(|it| *it > 0.0);
        let power = matches!(wanted.sort, Sort::Supply | Sort::Ground);
        let (like, mut why) = self.like(link, wanted, amps.filter(|_| power));
        let mut chosen = like;
        if let Some(current) = current.filter(|_| power) {
            let held = self.held(wire, current, amps);
            if let Some((size, how)) = held {
                (chosen, why) = (size, how);
            }
        }
        let (fitted, terminal) = self.fitted(link, chosen);
        if let Some(terminal) = terminal {
            why = format!("{why}; {terminal}");
        }
        Sized { text: format!("{} mm2", trimmed(fitted, 2)), mm2: fitted, why }
    }

    /// The size of a like wire.
    fn like(&self, link: &Link, wanted: &Wanted, amps: Option<f64>) -> (f64, String) {
        let mm2 = |it: &WireAt| it.wire.size.and_then(|it| it.in_unit("mm²"));
        if !matches!(wanted.sort, Sort::Supply | Sort::Ground) {
            for spot in [&link.a, &link.b] {
                let mut here = self.standing.at[spot.node].iter().map(|it| self.standing.wire(*it));
                if let Some(size) = here.find_map(mm2) {
                    return (size, format!("{} mm² as its net has", trimmed(size, 2)));
                }
            }
            if self.takes_more(link) {
                return (
                    OTHER,
                    format!("{OTHER} mm² for what drives something (common practice, no source)"),
                );
            }
            return (SIGNAL, format!("{SIGNAL} mm² for signals (common practice, no source)"));
        }
        if let Some(amps) = amps {
            let carries = |nth: usize| {
                let it = self.before.current(nth).filter(|it| it.known)?;
                (it.amps()[2] + 1e-9 >= amps).then_some(())
            };
            let all = self.rest.wires.iter().enumerate();
            let like = all.filter_map(|(nth, it)| carries(nth).and(Some((mm2(it)?, it))));
            if let Some((size, it)) = like.min_by(|a, b| a.0.total_cmp(&b.0)) {
                let from = format!("{} to {}", it.a.text(), it.b.text());
                let why = format!("{} mm² as {from} has, which carries as much", trimmed(size, 2));
                return (size, why);
            }
        }
        let Some(amps) = amps else {
            return (
                OTHER,
                format!("{OTHER} mm², as nobody has said what flows (common practice, no source)"),
            );
        };
        let mut sold = SIZES.iter().filter_map(|it| it.parse::<f64>().ok());
        let size = sold.find(|it| *it >= OTHER && *it * DENSITY + 1e-9 >= amps).unwrap_or(OTHER);
        let why = format!(
            "{} mm² for {} A: at most {DENSITY} A for each mm², as no basis says what a wire may carry and no like wire \
             is there (common practice, no source)",
            trimmed(size, 2),
            trimmed(amps, 1)
        );
        (size, why)
    }

    /// Whether a coil, lamp or motor hangs on it.
    fn takes_more(&self, link: &Link) -> bool {
        [&link.a, &link.b].into_iter().any(|it| {
            let cavity = self.standing.pin(it.node).and_then(|it| it.now);
            cavity.is_some_and(|it| !matches!(it.role.value.as_str(), "signal" | "sensor" | "switch"))
        })
    }

    /// The smallest size that holds by current, fuse and drop, where the `basis` says how they are judged.
    fn held(&self, wire: usize, current: &Current, amps: Option<f64>) -> Option<(f64, String)> {
        let (ctx, mut found) = (self.ctx, None);
        let site = ctx.root_site();
        let sum = Sum::new(ctx, "wire/current", "loom", site, "how large new wires are");
        let judged = sum.work(|sum| {
            let chosen = ctx.basis("current").best().is_some();
            let lies = chosen.then(|| lies(sum, self.loads.volts(wire), || 1)).flatten();
            let cable = ctx.basis("cable").best().is_some().then(|| cable(sum)).flatten();
            let length = cable.and_then(|_| self.length(wire));
            let fuse =
                current.guards.iter().map(|it| it.amps).filter(|it| it.is_finite()).fold(0.0, f64::max);
            let least = amps.unwrap_or(0.0).max(if current.ground { 0.0 } else { fuse });
            let by_current = lies.filter(|_| least > 0.0);
            let by_drop = cable.zip(length).zip(amps);
            if by_current.is_none() && by_drop.is_none() {
                return None;
            }
            let share = ctx.basis("drop").best().and_then(|it| it.quantity()).and_then(|it| it.in_unit("%"));
            let warm = ctx.basis("ambient").best().and_then(|it| it.quantity());
            let warm = warm.or_else(|| Quantity::exact(WARM, "°C").ok())?;
            let volts = self.loads.volts(wire).and_then(|it| it.ends_in("V")).map_or(12.0, |it| it[0]);
            let limit = volts * share.unwrap_or(SHARE) / 100.0;
            for text in SIZES {
                let mm2: f64 = text.parse().ok()?;
                let size = Quantity::exact(mm2, "mm²").ok()?;
                if let Some(lies) = &by_current
                    && !allowed(&size, lies).is_ok_and(|it| it.amps.lo() >= least)
                {
                    continue;
                }
                if let Some(((cable, length), amps)) = by_drop {
                    let (ohms, _) = cable.resistance(&size, &warm).ok()?;
                    let ohms = ohms.value.in_unit("mΩ/m").map(|it| it / 1000.0 * length)?;
                    // There and back.
                    if 2.0 * ohms * amps > limit {
                        continue;
                    }
                }
                let mut how = Vec::new();
                if by_current.is_some() {
                    how.push(format!("carries {} A", trimmed(least, 1)));
                }
                if by_drop.is_some() {
                    how.push(format!("loses at most {} V there and back", trimmed(limit, 2)));
                }
                found = Some((mm2, format!("{text} mm² {}", how.join(" and "))));
                break;
            }
            None
        });
        drop(judged);
        found
    }

    /// How long a wire is, in m, as wire/drop counts it.
    fn length(&self, wire: usize) -> Option<f64> {
        let mut total = self
            .ctx
            .basis("wire_allowance")
            .best()
            .and_then(|it| it.quantity())
            .and_then(|it| it.in_unit("m"))
            .unwrap_or(REACH);
        for pair in trunnion_check::loads::way::passes(&self.ctx.world.wires[wire]) {
            total += self.ways.runs.get(&pair)?.1.length?.in_unit("m")?;
        }
        Some(total)
    }

    /// The size that the terminals at both ends take.
    fn fitted(&self, link: &Link, mm2: f64) -> (f64, Option<String>) {
        let (mut least, mut most) = (0.0_f64, f64::INFINITY);
        for spot in [&link.a, &link.b] {
            let end = &self.standing.nodes[spot.node];
            let takes = self.standing.frame.takes(end).filter(|_| matches!(end, WireEnd::Cavity(..)));
            if let Some([lo, _, hi]) = takes.and_then(|it| it.ends_in("mm²")) {
                (least, most) = (least.max(lo), most.min(hi));
            }
        }
        let all = SIZES.iter().filter_map(|it| it.parse::<f64>().ok());
        let inside: Vec<f64> = all.filter(|it| *it >= least - 1e-9 && *it <= most + 1e-9).collect();
        if inside.is_empty() || mm2 >= least - 1e-9 && mm2 <= most + 1e-9 {
            return (mm2, None);
        }
        let nearest = if mm2 < least { inside[0] } else { inside[inside.len() - 1] };
        (nearest, Some(format!("its terminals take {} to {} mm²", trimmed(least, 2), trimmed(most, 2))))
    }
}

//! Routes for all nets at once, within the bores.

use std::collections::BTreeMap;
use std::f64::consts::PI;

use trunnion_check::loads::cable::Cable;
use trunnion_check::loads::way::Ways;
use trunnion_handbook::bundle::{MOST_WIRES, width};
use trunnion_handbook::quantity::Quantity;
use trunnion_model::db::Site;
use trunnion_model::world::{WireEnd, World};

use super::existing::Standing;
use super::fill::lay;
use super::links::{Link, links};
use super::nets::{Sort, Wanted};
use super::network::{Net, Outcome};
use super::pairs::{Partners, beside};
use super::ways::{How, Pieces, Spot, Zones, pieces};
use super::{Lack, Unsolved};

/// What the rule for bundles multiplies √Σd² by: common practice, no source, as in wire/bundle.
const RULE: f64 = 1.2;

/// What was laid.
#[derive(Default)]
pub(super) struct Laid {
    pub links: Vec<Link>,
    pub unsolved: Vec<(usize, Unsolved)>,
    /// What the routing counts, and what it proved to be the least, in s.
    pub effort: u64,
    pub bound: u64,
    pub exact: bool,
    /// Whether some bore stood in the way of a shorter route.
    pub squeezed: bool,
}

/// All that routing needs to know.
pub(super) struct Task<'t, 'f, 'a> {
    pub standing: &'t Standing<'f, 'a>,
    pub zones: &'t mut Zones,
    pub wanted: &'t [Wanted],
    /// The nets of low wires, by that of their high wire.
    pub pairs: &'t BTreeMap<usize, usize>,
    pub partners: &'t Partners,
    /// The feed of a supply that had the choice.
    pub feeds: &'t BTreeMap<usize, Vec<Spot>>,
    /// Nets that are not to be laid.
    pub without: Vec<usize>,
    /// By net, the size it will have, in mm².
    pub sizes: &'t BTreeMap<usize, f64>,
    /// The world without what is taken out, and the ways of its wires.
    pub rest: &'t World,
    pub ways: &'t Ways<'t>,
    pub go_on: &'t dyn Fn() -> bool,
}

/// One net for the routing.
struct One {
    net: usize,
    low: Option<usize>,
    pieces: Pieces,
}

/// The largest outside diameter of a wire in mm, thin wall: ISO 6722-1, 2011, from memory, unverified.
fn diameter(mm2: f64) -> f64 {
    let size = Quantity::exact(mm2, "mm²");
    let known = size.ok().and_then(|it| Cable::Vehicle { thin: true }.diameter(&it).ok());
    // Beyond the table: a conductor of that area and half again for strands and wall.
    known.map_or_else(|| (4.0 * mm2 / PI).sqrt() * 1.5, |it| it.0)
}

/// What a wire takes of a bore, in 1/1000 mm², so that a bore is full where the rule says so.
fn area(mm2: f64) -> u64 {
    (PI / 4.0 * (RULE * diameter(mm2)).powi(2) * 1000.0).ceil() as u64
}

impl Task<'_, '_, '_> {
    /// Lays all nets that can be laid.
    pub fn lay(mut self) -> Laid {
        let mut laid = Laid::default();
        self.rooms();
        let mut all = self.nets(&mut laid);
        let mut tries = 0;
        loop {
            let nets: Vec<Net> = all.iter().map(|it| self.net(it)).collect();
            match lay(&self.zones.network, &nets, self.go_on) {
                Outcome::Laid(routes) => {
                    laid.effort = routes.effort;
                    laid.bound = routes.bound;
                    laid.exact = routes.exact;
                    laid.links = all
                        .iter()
                        .zip(&routes.trees)
                        .flat_map(|(one, tree)| {
                            self.realised(one, links(one.net, &one.pieces, tree, self.zones))
                        })
                        .collect();
                    tries += 1;
                    match self.overfull(&laid.links) {
                        Some((leg, used)) if tries < 32 => {
                            self.zones.network.runs[leg].room = Some(used.saturating_sub(1));
                        }
                        _ => break,
                    }
                }
                Outcome::NoRoom { run, nets } => {
                    laid.squeezed = true;
                    let Some(last) = nets.iter().max().copied() else { break };
                    let others: Vec<usize> =
                        nets.iter().filter(|it| **it != last).map(|it| all[*it].net).collect();
                    let one = all.remove(last);
                    let sentence = self.full(run, one.net, &others);
                    let together = others.iter().chain(std::iter::once(&one.net));
                    let sites: Vec<Site> = self
                        .run_site(run)
                        .into_iter()
                        .chain(together.flat_map(|it| self.ends(*it)))
                        .collect();
                    for net in std::iter::once(one.net).chain(one.low) {
                        let told = self.unsolved(net, sentence.clone());
                        laid.unsolved
                            .push((net, Unsolved { lack: Lack::Room, sites: sites.clone(), ..told }));
                    }
                }
                Outcome::NoWay { net } => {
                    let one = all.remove(net);
                    let at = self.standing.nodes[self.wanted[one.net].of].shown();
                    for net in std::iter::once(one.net).chain(one.low) {
                        let sentence = format!("No runs lead from {at} to anything of its net.");
                        laid.unsolved
                            .push((net, Unsolved { lack: Lack::Way, ..self.unsolved(net, sentence) }));
                    }
                }
                Outcome::Stopped => {
                    for one in &all {
                        let sentence = "It was stopped before a way was found.".to_owned();
                        laid.unsolved.push((one.net, self.unsolved(one.net, sentence)));
                    }
                    break;
                }
            }
        }
        laid.squeezed |= tries > 1;
        self.between(&mut laid);
        laid
    }

    fn unsolved(&self, net: usize, sentence: String) -> Unsolved {
        let of = self.wanted[net].of;
        let pin = self.standing.pin(of);
        let stated = pin.and_then(|it| Some(it.end?.0.site(it.now?.span)));
        let done = pin.and_then(|it| it.place.done.last()).map(|it| it.site);
        let replaced = self.wanted[net].replaces.iter().copied();
        let sites = stated.into_iter().chain(done).chain(replaced).collect();
        Unsolved { subject: self.standing.nodes[of].text(), sentence, sites, lack: Lack::Knowledge }
    }

    /// Where the cavities of a net are stated, and the changes that brought their parts.
    fn ends(&self, net: usize) -> Vec<Site> {
        let wanted = &self.wanted[net];
        let pins =
            wanted.pieces.iter().chain(std::iter::once(&wanted.of)).filter_map(|it| self.standing.pin(*it));
        pins.flat_map(|pin| {
            let stated = pin.end.zip(pin.now).map(|((id, _), cavity)| id.site(cavity.span));
            stated.into_iter().chain(pin.place.done.last().map(|it| it.site))
        })
        .chain(wanted.replaces.iter().copied())
        .collect()
    }

    /// Where a run is stated.
    fn run_site(&self, leg: usize) -> Option<Site> {
        let between = self.zones.legs[leg].between.as_ref()?;
        let (id, run) = self.ways.runs.get(between)?;
        Some(id.site(run.span))
    }

    /// What is left in each bore.
    fn rooms(&mut self) {
        for (nth, leg) in self.zones.legs.iter().enumerate() {
            let Some(bore) = leg.bore else { continue };
            let taken: u64 = self.inside(nth).iter().map(|it| area(*it)).sum();
            let whole = (PI / 4.0 * bore * bore * 1000.0).floor() as u64;
            self.zones.network.runs[nth].room = Some(whole.saturating_sub(taken));
        }
    }

    /// The sizes of the wires that stay in a run; one that nobody has said counts as 0.5 mm².
    fn inside(&self, leg: usize) -> Vec<f64> {
        let between = self.zones.legs[leg].between.as_ref();
        let wires = between.and_then(|it| self.ways.shared.get(it)).into_iter().flatten();
        wires
            .map(|it| self.rest.wires[*it].wire.size.and_then(|it| it.in_unit("mm²")).unwrap_or(0.5))
            .collect()
    }

    fn nets(&self, laid: &mut Laid) -> Vec<One> {
        let lows: Vec<usize> = self.pairs.values().copied().collect();
        let mut all = Vec::new();
        for (net, wanted) in self.wanted.iter().enumerate() {
            if self.without.contains(&net) || lows.contains(&net) && self.pair_of(net).is_some() {
                continue;
            }
            let mut pieces = self.pieces(net);
            let low = self.pairs.get(&net).copied().filter(|it| !self.without.contains(it));
            if let Some(low) = low {
                let kept: Option<Pieces> = self.kept_together(&pieces, low);
                match kept {
                    Some(kept) => pieces = kept,
                    None => {
                        let sentence = format!(
                            "The two wires of the pair at {} cannot go the same way: one of them has nothing beside the \
                             other to be joined to.",
                            self.standing.nodes[wanted.of].shown()
                        );
                        laid.unsolved.push((net, self.unsolved(net, sentence)));
                        all.push(One { net, low: None, pieces });
                        all.push(One { net: low, low: None, pieces: self.pieces(low) });
                        continue;
                    }
                }
            }
            if pieces.spots.iter().any(Vec::is_empty) {
                let at = self.standing.nodes[wanted.of].shown();
                let sentence = match wanted.sort {
                    Sort::Ground => {
                        format!("{at} wants ground, and no ground point of this vehicle is known.")
                    }
                    _ => format!("Nothing that is known of the net of {at} can be joined to."),
                };
                laid.unsolved.push((net, self.unsolved(net, sentence)));
                continue;
            }
            all.push(One { net, low, pieces });
        }
        all
    }

    /// The high wire whose low one this is, where both are laid.
    fn pair_of(&self, low: usize) -> Option<usize> {
        self.pairs.iter().find(|it| *it.1 == low).map(|it| *it.0).filter(|it| !self.without.contains(it))
    }

    fn pieces(&self, net: usize) -> Pieces {
        let wanted = &self.wanted[net];
        let choices = match wanted.sort {
            Sort::Supply if wanted.is_choice() => Some(self.feeds.get(&net).cloned().unwrap_or_default()),
            Sort::Ground if wanted.is_choice() => Some(self.grounds()),
            _ => None,
        };
        pieces(self.standing, self.zones, wanted, choices)
    }

    fn grounds(&self) -> Vec<Spot> {
        let grounds = (0..self.standing.nodes.len())
            .filter(|it| matches!(self.standing.nodes[*it], WireEnd::Ground(_)));
        let mut all: Vec<Spot> = grounds
            .flat_map(|it| {
                let zone = self.standing.frame.zone(&self.standing.nodes[it]);
                self.zones.spots(it, How::Ground, zone.as_ref())
            })
            .collect();
        all.sort_by_key(|it| (it.zone, self.standing.nodes[it.node].clone()));
        all
    }

    /// Only those spots of the high wire beside which the low wire has one.
    fn kept_together(&self, high: &Pieces, low: usize) -> Option<Pieces> {
        let low = &self.wanted[low];
        let mut kept = Pieces { pieces: Vec::new(), spots: Vec::new() };
        for (piece, spots) in high.pieces.iter().zip(&high.spots) {
            let spots: Vec<Spot> = spots
                .iter()
                .filter(|it| beside(self.standing, self.partners, it, low).is_some())
                .cloned()
                .collect();
            if spots.is_empty() {
                return None;
            }
            let tap = |it: &Spot| super::network::Tap { zone: it.zone, effort: 2 * it.effort() };
            kept.pieces.push(super::network::Piece {
                taps: spots.iter().map(tap).collect(),
                through: piece.through,
            });
            kept.spots.push(spots);
        }
        Some(kept)
    }

    fn net(&self, one: &One) -> Net {
        let size = |net: usize| self.sizes.get(&net).copied().unwrap_or(0.5);
        let pieces = one.pieces.pieces.iter().map(|it| super::network::Piece {
            taps: it.taps.iter().map(|it| super::network::Tap { zone: it.zone, effort: it.effort }).collect(),
            through: it.through,
        });
        let area = std::iter::once(one.net).chain(one.low).map(|it| area(size(it))).sum();
        Net { pieces: pieces.collect(), area }
    }

    /// The links of a net, and beside each that of the other wire of its pair.
    fn realised(&self, one: &One, links: Vec<Link>) -> Vec<Link> {
        let Some(low) = one.low else { return links };
        let mut all = Vec::new();
        for link in links {
            let beside = |it: &Spot| beside(self.standing, self.partners, it, &self.wanted[low]);
            let ends = beside(&link.a).zip(beside(&link.b));
            let twin = ends.map(|(a, b)| {
                // What an earlier link took is joined into, as its twin is.
                let as_twin = |it: Spot, of: &Spot| Spot { how: of.how, ..it };
                let (a, b) = (as_twin(a, &link.a), as_twin(b, &link.b));
                Link { net: low, a, b, path: link.path.clone(), twin: true }
            });
            all.push(link);
            all.extend(twin);
        }
        all
    }

    /// The diameters of all wires in a run.
    fn widths(&self, leg: usize, links: &[Link]) -> Vec<f64> {
        let mut widths: Vec<f64> = self.inside(leg).into_iter().map(diameter).collect();
        let new = links.iter().filter(|it| it.legs(self.zones).contains(&leg));
        widths.extend(new.map(|it| diameter(self.sizes.get(&it.net).copied().unwrap_or(0.5))));
        widths
    }

    /// The bores that new wires pass.
    fn passed(&self, links: &[Link]) -> Vec<(usize, f64)> {
        let mut legs: Vec<usize> = links.iter().flat_map(|it| it.legs(self.zones)).collect();
        legs.sort_unstable();
        legs.dedup();
        legs.into_iter().filter_map(|it| Some((it, self.zones.legs[it].bore?))).collect()
    }

    /// A bore that takes its wires in no arrangement, with what new wires take of it.
    fn overfull(&self, links: &[Link]) -> Option<(usize, u64)> {
        self.passed(links).into_iter().find_map(|(leg, bore)| {
            let widths = self.widths(leg, links);
            let least = width(&widths)?.at_least;
            let new = links.iter().filter(|it| it.legs(self.zones).contains(&leg));
            let used = new.map(|it| area(self.sizes.get(&it.net).copied().unwrap_or(0.5))).sum();
            (least > bore).then_some((leg, used))
        })
    }

    /// Bores of which it cannot be told whether they take their wires.
    fn between(&self, laid: &mut Laid) {
        let mut told = Vec::new();
        for (leg, bore) in self.passed(&laid.links) {
            let Some(first) = laid.links.iter().find(|it| it.legs(self.zones).contains(&leg)) else {
                continue;
            };
            let between = self.zones.legs[leg].between.as_ref();
            let way = between.map(|it| format!("{} to {}", it.0, it.1).replace('_', " ")).unwrap_or_default();
            let wires = between.and_then(|it| self.ways.shared.get(it)).into_iter().flatten();
            let unsized_wires = wires.filter(|it| self.rest.wires[**it].wire.size.is_none()).count();
            let widths = self.widths(leg, &laid.links);
            let sentence = if unsized_wires > 0 {
                format!(
                    "Whether the bore from {way} takes one more wire hangs on the size of {unsized_wires} in it that \
                     nobody has said; each was counted as 0.5 mm²."
                )
            } else if widths.len() > MOST_WIRES {
                format!(
                    "From {way} {} wires pass, and a packing is worked out for {MOST_WIRES} at most.",
                    widths.len()
                )
            } else if let Some(it) = width(&widths).filter(|it| it.at_most > bore) {
                format!(
                    "From {way} {} wires need a bore of {:.1} mm to {:.1} mm, and there are {bore} mm: try it before \
                     it is taped.",
                    widths.len(),
                    it.at_least,
                    it.at_most
                )
            } else {
                continue;
            };
            told.push((first.net, self.unsolved(first.net, sentence)));
        }
        // It is laid all the same: the plan stands, and this is open beside it.
        laid.unsolved.extend(told.into_iter().map(|(_, it)| (usize::MAX, it)));
    }

    fn full(&self, run: usize, net: usize, others: &[usize]) -> String {
        let leg = &self.zones.legs[run];
        let at = self.standing.nodes[self.wanted[net].of].shown();
        let way = leg.between.as_ref().map(|it| format!("{} to {}", it.0, it.1).replace('_', " "));
        let bore = leg.bore.map(|it| format!("{it} mm")).unwrap_or_default();
        let through = leg
            .through
            .as_ref()
            .map(|it| format!(" through the {}", it.replace('_', " ")))
            .unwrap_or_default();
        let mut sentence = format!(
            "The bore of {bore}{through} from {} is full: {} wires are in it, and {at} needs one more through it.",
            way.unwrap_or_default(),
            self.inside(run).len()
        );
        if !others.is_empty() {
            let names: Vec<String> = others.iter().map(|it| self.wanted[*it].word.clone()).collect();
            sentence.push_str(&format!(" With {} it does not fit.", trunnion_check::ctx::listed(&names)));
        }
        sentence
    }
}

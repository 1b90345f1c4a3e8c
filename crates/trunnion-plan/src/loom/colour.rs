//! The colour of each new wire: that of its net where it is free in both plugs, else the next free one.

use std::collections::BTreeMap;

use trunnion_handbook::colour::colours;
use trunnion_model::world::{EndAt, WireEnd};

use super::existing::Standing;
use super::links::Link;
use super::nets::{Sort, Wanted};

/// Base colours in the order in which they are taken for signals: letters of IEC 60757. Red is for
/// supplies and brown for ground; orange is left to high voltage. Common practice, no source.
const BASES: [&str; 10] = ["GY", "WH", "YE", "BU", "GN", "VT", "PK", "TQ", "BK", "RD"];
const SUPPLY: &str = "RD";
const GROUND: &str = "BN";
/// The second colours.
const TRACERS: [&str; 9] = ["BK", "WH", "YE", "GN", "BU", "GY", "VT", "RD", "BN"];

/// The colours that are taken in each plug, with the conductor that has them.
pub(super) struct Colours<'s, 'f, 'a> {
    standing: &'s Standing<'f, 'a>,
    taken: BTreeMap<EndAt, Vec<(String, Net)>>,
}

/// What a wire belongs to: a conductor that is there, or a new net.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Net {
    Piece(usize),
    New(usize),
}

impl<'s, 'f, 'a> Colours<'s, 'f, 'a> {
    pub fn of(standing: &'s Standing<'f, 'a>) -> Self {
        let mut made = Self { standing, taken: BTreeMap::new() };
        for (node, end) in standing.nodes.iter().enumerate() {
            let WireEnd::Cavity(at, _) = end else { continue };
            for strand in &standing.at[node] {
                if let Some(colour) = &standing.wire(*strand).wire.colour {
                    let it = (colour.value.to_string(), Net::Piece(standing.piece[node]));
                    made.taken.entry(at.clone()).or_default().push(it);
                }
            }
        }
        made
    }

    /// A colour for a link, taken from here on. `twin` is that of the other wire of its pair.
    pub fn choose(&mut self, link: &Link, wanted: &Wanted, twin: Option<&str>) -> String {
        let net = Net::New(link.net);
        let own: Vec<usize> = wanted.pieces.iter().map(|it| self.standing.piece[*it]).collect();
        let plugs: Vec<EndAt> = [&link.a, &link.b]
            .into_iter()
            .filter_map(|it| match &self.standing.nodes[it.node] {
                WireEnd::Cavity(at, _) if !self.standing.is_loose(it.node) => Some(at.clone()),
                _ => None,
            })
            .collect();
        let free = |colour: &String| {
            plugs.iter().flat_map(|it| self.taken.get(it)).flatten().all(|(taken, of)| {
                let same = *of == net || matches!(of, Net::Piece(it) if own.contains(it));
                same || taken != colour
            })
        };
        let mut offered: Vec<String> = self.of_net(link);
        let base = match wanted.sort {
            Sort::Supply => Some(SUPPLY),
            Sort::Ground => Some(GROUND),
            _ => None,
        };
        let first = offered.first().map(|it| it.split('/').next().unwrap_or_default().to_owned());
        // The second of a pair has the first colour of the other, with a stripe.
        let striped = twin.map(|it| it.split('/').next().unwrap_or_default().to_owned());
        if striped.is_some() && offered.is_empty() {
            let base = striped.clone().unwrap_or_default();
            offered.extend(TRACERS.iter().map(|it| format!("{base}/{it}")));
        }
        let bases: Vec<String> = first.into_iter().chain(base.map(str::to_owned)).collect();
        offered.extend(bases.iter().cloned());
        offered.extend(bases.iter().flat_map(|base| TRACERS.iter().map(move |it| format!("{base}/{it}"))));
        offered.extend(BASES.iter().map(ToString::to_string));
        offered.extend(BASES.iter().flat_map(|base| TRACERS.iter().map(move |it| format!("{base}/{it}"))));
        let stands = |it: &String| {
            let letters: Vec<&str> = it.split('/').collect();
            colours(it).is_some() && letters.first() != letters.get(1)
        };
        let twin_free = |it: &String| twin.is_none_or(|twin| twin != it.as_str());
        let chosen = offered.iter().find(|it| stands(it) && twin_free(it) && free(it));
        let chosen = chosen.or(offered.first()).cloned().unwrap_or_else(|| GROUND.to_owned());
        for plug in plugs {
            self.taken.entry(plug).or_default().push((chosen.clone(), net));
        }
        chosen
    }

    /// The colours that the net has at the ends of a link: those that are there most often first.
    fn of_net(&self, link: &Link) -> Vec<String> {
        let mut counts: Vec<(String, usize)> = Vec::new();
        for spot in [&link.a, &link.b] {
            for strand in &self.standing.at[spot.node] {
                let Some(colour) = &self.standing.wire(*strand).wire.colour else { continue };
                match counts.iter_mut().find(|it| it.0 == colour.value.as_str()) {
                    Some(it) => it.1 += 1,
                    None => counts.push((colour.value.to_string(), 1)),
                }
            }
        }
        counts.sort_by_key(|it| std::cmp::Reverse(it.1));
        counts.into_iter().map(|it| it.0).collect()
    }
}

//! A state together with the positions of what can be put in several.

use trunnion_syntax::tree::Name;

use super::{Circuit, LinkKind};

/// The most positions together, in one state, that are looked at. Beyond it the answer is open.
pub const MOST: usize = 256;

/// What can be put in several positions: the gear, or a pedal, a lever, a hand switch in a place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Control {
    /// The place; none for the gear, which is one whatever shows it.
    pub place: Option<Name>,
    /// Its positions as contacts and duties name them. The last stands for all that nobody names:
    /// `drive` of the gear, an empty word otherwise.
    pub positions: Vec<Name>,
}

impl Control {
    /// A position in words: "with the gear in drive", "with the clutch pedal not pressed".
    pub fn shown(&self, position: usize) -> String {
        let words = |it: &Name| it.replace('_', " ");
        let Some(place) = &self.place else {
            let gear = self.positions.get(position).map(words).unwrap_or_default();
            return format!("with the gear in {gear}");
        };
        let named: Vec<String> = self.positions.iter().filter(|it| !it.is_empty()).map(words).collect();
        match self.positions.get(position) {
            Some(it) if !it.is_empty() => format!("with the {} {}", words(place), words(it)),
            _ => format!("with the {} not {}", words(place), named.join(" and not ")),
        }
    }
}

/// One state, and a position of each control.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Situation {
    /// Which of the circuit's states.
    pub state: usize,
    /// A position for each control.
    pub positions: Vec<usize>,
}

impl Circuit {
    /// The controls on which what is alive at a node can hang.
    pub fn controls_of(&self, node: usize) -> Vec<usize> {
        let mut found: Vec<usize> = Vec::new();
        for link in self.reach(node).iter().flat_map(|it| &self.at[*it]).map(|it| &self.links[*it]) {
            let LinkKind::Contact(closed) = &link.kind else { continue };
            found.extend(closed.positions.iter().map(|it| it.0));
        }
        found.sort_unstable();
        found.dedup();
        found
    }

    /// Every set of positions of these controls in a state, the others left where they are first;
    /// none where there are more than [`MOST`].
    pub fn situations(&self, state: usize, controls: &[usize]) -> Option<Vec<Situation>> {
        let count = controls.iter().try_fold(1usize, |all, it| {
            all.checked_mul(self.controls[*it].positions.len()).filter(|it| *it <= MOST)
        })?;
        let each = (0..count).map(|nth| {
            let mut rest = nth;
            let mut positions = vec![0; self.controls.len()];
            for control in controls {
                let many = self.controls[*control].positions.len();
                positions[*control] = rest % many;
                rest /= many;
            }
            Situation { state, positions }
        });
        Some(each.collect())
    }

    /// The positions of these controls in words: "with the gear in drive and the clutch pedal
    /// pressed"; nothing where there is none.
    pub fn positions_shown(&self, situation: &Situation, controls: &[usize]) -> String {
        let words = controls.iter().map(|it| self.controls[*it].shown(situation.positions[*it]));
        let words: Vec<String> = words.collect();
        words.join(" and ").replace(" and with ", " and ")
    }

    /// A situation in words: "crank with the gear in drive".
    pub fn shown(&self, situation: &Situation, controls: &[usize]) -> String {
        let state = self.states[situation.state].name.replace('_', " ");
        format!("{state} {}", self.positions_shown(situation, controls)).trim_end().to_owned()
    }
}

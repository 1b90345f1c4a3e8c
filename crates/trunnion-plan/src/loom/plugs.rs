//! Plugs that belong to one another.

use std::collections::BTreeMap;

use trunnion_model::world::{EndAt, WireEnd};

use super::nets::{Looking, Sort, gives};
use super::signals::partners;

impl Looking<'_, '_, '_> {
    /// Plugs whose signals all lead to one other plug that gives a supply: they take supply and ground from
    /// there.
    pub fn paired_plugs(&mut self) {
        let mut plugs: BTreeMap<(usize, EndAt), Vec<usize>> = BTreeMap::new();
        for node in &self.asks {
            let (WireEnd::Cavity(at, _), Some(pin)) = (&self.standing.nodes[*node], self.standing.pin(*node))
            else {
                continue;
            };
            plugs.entry((pin.nth, at.clone())).or_default().push(*node);
        }
        for ((_, at), asks) in plugs {
            let Some(other) = self.other_plug(&at) else { continue };
            let of = |sort: &Sort, out: bool| {
                let mut found: Vec<usize> = Vec::new();
                let pin = self.standing.frame.pin(&WireEnd::Cavity(other.clone(), 0));
                for it in pin.and_then(|it| it.end).into_iter().flat_map(|it| &it.1.cavities) {
                    let node = self.standing.find(&WireEnd::Cavity(other.clone(), it.number.value));
                    let right = Sort::of(it).as_ref() == Some(sort) && (!out || gives(it));
                    found.extend(node.filter(|_| right));
                }
                found
            };
            let (supplies, grounds) = (of(&Sort::Supply, true), of(&Sort::Ground, false));
            if supplies.is_empty() {
                continue;
            }
            let (mut supplies, mut grounds) = (supplies.into_iter(), grounds.into_iter());
            let shown = format!("all signals of {} lead to {}", at.text(), other.text());
            for node in asks {
                let sort = self.live(node).and_then(|it| Sort::of(it.1));
                let there = match sort {
                    Some(Sort::Supply) => supplies.next(),
                    Some(Sort::Ground) => grounds.next(),
                    _ => None,
                };
                if let Some(there) = there {
                    self.groups.join(self.standing.piece[there], self.standing.piece[node]);
                    self.why.insert(node, shown.clone());
                }
            }
        }
    }

    /// The one plug that all signals of a plug lead to.
    fn other_plug(&self, at: &EndAt) -> Option<EndAt> {
        let pin = self.standing.frame.pin(&WireEnd::Cavity(at.clone(), 0))?;
        let mut other: Option<EndAt> = None;
        for cavity in &pin.end?.1.cavities {
            if !matches!(Sort::of(cavity), Some(Sort::Signal(_))) {
                continue;
            }
            let node = self.standing.find(&WireEnd::Cavity(at.clone(), cavity.number.value))?;
            let mut plugs: Vec<&EndAt> = Vec::new();
            for it in partners(self, node) {
                if let WireEnd::Cavity(there, _) = &self.standing.nodes[it]
                    && !plugs.contains(&there)
                {
                    plugs.push(there);
                }
            }
            let [only] = plugs.as_slice() else { return None };
            if other.as_ref().is_some_and(|it| it != *only) {
                return None;
            }
            other = Some((*only).clone());
        }
        other
    }
}

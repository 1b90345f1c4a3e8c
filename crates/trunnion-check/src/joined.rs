//! The words for what is joined to what, shared by the checks on key states and the readings.

use trunnion_model::circuit::{Circuit, Doubt, Evaluated, LinkKind};
use trunnion_model::fact::Found;
use trunnion_model::verdict::{Fix, Gate, Question, Who};

use crate::ctx::{Ctx, listed};

/// The way from what feeds a node up to it: "from F31 by switch.S1\[1\] and switch.S1\[2\]".
pub fn way(circuit: &Circuit, nodes: &[usize]) -> String {
    let text = |it: &usize| circuit.nodes[*it].text();
    match nodes {
        [] | [_] => "of itself".to_owned(),
        [first, _] => format!("straight from {}", text(first)),
        [first, between @ .., _] => {
            format!("from {} by {}", text(first), listed(&between.iter().map(text).collect::<Vec<_>>()))
        }
    }
}

/// The loads on a way, by what holds them.
pub fn loads(circuit: &Circuit, links: &[usize]) -> Vec<String> {
    let loads = links.iter().map(|it| &circuit.links[*it]).filter(|it| it.kind == LinkKind::Load);
    let mut who: Vec<String> = loads.filter_map(|it| it.who.clone()).collect();
    who.dedup();
    who
}

/// What a way rests on: what is stated of its links and of what feeds it.
pub fn rests_on(evaluated: &Evaluated<'_>, circuit: &Circuit, node: usize) -> Vec<Found> {
    let (nodes, links) = evaluated.path(node);
    let mut found: Vec<Found> = links.iter().filter_map(|it| circuit.links[*it].found.clone()).collect();
    let fed = nodes.first().and_then(|first| circuit.sources.iter().find(|it| it.node == *first));
    found.extend(fed.map(|it| it.found.clone()));
    found
}

/// The question that a doubt about the circuit leaves.
pub fn asked(ctx: &Ctx<'_>, doubt: &Doubt, good: Option<String>, hangs: String) -> Question {
    let of = doubt.of.map(|it| format!("in part {}: ", it.name(ctx.db))).unwrap_or_default();
    Question {
        what: doubt.what.clone(),
        good,
        tool: Some("wiring diagram, or a meter at the plug, battery off".to_owned()),
        precision: None,
        minutes: Some(15),
        who: Who::Tape,
        gate: Gate::Power,
        hangs,
        type_in: doubt.statement.as_ref().map(|it| format!("{of}{it}")),
    }
}

/// An edit that states what a doubt leaves unknown, with a hole to fill.
pub fn stating(ctx: &Ctx<'_>, doubt: &Doubt) -> Option<Fix> {
    let (of, statement) = (doubt.of?, doubt.statement.as_ref()?);
    let edit = ctx.insert(of, statement)?;
    Some(Fix { title: format!("state it of {}", of.shown(ctx.db)), edits: vec![edit] })
}

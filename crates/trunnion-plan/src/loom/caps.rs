//! Loose ends that nothing uses any more.

use std::collections::BTreeSet;

use trunnion_model::db::Site;
use trunnion_model::world::WireEnd;

use super::effort::Effort;
use super::existing::Standing;
use super::{Kind, Lack, Unsolved, WireChange};

/// Caps for the loose ends that are left. `used` are the nodes that new wires join, `pending` the
/// conductors of which something is not settled, `out` the statements that are taken out.
pub(super) fn caps(
    standing: &Standing<'_, '_>,
    used: &BTreeSet<usize>,
    pending: &BTreeSet<usize>,
    out: &[Site],
) -> (Vec<WireChange>, Vec<Unsolved>) {
    let world = standing.frame.ctx.world;
    let (mut changes, mut unsolved) = (Vec::new(), Vec::new());
    for node in 0..standing.nodes.len() {
        let WireEnd::Cavity(at, n) = &standing.nodes[node] else { continue };
        let whole = standing.whole(node);
        // A supply or ground is never what somebody still looks for at this end.
        let plain =
            whole.iter().any(|it| matches!(standing.nodes[*it], WireEnd::Feed(_) | WireEnd::Ground(_)));
        let waits = !plain && pending.contains(&standing.piece[node]);
        let open = standing.is_loose(node) && !used.contains(&node) && !waits;
        let Some(pin) = standing.pin(node).filter(|it| open && it.place.changed()) else { continue };
        let answers = world.answered_cavities.get(&(at.clone(), *n)).into_iter().flatten();
        let of_plug = world.answers.get(at).into_iter().flatten();
        let answered = answers.chain(of_plug).any(|it| !out.contains(&it.site));
        let text = standing.nodes[node].text();
        let accepted = world.accepts.iter().any(|it| {
            it.check.value == "loose/end" && [text.clone(), at.text()].contains(&it.subject.text())
        });
        let far = |strand: &usize| {
            let ends = standing.strands[*strand].ends;
            if ends[0] == node { ends[1] } else { ends[0] }
        };
        let fars: Vec<usize> = standing.at[node].iter().map(far).collect();
        // A wire that loses both ends leads nowhere.
        if answered || accepted || fars.iter().all(|it| standing.is_loose(*it)) {
            continue;
        }
        let site = pin.place.done.last().map_or(pin.place.site, |it| it.site);
        if fars.len() > 1 {
            unsolved.push(Unsolved {
                subject: text,
                sentence: format!(
                    "{} wires were crimped together at {}: cut apart they may lose what they passed on; nobody has said.",
                    fars.len(),
                    standing.nodes[node].shown()
                ),
                sites: vec![site],
                lack: Lack::Knowledge,
            });
            continue;
        }
        let live = standing.whole(node).iter().find(|it| matches!(standing.nodes[**it], WireEnd::Feed(_)));
        let why = match live {
            Some(feed) => format!(
                "nothing uses it any more, and it is live from {}: fuse out before it is cut",
                standing.nodes[*feed].text()
            ),
            None => format!("nothing uses the wire from {} any more", standing.nodes[fars[0]].shown()),
        };
        changes.push(WireChange {
            text: format!("blank {text}"),
            replaces: Vec::new(),
            kind: Kind::Cap,
            why,
            effort: Effort::cap(),
            net: format!("loose end at {}", pin.place.shown()),
            buy: vec![("end cap with sealing".to_owned(), 1)],
        });
    }
    (changes, unsolved)
}

//! Links as statements of a conversion, with what they take and what has to be bought for them.

use trunnion_model::world::WireEnd;

use super::effort::{Effort, cut};
use super::existing::Standing;
use super::links::Link;
use super::nets::{Sort, Wanted, gives};
use super::size::Sized;
use super::ways::{How, Spot, Zones};
use super::{Kind, WireChange};

/// One link as a statement.
pub(super) fn change(
    standing: &Standing<'_, '_>,
    zones: &Zones,
    wanted: &Wanted,
    link: &Link,
    size: &Sized,
    colour: &str,
) -> WireChange {
    let link = &directed(standing, wanted, link);
    let [a, b] = [&link.a, &link.b].map(|it| standing.nodes[it.node].text());
    let known: Vec<&str> =
        link.path.iter().filter_map(|it| zones.names.get(*it)).map(|it| it.as_str()).collect();
    let whole = link.is_known(zones);
    let by = if whole && !known.is_empty() { format!(" by {}", known.join(", ")) } else { String::new() };
    let effort = effort(zones, link);
    let bus = matches!(wanted.sort, Sort::High(_) | Sort::Low(_));
    let into = [&link.a, &link.b].into_iter().position(|it| matches!(it.how, How::Loose | How::Wire));
    let splice = [&link.a, &link.b].into_iter().position(|it| it.how == How::Splice);
    let at_zone = |there: &Spot| {
        let near = zones.names.get(there.zone).filter(|_| !there.far);
        near.map(|it| format!(" at {it}")).unwrap_or_default()
    };
    let mut why = wanted.why.clone();
    let (text, kind) = match (into, splice) {
        (Some(into), _) => {
            let (there, new) = if into == 0 { (&link.a, &b) } else { (&link.b, &a) };
            let zone = at_zone(there);
            why.push(match there.how {
                How::Loose => {
                    format!("the wire that went to {} is loose and is its net", shown(standing, there))
                }
                _ => format!("the wire of {} is its net", shown(standing, there)),
            });
            if link.path.len() > 1 {
                let long = effort.length.map(|it| format!(", {it} mm")).unwrap_or_default();
                why.push(format!("a wire of {} {colour}{by}{long} leads there", size.text));
            }
            (format!("splice {new} to {}{zone}", standing.nodes[there.node].text()), Kind::Splice)
        }
        (None, Some(splice)) if link.path.len() == 1 && !bus => {
            let (there, new) = if splice == 0 { (&link.a, &b) } else { (&link.b, &a) };
            let zone = at_zone(there);
            why.push(format!("{} is the same net in the same zone", shown(standing, there)));
            (format!("splice {new} to {}{zone}", standing.nodes[there.node].text()), Kind::Splice)
        }
        (None, splice) => {
            if let Some(splice) = splice {
                let there = if splice == 0 { &link.a } else { &link.b };
                let near = if link.path.len() == 1 { " in the same zone" } else { "" };
                why.push(format!("{} is the same net{near}", shown(standing, there)));
            }
            why.push(size.why.clone());
            (format!("wire {a} to {b} {} {colour}{by}", size.text), Kind::Run)
        }
    };
    if !whole {
        why.push("nobody has said in which zones it runs".to_owned());
    }
    why.retain(|it| !it.is_empty());
    WireChange {
        text,
        replaces: Vec::new(),
        kind,
        why: why.join("; "),
        effort,
        net: wanted.word.clone(),
        buy: buy(standing, link),
    }
}

fn shown(standing: &Standing<'_, '_>, spot: &Spot) -> String {
    standing.nodes[spot.node].shown()
}

/// From what gives to what takes; a ground comes last.
fn directed(standing: &Standing<'_, '_>, wanted: &Wanted, link: &Link) -> Link {
    let gives = |spot: &Spot| {
        standing.whole(spot.node).iter().any(|it| {
            let cavity = standing.pin(*it).filter(|it| !it.gone).and_then(|it| it.now);
            cavity.is_some_and(|it| gives(it) || it.out == Some(true))
        })
    };
    // Of two plugs where neither is said to give, the one that gives a supply.
    let leads = |spot: &Spot| {
        let plug = standing.pin(spot.node).filter(|it| !it.gone).and_then(|it| it.end);
        plug.is_some_and(|(_, it)| it.cavities.iter().any(self::gives))
    };
    let [a, b] = [&link.a, &link.b];
    let turned = match wanted.sort {
        Sort::Supply => !matches!(standing.nodes[a.node], WireEnd::Feed(_)) && gives(b) && !gives(a),
        Sort::Ground => matches!(standing.nodes[a.node], WireEnd::Ground(_)) || leads(b) && !leads(a),
        Sort::High(_) | Sort::Low(_) | Sort::Lin(_) => b.how == How::Seat,
        Sort::Signal(_) => match (gives(a), gives(b)) {
            (one, other) if one != other => other,
            _ => leads(b) && !leads(a),
        },
    };
    let mut link = link.clone();
    if turned {
        std::mem::swap(&mut link.a, &mut link.b);
        link.path.reverse();
    }
    link
}

fn effort(zones: &Zones, link: &Link) -> Effort {
    let legs = link.legs(zones);
    let lengths: Option<f64> = legs.iter().map(|it| zones.legs[*it].mm).sum();
    let terminals =
        [&link.a, &link.b].into_iter().filter(|it| matches!(it.how, How::Seat | How::Feed | How::Ground));
    Effort {
        seconds: link.seconds(zones),
        length: lengths.filter(|_| !legs.is_empty() && link.is_known(zones)).map(cut),
        zones: if link.twin { 0 } else { legs.len() as u32 },
        bulkheads: if link.twin {
            0
        } else {
            legs.iter().filter(|it| zones.legs[**it].through.is_some()).count() as u32
        },
        terminals: terminals.count() as u32,
    }
}

/// Terminals, seals and sleeves of a link.
fn buy(standing: &Standing<'_, '_>, link: &Link) -> Vec<(String, u32)> {
    let mut buy: Vec<(String, u32)> = Vec::new();
    let mut add = |name: String| match buy.iter_mut().find(|it| it.0 == name) {
        Some(it) => it.1 += 1,
        None => buy.push((name, 1)),
    };
    for spot in [&link.a, &link.b] {
        let end = &standing.nodes[spot.node];
        match spot.how {
            How::Seat => {
                let pin = standing.pin(spot.node);
                let terminal = pin.as_ref().and_then(|it| standing.frame.terminal(it));
                let name = match terminal {
                    Some((id, _)) => id.shown(standing.frame.ctx.db),
                    None => format!("terminal for {}, of which nobody has said the series", end.text()),
                };
                let plug = pin.and_then(|it| it.end).and_then(|it| standing.frame.connector(it));
                let sealed = plug.is_some_and(|it| it.1.sealed);
                if sealed {
                    add(format!("seal for {name}"));
                }
                add(name);
            }
            How::Feed => add(format!(
                "terminal for the fuse holder of {}, of which nobody has said the series",
                end.text()
            )),
            How::Ground => {
                add(format!("ring terminal for {}, of which nobody has said the stud", end.text()))
            }
            How::Loose | How::Splice | How::Wire => add("crimp sleeve with sealing".to_owned()),
        }
    }
    buy.sort();
    buy
}

//! # state/backfeed
//!
//! No supply is fed from another while it should be dead, and none is joined straight to ground, in
//! any key state.
//!
//! ## Why it matters
//!
//! A lamp that shall burn with the key and with the hand switch is wired to both. With the hand
//! switch closed the current goes on, backward, into everything that hangs on the key: the engine
//! does not stop, or the battery is flat in the morning.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Dunlin { built 2009-06 to 2018-12, place lamp, zone cabin
//!   feed F31 is 12 V from ignition, fuse 15 A
//!   feed F40 is 12 V from battery, fuse 20 A
//!   ground G2 at cabin }
//! part bulb fills lamp { plug L1 { 1 lamp reading 12 V draw 1 A in, 2 ground } }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion light { recipient van, fit bulb
//!   wire F31 to lamp.L1[1]
//!   wire F40 to lamp.L1[1]
//!   wire lamp.L1[2] to G2 }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! family Dunlin { built 2009-06 to 2018-12, place lamp, diodes, zone cabin
//!   feed F31 is 12 V from ignition, fuse 15 A
//!   feed F40 is 12 V from battery, fuse 20 A
//!   ground G2 at cabin }
//! part bulb fills lamp { plug L1 { 1 lamp reading 12 V draw 1 A in, 2 ground } }
//! part pair fills diodes { plug D { 1 supply 12 V in, 2 supply 12 V in, 3 supply 12 V out }
//!   diode D[1] to D[3]
//!   diode D[2] to D[3] }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion light { recipient van, fit bulb, fit pair
//!   wire F31 to diodes.D[1]
//!   wire F40 to diodes.D[2]
//!   wire diodes.D[3] to lamp.L1[1]
//!   wire lamp.L1[2] to G2 }
//! ```
//!
//! ## References
//!
//! Graph of wires, closed contacts, diodes and loads in each state; common practice, no source.
//! Which supply is there in which state is listed in the guide. Within a control unit only the
//! contacts and diodes that are stated are known.

use trunnion_model::circuit::{Circuit, Doubt, Evaluated, Evaluations, Level, MOST, Source, circuit};
use trunnion_model::fact::Found;
use trunnion_model::states::there;
use trunnion_model::verdict::{Edit, Fix, Verdict};

use crate::check::{Check, Judge};
use crate::ctx::{Ctx, listed};
use crate::joined::{asked, loads, rests_on, stating, way};

/// The check.
pub static CHECK: Check =
    Check { name: "state/backfeed", source: include_str!("state_backfeed.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    if ctx.world.feeds.is_empty() {
        return Vec::new();
    }
    let circuit = circuit(ctx.db, ctx.workspace, ctx.world);
    let alone = ctx.world.conversion.is_none();
    let wired = circuit.sources.iter().filter(|it| it.feed && circuit.is_wired(it.node));
    let looked: Vec<&Source> = wired.filter(|it| alone || circuit.is_touched(it.node)).collect();
    let evaluations = Evaluations::new(&circuit);
    let mut verdicts: Vec<Verdict> = Vec::new();
    let mut good: Vec<&Source> = Vec::new();
    for source in looked {
        match one(ctx, &circuit, &evaluations, source) {
            Some(verdict) => verdicts.push(verdict),
            None => good.push(source),
        }
    }
    good.retain(|it| it.from.as_deref() != Some("battery"));
    if !good.is_empty() {
        verdicts.push(clear(ctx, &circuit, &good));
    }
    verdicts
}

fn clear(ctx: &Ctx<'_>, circuit: &Circuit, good: &[&Source]) -> Verdict {
    let names: Vec<String> = good.iter().map(|it| circuit.nodes[it.node].text()).collect();
    let (are, them) = if names.len() == 1 { ("is", "it") } else { ("are", "them") };
    let message = format!(
        "{} {are} dead whenever the key says so: nothing else feeds {them} in any state.",
        listed(&names)
    );
    let found: Vec<Found> = good.iter().map(|it| it.found.clone()).collect();
    ctx.clear(CHECK.name, ctx.world.root().name(ctx.db).to_string(), ctx.root_site(), message, &found)
}

/// What is found of a supply in one state.
enum Finding {
    Fed(Vec<usize>, Vec<usize>, Vec<Found>),
    Grounded(Vec<usize>, Vec<usize>),
    Doubtful(Doubt),
}

fn one(ctx: &Ctx<'_>, circuit: &Circuit, evaluations: &Evaluations<'_>, source: &Source) -> Option<Verdict> {
    let controls = circuit.controls_of(source.node);
    let mut open: Option<Verdict> = None;
    for (nth, state) in circuit.states.iter().enumerate() {
        let on = source.from.as_ref().and_then(|it| there(it, state, &circuit.states));
        let Some(situations) = circuit.situations(nth, &controls) else {
            let what = format!("which of more than {MOST} positions together can occur");
            let doubt = Doubt::new(what);
            return Some(doubtful(ctx, circuit, source, &state.name.replace('_', " "), &doubt));
        };
        for situation in &situations {
            let evaluated = evaluations.of(situation);
            let Some(finding) = finding(&evaluated, circuit, source, on) else { continue };
            let when = circuit.shown(situation, &controls);
            match finding {
                Finding::Fed(nodes, links, found) => {
                    return Some(fed(ctx, circuit, source, &when, (&nodes, &links), &found));
                }
                Finding::Grounded(nodes, links) => {
                    return Some(grounded(ctx, circuit, source, &when, (&nodes, &links)));
                }
                Finding::Doubtful(doubt) => {
                    open.get_or_insert_with(|| doubtful(ctx, circuit, source, &when, &doubt));
                }
            }
        }
    }
    open
}

fn finding(
    evaluated: &Evaluated<'_>,
    circuit: &Circuit,
    source: &Source,
    on: Option<bool>,
) -> Option<Finding> {
    match (evaluated.level(source.node), on) {
        (Level::Short, _) => {
            let (nodes, links) = evaluated.path_to_ground(source.node);
            Some(Finding::Grounded(nodes, links))
        }
        (Level::Live | Level::Pulled | Level::Between, Some(false)) => {
            let (nodes, links) = evaluated.path(source.node);
            Some(Finding::Fed(nodes, links, rests_on(evaluated, circuit, source.node)))
        }
        (Level::Unknown(doubt), _) if !doubt.told => Some(Finding::Doubtful(doubt.clone())),
        _ => None,
    }
}

fn from(source: &Source) -> String {
    source.from.as_ref().map(|it| format!(", from {},", it.replace('_', " "))).unwrap_or_default()
}

fn fed(
    ctx: &Ctx<'_>,
    circuit: &Circuit,
    source: &Source,
    when: &str,
    (nodes, links): (&[usize], &[usize]),
    found: &[Found],
) -> Verdict {
    let name = circuit.nodes[source.node].text();
    let through = match loads(circuit, links).as_slice() {
        [] => String::new(),
        all => format!(", through {}", listed(all)),
    };
    let message = format!(
        "In {when}, {name}{} is alive though it should be dead: fed {}{through}.",
        from(source),
        way(circuit, nodes)
    );
    let mut all = found.to_vec();
    all.push(source.found.clone());
    let site = newest(ctx, circuit, links, source);
    ctx.clash(CHECK.name, name, site, message, &all)
        .with_because(
            "A diode, or a relay with a contact for each, lets both feed it and neither feed the other.",
        )
        .with_fixes(leave_out(ctx, circuit, links))
}

fn grounded(
    ctx: &Ctx<'_>,
    circuit: &Circuit,
    source: &Source,
    when: &str,
    (nodes, links): (&[usize], &[usize]),
) -> Verdict {
    let name = circuit.nodes[source.node].text();
    let message = format!(
        "In {when}, {name} is joined to ground without a load, {}: its fuse blows.",
        way(circuit, nodes)
    );
    let site = newest(ctx, circuit, links, source);
    ctx.clash(CHECK.name, name, site, message, std::slice::from_ref(&source.found))
        .with_fixes(leave_out(ctx, circuit, links))
}

fn doubtful(ctx: &Ctx<'_>, circuit: &Circuit, source: &Source, when: &str, doubt: &Doubt) -> Verdict {
    let name = circuit.nodes[source.node].text();
    let message = format!(
        "Whether {name}{} is dead when it should be cannot be told in {when}: nobody has said {}.",
        from(source),
        doubt.what
    );
    let hangs = format!("whether anything feeds {name} backward");
    let question = asked(ctx, doubt, None, hangs);
    ctx.open(CHECK.name, name, source.found.site, message, question).with_fixes(stating(ctx, doubt))
}

/// The last change on the way, else where the supply is declared.
fn newest(ctx: &Ctx<'_>, circuit: &Circuit, links: &[usize], source: &Source) -> trunnion_model::db::Site {
    let new = links.iter().filter_map(|it| circuit.links[*it].new).next_back();
    new.filter(|_| ctx.world.conversion.is_some()).unwrap_or(source.found.site)
}

/// Leaves out the last new wire on the way, where it stands on a line of its own.
fn leave_out(ctx: &Ctx<'_>, circuit: &Circuit, links: &[usize]) -> Option<Fix> {
    let new =
        links.iter().rev().map(|it| &circuit.links[*it]).find(|it| it.who.is_none() && it.new.is_some())?;
    let site = new.new?;
    let text = site.item.text(ctx.db);
    let before = text.get(..site.span.start as usize)?.trim_end_matches([' ', '\t']);
    let after = text.get(site.span.end as usize..)?.trim_start_matches([' ', '\t']);
    let alone = before.ends_with(['\n', '{']) && after.starts_with(['\n', '}']);
    let statement = text.get(site.span.range())?;
    alone.then(|| Fix {
        title: format!("leave out `{statement}`"),
        edits: vec![Edit { site, text: String::new() }],
    })
}

#[cfg(test)]
mod tests {
    use crate::testing::{Found, check};

    fn light(parts: &str, fits: &str) -> Found {
        check(
            "state/backfeed",
            &format!(
                "source wiring \"Wiring diagrams\" documented\n\
                 family Dunlin {{ built 2009-06 to 2018-12, place lamp, switch, other, zone cabin\n  \
                 feed F31 is 12 V from ignition, fuse 15 A per wiring\n  \
                 feed F40 is 12 V from battery, fuse 20 A per wiring\n  \
                 ground G2 at cabin }}\n\
                 part bulb fills lamp {{ plug L1 {{ 1 lamp reading 12 V draw 1 A in, 2 ground }} }}\n{parts}\n\
                 vehicle van is Dunlin {{ built 2012-04 }}\n\
                 conversion light {{\n  recipient van\n  fit bulb\n  wire lamp.L1[2] to G2\n  {fits}\n}}"
            ),
        )
    }

    #[test]
    fn two_supplies_on_one_lamp_feed_one_another() {
        let found = light("", "wire F31 to lamp.L1[1]\n  wire F40 to lamp.L1[1]");
        found.clash(
            "In off, F31, from ignition, is alive though it should be dead: fed from F40 by lamp.L1[1].",
        );
        assert_eq!(found.only().subject, "F31");
        assert_eq!(found.text(), "wire F31 to lamp.L1[1]");
        assert!(!found.fixed(0).contains("wire F31"), "{}", found.fixed(0));
        assert!(found.only().sources.contains(&"Wiring diagrams (documented)".to_owned()));
    }

    #[test]
    fn one_supply_is_clear() {
        light("", "wire F31 to lamp.L1[1]")
            .clear("F31 is dead whenever the key says so: nothing else feeds it in any state.");
    }

    #[test]
    fn a_switch_lets_it_through_where_it_is_closed() {
        let hand = "part hand fills switch { plug S1 { 1 supply 12 V in, 2 switch reading out }\n  contact S1[1] to S1[2] when closed }";
        let wires = "fit hand\n  wire F40 to switch.S1[1]\n  wire switch.S1[2] to lamp.L1[1]";
        light(hand, wires).silent();
        light(hand, &format!("{wires}\n  wire F31 to lamp.L1[1]")).clash(
            "In off with the switch closed, F31, from ignition, is alive though it should be dead: \
             fed from F40 by switch.S1[1], switch.S1[2] and lamp.L1[1].",
        );
        let unsaid = "part hand fills switch { plug S1 { 1 supply 12 V in, 2 switch reading out } }";
        let found = light(unsaid, &format!("{wires}\n  wire F31 to lamp.L1[1]"));
        found.open(
            "Whether F31, from ignition, is dead when it should be cannot be told in off: \
             nobody has said when hand gives at switch.S1[2].",
        );
        assert!(found.fixed(0).contains("contact S1[2] to … when …"));
    }

    /// The lamp's own ground is missing: the dead supply gets the other's voltage through it.
    #[test]
    fn through_a_load_without_ground() {
        let twin = "part twin fills other { plug T1 { 1 lamp one 12 V draw 1 A in, 2 lamp two 12 V draw 1 A in, 3 ground } }";
        light(twin, "fit twin\n  wire F31 to other.T1[1]\n  wire F40 to other.T1[2]").clash(
            "In off, F31, from ignition, is alive though it should be dead: \
             fed from F40 by other.T1[2], other.T1[3] and other.T1[1], through twin.",
        );
    }

    #[test]
    fn straight_to_ground_is_a_clash() {
        light("", "wire F31 to lamp.L1[2]")
            .clash("In on, F31 is joined to ground without a load, from G2 by lamp.L1[2]: its fuse blows.");
    }

    #[test]
    fn a_state_that_is_like_no_other_is_open() {
        let found = check(
            "state/backfeed",
            "family Dunlin { built 2009-06 to 2018-12, place lamp, zone cabin, state parked\n\
             feed F31 is 12 V from ignition\n ground G2 at cabin }\n\
             part bulb fills lamp { fitted on Dunlin, plug L1 { 1 lamp roof 12 V draw 1 A in, 2 ground } }\n\
             vehicle van is Dunlin { built 2012-04\n wire F31 to lamp.L1[1]\n wire lamp.L1[2] to G2 }",
        );
        found.open(
            "Whether F31, from ignition, is dead when it should be cannot be told in parked: \
             nobody has said whether F31, from ignition, is there in parked.",
        );
    }
}

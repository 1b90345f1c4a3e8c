//! Vehicles and conversions by chance: no plan makes a clash that it does not tell, and none leaves anything
//! undone that another plan would do.

use std::fmt::Write;

use super::{BULKHEAD, Planned, plan};
use crate::loom::Kind;

/// Numbers that look like chance and are the same each time: a linear congruence of 2³² (its figures are of
/// no account here).
struct Dice(u64);

impl Dice {
    fn below(&mut self, most: u64) -> u64 {
        self.0 = self.0.wrapping_mul(1_664_525).wrapping_add(1_013_904_223) & 0xffff_ffff;
        (self.0 >> 8) % most
    }

    fn one<'t>(&mut self, all: &[&'t str]) -> &'t str {
        all[self.below(all.len() as u64) as usize]
    }
}

/// More take minutes without optimisation.
const CASES: usize = 60;
const PLACES: [&str; 4] = ["brake", "body", "box", "lever"];
const ZONE: [&str; 4] = ["bay", "cabin", "cabin", "console"];

/// The cavities of a plug: what each is for.
fn plug(dice: &mut Dice) -> Vec<(u32, String)> {
    let mut cavities = Vec::new();
    let mut n = dice.below(3) as u32 + 1;
    let mut add = |text: String, dice: &mut Dice| {
        cavities.push((n, text));
        n += 1 + dice.below(2) as u32;
    };
    if dice.below(3) > 0 {
        let draw = dice.below(6) + 1;
        add(format!("supply 12 V draw {draw} A"), dice);
        add("ground".to_owned(), dice);
    }
    if dice.below(2) > 0 {
        add("can_high drive".to_owned(), dice);
        add("can_low drive".to_owned(), dice);
    }
    for signal in ["speed", "gear", "lamp"] {
        let role = dice.one(&["signal", "switch", "sensor"]);
        match dice.below(5) {
            0 => add(format!("{role} {signal} out"), dice),
            1 => add(format!("{role} {signal} in"), dice),
            2 if dice.below(3) == 0 => add("empty".to_owned(), dice),
            _ => {}
        }
    }
    if cavities.iter().all(|it| it.1 == "empty") {
        cavities.clear();
    }
    cavities
}

fn module(name: &str, place: &str, plug: &[(u32, String)], fitted: &str) -> String {
    let cavities: Vec<String> = plug.iter().map(|(n, it)| format!("{n} {it}")).collect();
    let plug = if cavities.is_empty() {
        String::new()
    } else {
        format!(", plug P is shell {{ {} }}", cavities.join(", "))
    };
    format!("module {name} is unit fills {place} {{ mass 1 kg{fitted}{plug} }}\n")
}

/// A vehicle whose old parts are wired as they should be, and a conversion that puts others in some places,
/// with some wires of its own, right and wrong.
fn chance(dice: &mut Dice) -> Planned {
    let old: Vec<_> = PLACES.iter().map(|_| plug(dice)).collect();
    let (mut parts, mut loom) =
        (String::new(), String::from("loom main of Dunlin {\n  splice S3 at cabin\n  splice S4 at cabin\n"));
    let mut cavities: Vec<(String, String, &str)> = Vec::new();
    for (nth, place) in PLACES.iter().enumerate() {
        parts += &module(&format!("{place}_old"), place, &old[nth], ", fitted on Dunlin");
        for (n, it) in &old[nth] {
            cavities.push((format!("{place}.P[{n}]"), it.clone(), ZONE[nth]));
        }
    }
    for (at, what, zone) in &cavities {
        let by = |other: &str| match (*zone, other) {
            (a, b) if a == b => a.to_owned(),
            ("bay", "console") => "bay, cabin, console".to_owned(),
            ("console", "bay") => "console, cabin, bay".to_owned(),
            (a, b) => format!("{a}, {b}"),
        };
        let _ = match what.split(' ').next() {
            Some("supply") => {
                writeln!(loom, "  wire {at} to F{} 1.5 mm2 RD by {}", 1 + dice.below(2), by("cabin"))
            }
            Some("ground") => writeln!(
                loom,
                "  wire {at} to G{} 1.5 mm2 BN by {zone}",
                if *zone == "bay" {
                    1
                } else if *zone == "cabin" {
                    2
                } else {
                    3
                }
            ),
            Some("can_high") => writeln!(loom, "  wire {at} to S3 0.5 mm2 GN by {}", by("cabin")),
            Some("can_low") => writeln!(loom, "  wire {at} to S4 0.5 mm2 GN/BK by {}", by("cabin")),
            _ => Ok(()),
        };
        // Each listener hangs on the first that gives and has no wire yet: two wires in one terminal are no
        // good practice, and plug/cavity says so of any plug it looks at.
        let signal = what.split(' ').nth(1).unwrap_or_default();
        let mut givers = cavities.iter().filter(|it| it.1.ends_with(&format!(" {signal} out")));
        let giver = givers.find(|it| !loom.contains(&format!("to {} ", it.0)));
        if let Some(giver) = giver.filter(|_| what.ends_with(" in") && dice.below(4) > 0) {
            let _ = writeln!(loom, "  wire {at} to {} 0.5 mm2 WH by {}", giver.0, by(giver.2));
        }
    }
    loom += "}\n";
    let mut conversion = String::new();
    let mut new: Vec<String> = Vec::new();
    for place in PLACES {
        match dice.below(4) {
            0 => conversion += &format!("remove {place}\n  "),
            1 | 2 => {
                let plug = plug(dice);
                parts += &module(&format!("{place}_new"), place, &plug, "");
                new.extend(plug.iter().map(|(n, _)| format!("{place}.P[{n}]")));
                conversion += &format!("fit {place}_new\n  ");
            }
            _ => {}
        }
    }
    for _ in 0..dice.below(3) {
        let ends = ["F1", "G2", "S3", "S4", "brake.P[1]", "body.P[2]", "lever.P[3]", "box.P[4]"];
        if !new.is_empty() {
            let from = &new[dice.below(new.len() as u64) as usize];
            let to = dice.one(&ends);
            if to != from {
                conversion += &format!("wire {from} to {to} 0.5 mm2 YE\n  ");
            }
        }
    }
    let family = format!(
        "{BULKHEAD}\n  feed F1 is 12 V from ignition, fuse {} A, at cabin\n  feed F2 is 12 V from ignition, fuse 30 A, at bay",
        10 + dice.below(20)
    );
    plan(&family, &format!("{parts}{loom}"), &conversion)
}

#[test]
fn whatever_is_put_in_the_plan_makes_no_clash_and_leaves_nothing_undone() {
    let mut dice = Dice(7_000_003);
    let mut counts = [0; 4];
    for nth in 0..CASES {
        let found = chance(&mut dice);
        for it in &found.plan.changes {
            counts[match it.kind {
                Kind::Move => 0,
                Kind::Splice => 1,
                Kind::Run | Kind::Keep => 2,
                Kind::Cap => 3,
            }] += 1;
        }
        let before = found.faults();
        let after = found.carried_out();
        let told = |fault: &String| {
            found.plan.unsolved.iter().any(|it| {
                let plug = it.subject.split('[').next().unwrap_or_default();
                let place = plug.split('.').next().unwrap_or_default();
                fault.contains(plug)
                    || fault.contains(&format!("{place} new"))
                    || fault.contains(&format!("of the {place}"))
            })
        };
        let new: Vec<String> =
            after.faults().into_iter().filter(|it| !before.contains(it) && !told(it)).collect();
        let all = format!("case {nth}\n{}\n{:#?}\n{:#?}", found.source, found.texts(), found.unsolved());
        assert!(new.is_empty(), "{new:#?}\n{all}");
        let again = after.texts();
        assert!(again.is_empty(), "again: {again:#?}\n{all}");
        assert!(found.plan.bound <= found.plan.effort, "{all}");
        if found.plan.exact {
            assert_eq!(found.plan.bound, found.plan.effort, "{all}");
        }
    }
    assert!(counts.iter().all(|it| *it > 8), "each kind is met often: {counts:?}");
}

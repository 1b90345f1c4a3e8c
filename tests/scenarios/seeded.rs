//! Faults put one by one, and in pairs, into the finished examples: each is found under the
//! check that is meant for it, and what has nothing to do with it stays as it was.

use std::collections::BTreeSet;

use trunnion_model::db::Host;
use trunnion_tests::loaded;

/// A fault: where, what is written (blanks do not count; what stands before a `…` only leads
/// there), what is put there, the check that must find it, and others that may speak of it too.
struct Fault {
    file: &'static str,
    written: &'static str,
    put: &'static str,
    found_by: &'static str,
    also: &'static [&'static str],
}

const fn fault(
    file: &'static str,
    written: &'static str,
    put: &'static str,
    found_by: &'static str,
    also: &'static [&'static str],
) -> Fault {
    Fault { file, written, put, found_by, also }
}

const CONVERSION: &str = "easy_van.trunnion";
const DRIVELINE: &str = "catalogue/driveline.trunnion";
const ELECTRICS: &str = "catalogue/electrics.trunnion";
const PATTERNS: &str = "catalogue/patterns.trunnion";
const FAMILY: &str = "catalogue/dunlin.trunnion";
const VEHICLES: &str = "vehicles.trunnion";
const LOG: &str = "log.trunnion";
const WORK: &str = "catalogue/work.trunnion";

const FAULTS: &[Fault] = &[
    fault(CONVERSION, "budget 2600 EUR", "budget 1600 EUR", "stock/budget", &[]),
    fault(CONVERSION, "renew rear_seal, input_seal", "renew rear_seal", "work/while-open", &[]),
    fault(
        WORK,
        "work flexplate_on … reached only in clutch_housing",
        "reached only in clutch_housing\n after converter_up",
        "work/order",
        &[],
    ),
    fault(
        CONVERSION,
        "setup brake_controller \"gearbox type\" is \"automatic\"",
        "setup brake_controller \"gearbox type\" is \"manual\"",
        "setup/contradict",
        &["setup/setting"],
    ),
    fault(
        CONVERSION,
        "setup cluster \"gear display\" is \"on\"",
        "setup cluster \"gear display\" is \"yes\"",
        "setup/setting",
        &[],
    ),
    fault(CONVERSION, "pair gearbox_controller", "", "setup/pair", &[]),
    fault(
        VEHICLES,
        "gearbox_controller.software_number \"G6-09\"",
        "gearbox_controller.software_number \"G6-04\"",
        "setup/version",
        &[],
    ),
    fault(CONVERSION, "by cabin, 0.4 m long", "by cabin, 140 m long", "bus/length", &[]),
    fault(
        ELECTRICS,
        "module brake_late_auto … torque_cut.deadline 10 ms",
        "torque_cut.deadline 1 ms",
        "bus/deadline",
        &[],
    ),
    fault(CONVERSION, "wire selector.L1[2] to G3", "wire selector.L1[2] to G33", "wire/end", &[]),
    fault(
        CONVERSION,
        "accept kind/asked flywheel.condition",
        "accept kind/asked flywheel.conditoin",
        "accept/idle",
        &["kind/asked"],
    ),
    fault(
        CONVERSION,
        "setup gearbox_controller \"final drive\" is \"3.69\"",
        "setup gearbox_controller \"final drive\" is \"4.10\"",
        "drive/ratio",
        &[],
    ),
    fault(
        CONVERSION,
        "take brake_controller from breaker\n because \"the early one does not send torque_cut, and it would be a third terminator\"",
        "",
        "need",
        &["bus/termination", "bus/message"],
    ),
    fault(PATTERNS, "holes 4 on 240 mm, bore 10.5 mm", "holes 6 on 240 mm, bore 10.5 mm", "fit/pattern", &[]),
    fault(PATTERNS, "register 40 mm g6", "register 42 mm g6", "fit/register", &[]),
    fault(LOG, "measured propshaft.gap 1387 mm", "measured propshaft.gap 1467 mm", "fit/length", &[]),
    fault(
        ELECTRICS,
        "module brake_late_auto … sends torque_cut on drive every 10 ms, id \"0x0A0\" per wiring",
        "sends torque_cut on drive every 10 ms, id \"0x0A0\"\n terminates drive with 120 Ω",
        "bus/termination",
        &[],
    ),
    fault(
        ELECTRICS,
        "module gearbox_controller_b … wake up",
        "can rate 250 kbit/s\n wake up",
        "bus/rate",
        &[],
    ),
    fault(
        ELECTRICS,
        "module gearbox_controller_b … hears wheel_speed",
        "hears lateral_force on drive\n hears wheel_speed",
        "bus/message",
        &[],
    ),
    fault(
        CONVERSION,
        "wire F31 to gearbox_controller.K1[1]",
        "wire F31 to gearbox_controller.K1[2]",
        "plug/cavity",
        &["state/backfeed"],
    ),
    fault(
        CONVERSION,
        "  remove clutch\n",
        "  remove clutch\n  take gearbox from breaker\n",
        "stock/twice",
        &[],
    ),
    fault(
        CONVERSION,
        "  blank body.clutch_hole with cover_plate\n    because \"water, noise and fumes come through a 42 mm hole\"\n",
        "",
        "loose/end",
        &["stock/missing"],
    ),
    fault(
        CONVERSION,
        "  blank brake_reservoir.clutch_out with cap_8\n    because \"brake fluid stands behind it: a cap with a clip, not a folded hose\"\n",
        "",
        "loose/end",
        &[],
    ),
    fault(CONVERSION, "  blank clutch_pedal.S1[1]\n", "", "loose/end", &[]),
    fault(
        CONVERSION,
        "  hand clutch_pedal.cruise_off to gearbox_controller\n",
        "  // nobody\n",
        "loose/duty",
        &["write/statement"],
    ),
    fault(
        CONVERSION,
        "take gearbox, gearbox_controller, selector,",
        "take gearbox, selector,",
        "set/together",
        &[
            "plug/cavity",
            "bus/message",
            "bus/termination",
            "loose/duty",
            "drive/ratio",
            "need",
            "bus/rate",
            "wire/end",
            "loose/end",
        ],
    ),
    fault(
        CONVERSION,
        "choose flywheel from flexplate_new, flexplate_used prefer cost",
        "replace flywheel with flexplate_eight",
        "build/window",
        &["fit/pattern", "fit/register", "kind/asked", "stock/missing", "stock/budget"],
    ),
    fault(
        VEHICLES,
        "built 2012-04 ",
        "built 2012-12 to 2013-01 ",
        "build/ambiguous",
        &["fit/pattern", "fit/register", "kind/asked", "build/window", "need", "drive/torque", "fit/clamp"],
    ),
    fault(
        VEHICLES,
        "built 2012-04 ",
        "built 2011-04 ",
        "build/disagree",
        &[
            "plug/cavity",
            "bus/message",
            "bus/termination",
            "loose/end",
            "bus/rate",
            "state/duty",
            "state/backfeed",
        ],
    ),
    fault(
        FAMILY,
        "joins gearbox.cooler_out to radiator.oil_in, 10 mm bore, carrying gearbox_oil",
        "joins gearbox.cooler_out to radiator.oil_in, 10 mm bore, carrying coolant",
        "line/mate",
        &[],
    ),
    fault(
        DRIVELINE,
        "part auto_six \"six-speed automatic\" is automatic_gearbox fills gearbox {",
        "part auto_six \"six-speed automatic\" is propshaft fills gearbox {",
        "kind/asked",
        &[
            "set/together",
            "loose/duty",
            "loose/end",
            "fit/length",
            "fit/clamp",
            "source/weak",
            "line/mate",
            "drive/ratio",
        ],
    ),
    fault(DRIVELINE, "part auto_six … torque limit 400 Nm per manual", "", "kind/asked", &[]),
    fault(
        DRIVELINE,
        "part auto_six … mass 86 kg per manual",
        "mass 86 kg per manual\n mass 98 kg per club",
        "source/conflict",
        &["kind/asked", "source/weak", "carry/support", "drive/axle"],
    ),
    fault(
        ELECTRICS,
        "module brake_late_auto … expected circumference 2050 mm per manual",
        "expected circumference 2050 mm per club",
        "source/weak",
        &[],
    ),
    fault(
        CONVERSION,
        "part stud_caps \"caps on four studs\" is blanking { offer 3 EUR from \"parts counter\", new }",
        "part stud_caps \"caps on four studs\" is blanking { drawback \"nobody sells them\" }",
        "stock/missing",
        &["stock/budget"],
    ),
    fault(VEHICLES, "tows 750 kg", "tows 1900 kg", "rule", &[]),
    fault(DRIVELINE, "part auto_six … pulses 46", "pulses 42", "signal/scale", &["work/no-return"]),
    fault(WORK, "needs radiator.cooler >= 8 kW", "needs radiator.coller >= 8 kW", "name/unknown", &[]),
    fault(ELECTRICS, "module gearbox_controller_b … 4 coil shift_b", "3 coil shift_b", "plug/cavity", &[]),
    fault(CONVERSION, "budget 2600 EUR", "budget 2600 Eur", "write/unit", &["write/rest", "write/statement"]),
    fault(CONVERSION, "recipient van", "recipient vna", "name/unknown", &[]),
    fault(DRIVELINE, "part auto_six … mass 86 kg", "mass 86 Nm", "unit/dimension", &[]),
];

type Said = BTreeSet<String>;

/// Everything that is not clear in the conversion, its vehicles and its catalogue.
fn said(host: &Host) -> Said {
    let files = host.files().map(|(path, _)| path.to_string()).filter(|it| !it.starts_with("first_written"));
    let verdicts = files.flat_map(|it| loaded::verdicts(host, &it)).collect::<Vec<_>>();
    verdicts
        .iter()
        .filter(|it| it.outcome.word() != "clear" && it.accepted.is_none())
        .map(|it| format!("{} {} {}", it.check, it.outcome.word(), it.subject))
        .collect()
}

fn check_of(line: &str) -> &str {
    line.split(' ').next().unwrap_or_default()
}

/// The text with the fault in it.
fn replaced(text: &str, fault: &Fault) -> Option<String> {
    let mut from = 0;
    let mut range = 0..0;
    for part in fault.written.split('…') {
        range = find(text, from, part)?;
        from = range.end;
    }
    Some(format!("{}{}{}", &text[..range.start], fault.put, &text[range.end..]))
}

/// Where some words stand one after the other, whatever blanks and line ends are between them.
pub(crate) fn find(text: &str, from: usize, words: &str) -> Option<std::ops::Range<usize>> {
    let mut words = words.split_whitespace();
    let first = words.next()?;
    let rest: Vec<&str> = words.collect();
    text[from..].match_indices(first).find_map(|(at, _)| {
        let start = from + at;
        let mut end = start + first.len();
        for word in &rest {
            let blanks = text[end..].len() - text[end..].trim_start().len();
            end += blanks;
            if blanks == 0 || !text[end..].starts_with(word) {
                return None;
            }
            end += word.len();
        }
        Some(start..end)
    })
}

/// The example with some faults in it; none when one of them can no longer be put in.
fn with(faults: &[&Fault], host: &mut Host, files: &[(String, String)]) -> Option<Said> {
    let mut changed: Vec<(String, String)> = Vec::new();
    for fault in faults {
        let own =
            changed.iter().find(|it| it.0 == fault.file).or(files.iter().find(|it| it.0 == fault.file))?;
        let text = replaced(&own.1, fault)?;
        changed.retain(|it| it.0 != fault.file);
        changed.push((fault.file.to_owned(), text));
    }
    for (path, text) in &changed {
        host.set_file(path, text);
    }
    let said = said(host);
    for (path, _) in &changed {
        let written = files.iter().find(|it| it.0 == *path)?;
        host.set_file(path, &written.1);
    }
    Some(said)
}

#[test]
fn the_finished_examples_have_no_clash() {
    for folder in [
        "examples/easy_van",
        "examples/later_engine",
        "examples/camper_power",
        "examples/hand_controls",
        "examples/heavier_axles",
        "examples/electric_roadster",
    ] {
        let host = loaded::host(&loaded::files(folder));
        for (path, _) in host.files().filter(|it| !it.0.starts_with("first_written")) {
            assert_eq!(loaded::clashes(&loaded::verdicts(&host, path)), "", "{folder}/{path}");
        }
    }
}

#[test]
fn each_fault_alone_is_found_and_nothing_else_is_invented() {
    let files = loaded::files("examples/easy_van");
    let mut host = loaded::host(&files);
    let before = said(&host);
    let mut wrong = Vec::new();
    for (nth, fault) in FAULTS.iter().enumerate() {
        let Some(after) = with(&[fault], &mut host, &files) else {
            wrong.push(format!("{nth}: {} does not say `{}`", fault.file, fault.written));
            continue;
        };
        let new: Vec<&String> = after.difference(&before).collect();
        if !new.iter().any(|it| check_of(it) == fault.found_by) {
            wrong.push(format!("{nth}: {} did not find `{}`: {new:?}", fault.found_by, fault.put));
        }
        let strange: Vec<&&String> = new
            .iter()
            .filter(|it| check_of(it) != fault.found_by && !fault.also.contains(&check_of(it)))
            .collect();
        // A name or unit that cannot be read takes the verdicts on it along.
        let writing = ["write/", "name/", "unit/"].iter().any(|it| fault.found_by.starts_with(it));
        if !strange.is_empty() && !writing {
            wrong.push(format!("{nth}: `{}` also brought {strange:?}", fault.put));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert_eq!(said(&host), before, "the example is as it was");
}

#[test]
fn a_part_without_a_kind_is_not_looked_at() {
    let files = loaded::files("examples/easy_van");
    let mut host = loaded::host(&files);
    let place = fault(FAMILY, "place selector is selector", "place selector", "kind/none", &[]);
    let part = fault(FAMILY, "module selector_auto … is automatic_selector fills", "fills", "kind/none", &[]);
    let after = with(&[&place, &part], &mut host, &files).expect("both are written");
    assert!(after.iter().any(|it| it.starts_with("kind/none open selector")), "{after:#?}");
}

#[test]
fn in_pairs_both_are_found() {
    let files = loaded::files("examples/easy_van");
    let mut host = loaded::host(&files);
    let before = said(&host);
    let mut tried = 0;
    let mut wrong = Vec::new();
    // A fault that hides what another is about: without the recipient or the gearbox nothing is judged.
    let hides = |it: &Fault| {
        ["name/unknown", "set/together", "build/ambiguous"].contains(&it.found_by)
            || it.put.contains("is propshaft fills gearbox")
            || it.written.contains("take brake_controller")
    };
    for (nth, a) in FAULTS.iter().enumerate().filter(|it| !hides(it.1)) {
        for b in FAULTS[nth + 1..].iter().filter(|it| !hides(it)) {
            if a.file == b.file && (a.written.contains(b.written) || b.written.contains(a.written)) {
                continue;
            }
            // Where the holes differ, the spigot is not looked at: one cause, one verdict.
            if [a.found_by, b.found_by] == ["fit/pattern", "fit/register"] {
                continue;
            }
            let Some(after) = with(&[a, b], &mut host, &files) else { continue };
            tried += 1;
            for fault in [a, b] {
                if !after.difference(&before).any(|it| check_of(it) == fault.found_by) {
                    wrong.push(format!(
                        "{} did not find `{}` beside `{}` / `{}`",
                        fault.found_by, fault.put, a.put, b.put
                    ));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{} of {tried}:\n{}", wrong.len(), wrong.join("\n"));
    assert!(tried > 200, "{tried} pairs tried");
}

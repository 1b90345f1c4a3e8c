//! `calc`, and `explain` for what it calls.

use crate::folder::Folder;

#[test]
fn sums_conversions_and_comparisons_are_answered() {
    let folder = Folder::new("calc");
    for (expression, first) in [
        ("3 m + 2 in", "3.051 m"),
        ("100 km/h in mph", "62.1371 mph"),
        ("-40 °C in °F", "-40 °F"),
        ("3 m < 12 ft", "It holds."),
        ("4.28 = 3.69 within 2 %", "It does not hold."),
        ("3.65 to 3.72 < 3.7", "It cannot be told: what is given leaves both possible."),
        ("44 mm + 0.025 mm ± 0.005 mm", "44.02 to 44.03 mm"),
    ] {
        let ran = folder.run(&["calc", expression]);
        ran.ended(0);
        assert_eq!(ran.out.lines().next(), Some(first), "{expression}");
    }
    let ran = folder.run(&["calc", "3", "m", "+", "2", "in"]);
    assert_eq!(ran.out, "3.051 m\n  3 m + 2 in = 3.051 m\n");
    let ran = folder.run(&["calc", "4.28 = 3.69 within 2 %"]);
    assert_eq!(
        ran.out,
        "It does not hold.\n  (4.28 − 3.69) / 3.69 = 16.0 % high; allowed 2 %\n  margin: 16.0 % off\n"
    );
}

#[test]
fn a_function_is_answered_with_formula_numbers_source_and_cautions() {
    let folder = Folder::new("calc-function");
    let ran = folder.run(&["calc", "can_bus_length(500 kbit/s)"]);
    ran.ended(0);
    for words in [
        "100 m\n",
        "can_bus_length: Longest CAN trunk by CiA",
        "with numbers  length = CiA table for 500 kbit/s = 100 m",
        "source        CAN in Automation, recommended wire lengths, 1995-07, ",
        " (published)",
        "mind          Wire and terminators as ISO 11898-2 asks.",
    ] {
        assert!(ran.out.contains(words), "{words} in {}", ran.out);
    }
    let ran = folder.run(&["calc", "line_pressure(500 N, 4, 1, 23.8 mm)"]);
    assert!(ran.out.contains("proven only on the tester, by a licensed person"), "{}", ran.out);
}

#[test]
fn without_an_expression_the_functions_are_listed_by_group() {
    let folder = Folder::new("calc-list");
    let ran = folder.run(&["calc"]);
    ran.ended(0);
    assert!(ran.out.starts_with("drive\n  "), "{}", ran.out);
    assert!(ran.out.contains("\nbus\n"), "{}", ran.out);
    // Each line begins with a call that can be typed.
    let calls: Vec<&str> =
        ran.out.lines().filter(|it| it.starts_with("  ")).filter_map(|it| it.split("  ").nth(1)).collect();
    assert!(calls.len() > 50, "{calls:?}");
    for call in calls {
        folder.run(&["calc", call]).ended(0);
    }
}

#[test]
fn what_is_wrong_is_pointed_out() {
    let folder = Folder::new("calc-wrong");
    for (expression, answer) in [
        (
            "overall_ratio(3.69, 2 m)",
            "trunnion: final_drive is a plain number, and a length was given.\n  \
             overall_ratio(3.69, 2 m)\n                      ^^^\n  \
             it is `overall_ratio(gear_ratio, final_drive)`\n",
        ),
        (
            "road_sped(3000 rpm)",
            "trunnion: there is no handbook function `road_sped`.\n  road_sped(3000 rpm)\n  ^^^^^^^^^\n  \
             `road_speed` is one\n",
        ),
        (
            "can_bus_length(333 kbit/s)",
            "trunnion: bit_rate may be one of 10, 20, 50, 125, 250, 500, 800, 1000 kbit/s, and 333 kbit/s was given.\n  \
             can_bus_length(333 kbit/s)\n                 ^^^^^^^^^^\n",
        ),
        ("1 m + 1 V", "trunnion: adding V (voltage) to m (length).\n  1 m + 1 V\n  ^^^^^^^^^\n"),
    ] {
        let ran = folder.run(&["calc", expression]);
        ran.ended(2);
        assert_eq!((ran.out.as_str(), ran.err.as_str()), ("", answer));
    }
    let comma = folder.run(&["calc", "0,5 mm2 * 2"]);
    comma.ended(0);
    assert_eq!(
        comma.out,
        "1 mm²\n  0.5 mm² × 2 = 1 mm²\n\nNote: Decimals are written with a point: `0.5`.\n"
    );
}

#[test]
fn answers_come_as_json_too() {
    let folder = Folder::new("calc-json");
    let ran = folder.run(&["calc", "2 * can_bus_length(500 kbit/s) in ft", "--format", "json"]);
    ran.ended(0);
    let it = ran.json();
    assert_eq!(it["result"]["figure"]["unit"], "ft");
    // A foot is 0.3048 m exactly: NIST SP 811, B.8.
    let feet = it["result"]["figure"]["nominal"].as_f64().expect("a number");
    assert!((feet - 200.0 / 0.3048).abs() < 1e-9, "{feet}");
    assert_eq!(it["steps"][0]["function"], "can_bus_length");
    assert_eq!(it["steps"][0]["sources"][0]["standing"], "published");
    let ran = folder.run(&["calc", "--format", "json", "1 in = 25.4 mm"]);
    assert_eq!(ran.json()["result"]["holds"], "yes");
    let ran = folder.run(&["calc", "--format", "json", "1 m + x"]);
    ran.ended(2);
    let it = ran.json();
    assert_eq!((it["error"]["start"].as_u64(), it["error"]["end"].as_u64()), (Some(6), Some(7)));
    assert!(it.get("result").is_none());
    let list = folder.run(&["calc", "--format", "json"]);
    list.ended(0);
    assert!(list.json().as_array().is_some_and(|it| it.len() > 50));
}

#[test]
fn explain_knows_every_function_and_everything_said_of_the_writing() {
    let folder = Folder::new("explain-function");
    let page = folder.run(&["explain", "road_speed"]);
    page.ended(0);
    for words in [
        "# road_speed\n\nRoad speed. Group: drive.",
        "speed = engine_speed / (gear_ratio × final_drive) × circumference per turn",
        "| engine_speed | rpm | 0 or more |",
        "road_speed(3000 rpm, 0.88, 3.69, 2050 mm) = 113.6 km/h",
        "speed = 3000 rpm / (0.88 × 3.69) × 2050 mm per turn = 113.6 km/h",
        "## Sources",
        "## Called by",
    ] {
        assert!(page.out.contains(words), "{words} in {}", page.out);
    }
    let unit = folder.run(&["explain", "write/unit"]);
    unit.ended(0);
    for words in ["# write/unit", "## An example", "peak torque 300 nm", "## The mend"] {
        assert!(unit.out.contains(words), "{words} in {}", unit.out);
    }
    let list = folder.run(&["explain"]);
    list.ended(0);
    for words in ["Checks", "Handbook functions", "Kinds", "Said of the writing", "road_speed", "write/unit"]
    {
        assert!(list.out.contains(words), "{words}");
    }
    let near = folder.run(&["explain", "road_sped"]);
    assert!(near.code == 2 && near.err.contains("`road_speed` is one"), "{near:?}");
}

const README: &str = include_str!("../../../../README.md");
const GUIDE: &str = include_str!("../../../../grammar/guide.md");

/// The five that everybody asks, typed as the first page shows them, against what is printed
/// elsewhere or can be worked by hand.
#[test]
fn the_questions_of_the_first_page_are_answered_as_it_says() {
    let folder = Folder::new("calc-readme");
    let rows: Vec<(&str, &str)> = README
        .lines()
        .filter_map(|it| it.split_once("`trunnion calc '"))
        .filter_map(|it| it.1.split_once("'` | "))
        .map(|(expression, answer)| (expression, answer.trim_end_matches(" |")))
        .collect();
    assert!(rows.len() >= 6, "{rows:?}");
    let mut values = Vec::new();
    for (expression, answer) in rows {
        let ran = folder.run(&["calc", expression]);
        ran.ended(0);
        assert_eq!(ran.out.lines().next(), Some(answer), "{expression}");
        let json = folder.run(&["calc", expression, "--format", "json"]).json();
        let figure = &json["result"]["figure"];
        let number = |it: &str| figure[it].as_f64().expect("a number");
        let unit = figure["unit"].as_str().expect("a unit").to_owned();
        values.push((number("least"), number("nominal"), number("most"), unit));
    }
    let near = |a: f64, b: f64| (a - b).abs() <= 1e-6 * b.abs();
    let is = |nth: usize, least: f64, most: f64, unit: &str| {
        let it: &(f64, f64, f64, String) = &values[nth];
        assert!(near(it.0, least) && near(it.2, most) && it.3 == unit, "{nth}: {it:?}");
    };
    // By hand: 205/65 R16 is 406 + 2 × 133 = 672 mm; it rolls 3.05 times that, +1.5 % −2.5 %.
    let speed = |spread: f64| 3000.0 / (0.68 * 3.69) * 3.05 * 0.672 * spread * 60.0 / 1000.0;
    is(0, speed(0.975), speed(1.015), "km/h");
    // ISO 6722-1: 7.6 mΩ/m at 20 °C; copper 0.00393 / K by IEC 60028; 8 m of wire in all.
    let drop = 8.0 * 0.0076 * (1.0 + 0.003_93 * 40.0) * 20.0;
    is(1, drop, drop, "V");
    // T = K F d with K from 0.16 to 0.24.
    is(2, 45.0 / (0.24 * 10.0), 45.0 / (0.16 * 10.0), "kN");
    // ISO 286-2: 36 H7 is 0 to +25 µm, 36 g6 is −25 to −9 µm.
    is(3, 9.0, 50.0, "µm");
    // CiA 301: 100 m at 500 kbit/s.
    is(4, 100.0, 100.0, "m");
    // NIST SP 811, B.8: 1 lbf ft is 1.355 818 Nm.
    assert!((values[5].1 - 98.0 / 1.355_818).abs() < 1e-4, "{:?}", values[5]);
}

/// Every answer of the calculator in the papers is its own. `UPDATE_EXPECT=1` writes them anew.
#[test]
fn answers_in_the_papers_are_the_real_ones() {
    let folder = Folder::new("calc-papers");
    let mut count = 0;
    for (name, page) in [("README.md", README), ("grammar/guide.md", GUIDE)] {
        let mut mended = page.to_owned();
        for block in page.split("```text\n").skip(1).filter_map(|it| it.split("```").next()) {
            let Some((command, answer)) = block.split_once('\n') else { continue };
            let Some(expression) = command.strip_prefix("$ trunnion calc '") else { continue };
            count += 1;
            let ran = folder.run(&["calc", expression.trim_end_matches('\'')]);
            ran.ended(0);
            mended = mended.replace(&format!("{command}\n{answer}"), &format!("{command}\n{}", ran.out));
        }
        if mended != page && std::env::var_os("UPDATE_EXPECT").is_some() {
            let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../..");
            std::fs::write(std::path::Path::new(path).join(name), &mended).expect("writable");
        } else {
            let differs = page.lines().zip(mended.lines()).find(|(there, real)| there != real);
            assert!(mended == page, "{name}: UPDATE_EXPECT=1 mends the first of what differs: {differs:?}");
        }
    }
    assert!(count >= 3, "{count}");
}

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

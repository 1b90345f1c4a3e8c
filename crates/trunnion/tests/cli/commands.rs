//! `new`, `next`, `tidy`, `explain`, `completions`, `man`.

use std::io::Write;
use std::process::Stdio;

use crate::folder::{Folder, Ran};
use crate::small;

#[test]
fn a_new_specification_checks_and_says_what_is_next() {
    let folder = Folder::new("new");
    let ran = folder.run(&["new", "van"]);
    ran.ended(0);
    assert!(ran.out.starts_with("Wrote van"), "{}", ran.out);
    let check = folder.run(&["check", "van", "--format", "json"]);
    check.ended(0);
    let summary = &check.json()["summary"];
    assert_eq!(summary["clash"], 0);
    assert!(summary["open"].as_u64().expect("a number") > 0, "it asks");
    let next = folder.run(&["next", "van"]);
    next.ended(0);
    for words in ["The chain:", "Ask the seller (wants to know by 2026-03-01)", "Look or measure", "gearbox"]
    {
        assert!(next.out.contains(words), "{words} in {}", next.out);
    }
    let tidy = folder.run(&["tidy", "--check", "van"]);
    tidy.ended(0);
    assert_eq!(tidy.out, "");
}

#[test]
fn new_never_overwrites() {
    let folder = Folder::new("new-again");
    folder.write("van/conversion.trunnion", "// mine\n");
    let before = folder.listing();
    let ran = folder.run(&["new", "van"]);
    ran.ended(2);
    assert!(ran.err.contains("is there already; nothing was written"), "{}", ran.err);
    assert_eq!(folder.listing(), before);
    folder.write("file", "");
    folder.run(&["new", "file"]).ended(2);
    assert_eq!(folder.read("file"), "");
}

#[cfg(unix)]
#[test]
fn new_never_writes_through_a_link() {
    let folder = Folder::new("new-link");
    folder.write("van/x", "");
    std::os::unix::fs::symlink("../elsewhere", folder.at("van/conversion.trunnion")).expect("linked");
    folder.run(&["new", "van"]).ended(2);
    assert!(!folder.at("elsewhere").exists());
}

#[test]
fn next_needs_a_conversion() {
    let folder = small("next");
    let ran = folder.run(&["next", "."]);
    ran.ended(2);
    assert_eq!(ran.err, "trunnion: no conversion in .; write `conversion NAME { recipient VEHICLE … }`\n");
    folder.run(&["next"]).ended(2);
}

#[test]
fn next_says_what_can_be_done_tonight_in_what_order_and_what_the_log_says() {
    let van = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/easy_van/easy_van.trunnion");
    let folder = Folder::new("next-whole");
    let ran = folder.run(&["next", van, "--time", "2 h", "--hands", "1"]);
    ran.ended(0);
    for words in [
        "\nTonight, 2 h, alone:\n",
        "  together 2 h of 2 h.\n",
        "    gearbox out: needs 2 people\n",
        "\nThe order of work, by way of everyday:\n  13 pieces, at least ",
        "  Gearbox out needs 2 people: somebody must come for it.\n",
        "\nBy the log:\n  4 h of work and 1 entry of which the log tells no time; 0 of 13 planned pieces done, ",
        "\nOpen: 1 before power, 1 before the road.\n",
    ] {
        assert!(ran.out.contains(words), "{words} in {}", ran.out);
    }
    let bare = folder.run(&["next", van]);
    assert!(!bare.out.contains("Tonight") && bare.out.contains("\n  and 5 more.\n"), "{}", bare.out);
    let all = folder.run(&["next", van, "--all"]);
    assert!(!all.out.contains("more.\n") && all.out.contains("bell to block: 48 Nm ("), "{}", all.out);
    // A written time is read as anywhere; a shorter day makes more of them.
    let day = folder.run(&["next", van, "--day", "90min", "--format", "json"]);
    day.ended(0);
    let json = day.json();
    let order = &json[0]["order"];
    assert_eq!(order["minutes_a_day"], 90);
    assert_eq!(order["items"].as_array().map(Vec::len), Some(13));
    assert_eq!(json[0]["log"]["spent_minutes"], 240);
    assert!(json[0]["tonight"].is_null());
    for wrong in [&["--time", "2 V"][..], &["--day", "0 h"], &["--day", "30 h"], &["--hands", "0"]] {
        let ran = folder.run(&[&["next", van][..], wrong].concat());
        ran.ended(2);
        assert!(ran.out.is_empty() && !ran.err.is_empty(), "{wrong:?}");
    }
}

#[test]
fn tidy_lays_out_and_then_has_nothing_to_do() {
    let folder = Folder::new("tidy");
    let (untidy, tidied) = ("part a{ mass 3kg }\r\n", "part a { mass 3 kg }\n");
    folder.write("a.trunnion", untidy);
    folder.write("deep/b c.trunnion", tidied);
    folder.write("notes.txt", untidy);
    let ran = folder.run(&["tidy", "--check"]);
    assert_eq!((ran.code, ran.out.as_str()), (1, "a.trunnion\n"));
    assert_eq!(folder.read("a.trunnion"), untidy, "--check changes nothing");
    let ran = folder.run(&["tidy"]);
    assert_eq!((ran.code, ran.out.as_str()), (0, "a.trunnion\n"));
    assert_eq!(folder.read("a.trunnion"), tidied);
    assert_eq!(folder.read("notes.txt"), untidy, "only specifications");
    let before = folder.listing();
    let ran = folder.run(&["tidy"]);
    assert_eq!((ran.code, ran.out.as_str()), (0, ""));
    assert_eq!(folder.listing(), before, "a tidy file is not written again");
    folder.run(&["tidy", "--check"]).ended(0);
}

#[test]
fn tidy_leaves_alone_what_it_cannot_read() {
    let folder = Folder::new("tidy-bad");
    let bytes = b"part a{ mass 3kg } // \xff\n";
    folder.write("a.trunnion", bytes);
    let ran = folder.run(&["tidy"]);
    assert_eq!((ran.code, ran.out.as_str()), (1, "a.trunnion: left as it is, it cannot be read\n"));
    assert_eq!(std::fs::read(folder.at("a.trunnion")).expect("there"), bytes);
}

fn piped(folder: &Folder, arguments: &[&str], input: &[u8]) -> Ran {
    let mut command = folder.command(arguments);
    command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut child = command.spawn().expect("it starts");
    child.stdin.take().expect("piped").write_all(input).expect("it reads");
    Ran::from(child.wait_with_output().expect("it ends"))
}

#[test]
fn tidy_reads_standard_input() {
    let folder = Folder::new("tidy-stdin");
    let before = folder.listing();
    let ran = piped(&folder, &["tidy", "-"], b"part a{ mass 3kg }");
    assert_eq!((ran.code, ran.out.as_str()), (0, "part a { mass 3 kg }\n"));
    let ran = piped(&folder, &["tidy", "-", "--check"], b"part a{ mass 3kg }");
    assert_eq!((ran.code, ran.out.as_str()), (1, "standard input\n"));
    let ran = piped(&folder, &["tidy", "--check", "-"], b"part a { mass 3 kg }\n");
    assert_eq!((ran.code, ran.out.as_str()), (0, ""));
    let text = "// \u{1b}[31mkept\u{1b}[0m \u{7} \u{9b}\n";
    assert_eq!(piped(&folder, &["tidy", "-"], text.as_bytes()).out, text, "not a byte is lost");
    let ran = piped(&folder, &["tidy", "-"], b"\xff");
    assert!(ran.code == 2 && ran.err.starts_with("trunnion: cannot read standard input"), "{ran:?}");
    folder.run(&["tidy", "-", "other"]).ended(2);
    assert_eq!(folder.listing(), before);
}

#[test]
fn explain_knows_every_check() {
    let folder = Folder::new("explain");
    let list = folder.run(&["explain"]);
    list.ended(0);
    let checks = list.out.split("\nHandbook functions").next().expect("it begins");
    let names: Vec<&str> = checks.lines().skip(2).filter_map(|it| it.split_whitespace().next()).collect();
    assert!(names.contains(&"fit/length") && names.len() > 20, "{names:?}");
    for name in names {
        let page = folder.run(&["explain", name]);
        page.ended(0);
        assert!(page.out.starts_with(&format!("# {name}\n\n")), "{}", page.out);
        for heading in ["## Why it matters", "## An example that", "## References"] {
            assert!(page.out.contains(heading), "{heading} of {name}");
        }
    }
}

#[test]
fn explain_knows_kinds_and_measures() {
    let folder = Folder::new("explain-kind");
    let kind = folder.run(&["explain", "automatic_gearbox"]);
    kind.ended(0);
    for words in ["# automatic_gearbox", "It is a gearbox.", "## What the trade asks of it"] {
        assert!(kind.out.contains(words), "{words} in {}", kind.out);
    }
    assert_eq!(folder.run(&["explain", "automatic gearbox"]), kind, "as a mechanic writes it");
    let measure = folder.run(&["explain", "mass"]);
    measure.ended(0);
    assert!(measure.out.contains("A measure, given in: kg."), "{}", measure.out);
    let wrong = folder.run(&["explain", "fit/lenght"]);
    wrong.ended(2);
    assert_eq!(wrong.err, "trunnion: nothing is called `fit/lenght`; `fit/length` is one\n");
    let unlike = folder.run(&["explain", "qqqqqqqqqqqqqqqq"]);
    unlike.ended(2);
    assert!(unlike.err.contains("`trunnion explain` lists the names"), "{}", unlike.err);
}

#[test]
fn completions_and_the_manual_page() {
    let folder = Folder::new("completions");
    for (shell, words) in
        [("bash", "complete -F"), ("zsh", "#compdef trunnion"), ("fish", "complete -c trunnion")]
    {
        let ran = folder.run(&["completions", shell]);
        ran.ended(0);
        assert!(ran.out.contains(words), "{shell}");
        for command in ["check", "next", "tidy", "calc", "explain", "new", "lsp"] {
            assert!(ran.out.contains(command), "{command} for {shell}");
        }
    }
    folder.run(&["completions", "tcsh"]).ended(2);
    let man = folder.run(&["man"]);
    man.ended(0);
    for words in [".TH trunnion 1", ".SH NAME", ".SH SYNOPSIS", "check", "calc", "explain"] {
        assert!(man.out.contains(words), "{words}");
    }
}

/// One lamp on the ignition, with its ground.
const LAMP: &str = "family Gull { built 2010-01 to 2012-12, place lamp, zone cabin
  feed F31 is 12 V from ignition
  ground G2 at cabin }
part bulb fills lamp { plug L1 { 1 lamp roof 12 V draw 1 A in, 2 ground, 3 signal more out } }
vehicle van is Gull { built 2011-05 }
conversion light { recipient van, fit bulb
  wire F31 to lamp.L1[1]
  wire lamp.L1[2] to G2 }
";

#[test]
fn readings_are_said_for_each_cavity() {
    let folder = Folder::new("readings");
    folder.write("light.trunnion", LAMP);
    let ran = folder.run(&["readings", "light.trunnion"]);
    ran.ended(0);
    assert!(ran.out.starts_with("light: expected readings\n=====")
        && ran.out.contains(
            "lamp.L1[1]  lamp roof\n    off: 0 V, to ground through a load\n    on, run: 12 V (10.5 to 15 V)\n    crank: 12 V (9.6 to 15 V)\n\
             lamp.L1[2]  ground\n    off, on, crank, run: 0 V, below 0.1 Ω to ground\n\
             lamp.L1[3]  signal more\n    off, on, crank, run: nobody has said: when bulb gives at lamp.L1[3]\n"
        )
        && ran.out.contains("3 cavities; of 1 a reading hangs on what nobody has said."), "{}", ran.out);
    let json = folder.run(&["readings", ".", "--format", "json"]);
    json.ended(0);
    let sheet = &json.json()["sheets"][0];
    assert_eq!(sheet["of"], "light");
    assert_eq!(sheet["cavities"][0]["cavity"], "lamp.L1[1]");
    assert_eq!(sheet["cavities"][0]["expected"][1]["when"][0], "on, run");
    assert_eq!(sheet["cavities"][2]["expected"][0]["known"], false);
}

#[test]
fn readings_need_a_vehicle() {
    let folder = Folder::new("readings-none");
    folder.write("kinds.trunnion", "kind unit { asks mass }\n");
    let ran = folder.run(&["readings", "."]);
    ran.ended(2);
    assert_eq!(ran.err, "trunnion: no conversion and no vehicle in .; write `vehicle NAME { … }`\n");
}

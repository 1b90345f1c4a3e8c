//! What `check` prints: for a person, as JSON, as SARIF.

use std::io::Read;
use std::process::Stdio;

use serde_json::{Value, json};

use crate::folder::{Folder, Ran};
use crate::{schema, small};

/// The whole text that a person sees.
#[test]
fn text_of_a_clash_an_open_point_and_a_clear_one() {
    let ran = small("text").run(&["check", "--all"]);
    ran.ended(1);
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/cli/small.txt");
    if std::env::var_os("UPDATE_EXPECT").is_some() {
        std::fs::write(path, &ran.out).expect("writable");
    }
    assert_eq!(ran.out, include_str!("small.txt").replace("\r\n", "\n"));
    assert_eq!(ran.err, "");
}

#[test]
fn without_all_what_is_clear_is_only_counted() {
    let ran = small("not-all").run(&["check"]);
    assert!(!ran.out.contains("Clear:"), "{}", ran.out);
    assert!(ran.out.contains("1 clash, 1 open (1 before buying), 1 clear (1 on paper)."), "{}", ran.out);
}

#[test]
fn colour_only_where_it_is_wanted() {
    let folder = small("colour");
    let escapes = |ran: &Ran| ran.out.matches('\u{1b}').count();
    assert_eq!(escapes(&folder.run(&["check"])), 0, "a pipe gets none");
    assert_eq!(escapes(&folder.run(&["check", "--color", "never"])), 0);
    assert!(escapes(&folder.run(&["--color", "always", "check"])) > 4);
    let with = |name: &str, value: &str, arguments: &[&str]| {
        Ran::from(folder.command(arguments).env(name, value).output().expect("it starts"))
    };
    assert_eq!(escapes(&with("NO_COLOR", "1", &["check"])), 0);
    assert!(escapes(&with("NO_COLOR", "1", &["check", "--color", "always"])) > 4, "what is asked for wins");
    for format in ["json", "sarif"] {
        assert_eq!(escapes(&folder.run(&["check", "--color", "always", "--format", format])), 0, "{format}");
    }
    let plain = folder.run(&["check"]).out;
    let coloured = folder.run(&["check", "--color", "always"]).out;
    assert_ne!(plain, coloured);
}

#[test]
fn exit_status() {
    let clashes = small("status");
    clashes.run(&["check"]).ended(1);
    let text = crate::SMALL.replace("register 61 mm g6", "register 60 mm g6");
    let open = Folder::new("status-open");
    open.write("a.trunnion", &text);
    open.run(&["check"]).ended(0);
    open.run(&["check", "--strict"]).ended(1);
    open.run(&["check", "--gate", "buying"]).ended(1);
    open.run(&["check", "--gate", "road"]).ended(1);
    let clear = Folder::new("status-clear");
    clear.write(
        "a.trunnion",
        text.replace("has propshaft shaft", "has propshaft shaft, propshaft.length 1.2 m"),
    );
    clear.run(&["check", "--strict", "--gate", "no-return", "--gate", "power"]).ended(0);
    clear.run(&["check", "--gate", "later"]).ended(2);
    clear.run(&["check", "--format", "yaml"]).ended(2);
    clear.run(&["chekc"]).ended(2);
    clear.run(&[]).ended(2);
    clear.run(&["--help"]).ended(0);
    clear.run(&["--version"]).ended(0);
}

#[test]
fn a_gate_counts_what_is_open_up_to_it() {
    let folder = Folder::new("gates");
    folder.run(&["new", "first"]).ended(0);
    let json = folder.run(&["check", "first", "--format", "json"]).json();
    assert!(json["summary"]["before_road"].as_u64().expect("a number") > 0);
    folder.run(&["check", "first"]).ended(0);
    folder.run(&["check", "first", "--gate", "buying"]).ended(1);
}

#[test]
fn json_holds_everything() {
    let folder = small("json");
    let ran = folder.run(&["check", "--format", "json"]);
    ran.ended(1);
    let json = ran.json();
    assert_eq!(schema::breaches(&schema::committed(), &json), Vec::<String>::new());
    assert_eq!(json["version"], 1);
    let summary = &json["summary"];
    let counts =
        ["clash", "open", "clear", "on_paper", "before_buying", "accepted", "unreadable", "not_looked_at"];
    assert_eq!(counts.map(|it| summary[it].as_u64()), [1, 1, 1, 1, 1, 0, 0, 0].map(Some), "{summary}");
    let verdicts = json["verdicts"].as_array().expect("a list");
    let words: Vec<_> = verdicts.iter().map(|it| (it["verdict"].as_str(), it["check"].as_str())).collect();
    let wanted = [("clash", "fit/register"), ("open", "rule"), ("clear", "fit/pattern")];
    assert_eq!(words, wanted.map(|(verdict, check)| (Some(verdict), Some(check))));
    let clash = &verdicts[0];
    assert_eq!(clash["subject"], "propshaft.rear-final_drive.nose");
    let place =
        json!({ "file": "small.trunnion", "line": 14, "column": 3, "end_line": 14, "end_column": 43 });
    assert_eq!(clash["places"][0], place);
    assert!(clash["places"].as_array().expect("a list").len() > 1, "{clash:#}");
    assert_eq!(clash["places"][1]["line"], 4);
    assert!(clash["need"].is_string() && clash["have"].is_string(), "{clash:#}");
    let sources = clash["sources"].as_array().expect("a list");
    assert!(sources.contains(&json!("Data sheet (documented)")), "{clash:#}");
    assert!(clash.get("question").is_none() && clash.get("won").is_none());
    let question = &verdicts[1]["question"];
    assert_eq!(question["gate"], "buying");
    assert_eq!(question["who"], "tape");
    assert_eq!(question["minutes"], 10);
    assert_eq!(question["tool"], "tape");
    assert_eq!(question["precision"], "2 mm");
    assert!(question["hangs"].is_string() && question["what"].is_string(), "{question:#}");
    assert_eq!(verdicts[2]["won"], "clear on paper");
}

/// Every example and the specification to start from.
#[test]
fn json_of_whole_conversions_is_as_the_schema_says() {
    let examples = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples");
    let schema = schema::committed();
    for entry in std::fs::read_dir(examples).expect("there") {
        let path = entry.expect("readable").path();
        let path = path.to_str().expect("plain");
        let ran = Folder::new("examples").run(&["check", path, "--format", "json"]);
        assert!(ran.code < 2, "{path}: {}", ran.err);
        let json = ran.json();
        assert_eq!(schema::breaches(&schema, &json), Vec::<String>::new(), "{path}");
        assert!(!json["verdicts"].as_array().expect("a list").is_empty(), "{path}");
    }
}

/// SARIF 2.1.0, 3.13 (log), 3.14 (run), 3.18 and 3.19 (tool), 3.27 (result), 3.55 (fix).
#[test]
fn sarif_has_what_the_standard_requires() {
    let folder = small("sarif");
    let text = crate::SMALL.replace("has final_drive axle", "has final_drive axel");
    folder.write("small.trunnion", text);
    folder.write("more.trunnion", crate::SMALL.replace("van", "bus"));
    let ran = folder.run(&["check", "--format", "sarif"]);
    ran.ended(1);
    let log = ran.json();
    assert_eq!(log["version"], "2.1.0");
    let [run] = list(&log["runs"]) else { panic!("one run: {log:#}") };
    let driver = &run["tool"]["driver"];
    assert_eq!(driver["name"], "trunnion");
    assert_eq!(driver["semanticVersion"], env!("CARGO_PKG_VERSION"));
    assert!(["utf16CodeUnits", "unicodeCodePoints"].iter().any(|it| run["columnKind"] == *it));
    let rules: Vec<&str> = list(&driver["rules"]).iter().map(|it| it["id"].as_str().expect("text")).collect();
    let mut once = rules.clone();
    once.sort_unstable();
    once.dedup();
    assert_eq!(once.len(), rules.len(), "each rule once");
    for rule in list(&driver["rules"]) {
        assert!(rule["shortDescription"]["text"].as_str().is_some_and(|it| !it.is_empty()), "{rule:#}");
        assert!(rule["help"]["text"].is_string() && rule["help"]["markdown"].is_string(), "{rule:#}");
    }
    let results = list(&run["results"]);
    let (mut fails, mut opens, mut fixes) = (0, 0, 0);
    for result in results {
        assert!(rules.contains(&result["ruleId"].as_str().expect("text")), "{result:#}");
        assert!(result["message"]["text"].as_str().is_some_and(|it| !it.is_empty()), "{result:#}");
        match result["kind"].as_str() {
            Some("fail") => {
                fails += 1;
                assert_eq!(result["level"], "error");
            }
            Some("open") => {
                opens += 1;
                assert_eq!(result["level"], "none", "3.27.10: a level only where something failed");
            }
            other => panic!("kind {other:?}"),
        }
        assert_eq!(list(&result["locations"]).len(), 1);
        for place in list(&result["locations"]).iter().chain(list(&result["relatedLocations"])) {
            let physical = &place["physicalLocation"];
            uri(&physical["artifactLocation"]);
            region(&physical["region"]);
        }
        for fix in result.get("fixes").map(list).unwrap_or_default() {
            fixes += 1;
            assert!(fix["description"]["text"].is_string());
            let changes = list(&fix["artifactChanges"]);
            assert!(!changes.is_empty(), "3.55.3: at least one");
            for change in changes {
                uri(&change["artifactLocation"]);
                assert!(!list(&change["replacements"]).is_empty(), "3.56.3: at least one");
                for replacement in list(&change["replacements"]) {
                    region(&replacement["deletedRegion"]);
                    let text = replacement["insertedContent"]["text"].as_str().expect("text");
                    assert!(!text.contains('…'), "a hole cannot be applied: {text}");
                }
            }
        }
    }
    assert!(fails >= 2 && opens >= 1 && fixes >= 1, "{fails} fail, {opens} open, {fixes} fixes");
}

#[test]
fn sarif_marks_what_was_accepted() {
    let folder = Folder::new("sarif-accepted");
    folder.run(&["new", "."]).ended(0);
    let text = folder.read("conversion.trunnion");
    let open = folder.run(&["check", "--format", "json"]).json();
    let point = list(&open["verdicts"]).iter().find(|it| it["verdict"] == "open").expect("one").clone();
    let (check, subject) = (point["check"].as_str().expect("text"), point["subject"].as_str().expect("text"));
    let accept = format!("  accept {check} {subject} because \"seen\" by \"A. B.\"\n}}");
    let last = text.trim_end().strip_suffix('}').expect("ends with the conversion").to_owned();
    folder.write("conversion.trunnion", last + &accept);
    let log = folder.run(&["check", "--format", "sarif"]).json();
    let suppressed: Vec<&Value> =
        list(&log["runs"][0]["results"]).iter().filter(|it| it.get("suppressions").is_some()).collect();
    assert_eq!(suppressed.len(), 1, "{check} {subject}: {suppressed:#?}");
    assert_eq!(suppressed[0]["ruleId"], check);
    assert_eq!(suppressed[0]["suppressions"][0]["kind"], "inSource");
    assert_eq!(suppressed[0]["suppressions"][0]["justification"], "seen, A. B.");
}

fn list(value: &Value) -> &[Value] {
    value.as_array().map(Vec::as_slice).unwrap_or_else(|| panic!("no list: {value}"))
}

/// A relative reference (RFC 3986, 4.2): its first part has no colon, and no character stands in
/// it that must be escaped.
fn uri(place: &Value) {
    let uri = place["uri"].as_str().expect("text");
    assert!(!uri.is_empty() && !uri.starts_with('/'), "{uri}");
    let allowed = |it: char| it.is_ascii_alphanumeric() || "-._~/%".contains(it);
    assert!(uri.chars().all(allowed), "{uri}");
}

/// 3.30: lines and columns from 1, the end not before the start.
fn region(region: &Value) {
    let number =
        |name: &str| region[name].as_u64().filter(|it| *it > 0).unwrap_or_else(|| panic!("{region}"));
    let (start, end) =
        ((number("startLine"), number("startColumn")), (number("endLine"), number("endColumn")));
    assert!(start <= end, "{region}");
}

#[test]
fn the_same_input_gives_the_same_bytes() {
    let examples = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/easy_van");
    let folder = small("same");
    for arguments in [
        &["check", examples, "--all", "--opens"][..],
        &["check", examples, "--format", "json"],
        &["check", examples, "--format", "sarif"],
        &["next", examples],
        &["check", ".", "--format", "json"],
    ] {
        assert_eq!(folder.run(arguments), folder.run(arguments), "{arguments:?}");
    }
}

#[test]
fn a_reader_that_goes_away_is_no_failure() {
    let examples = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/easy_van");
    let folder = small("pipe");
    for arguments in
        [&["check", examples, "--format", "json"][..], &["check", "--color", "always"], &["--help"]]
    {
        let mut command = folder.command(arguments);
        let mut child = command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().expect("it starts");
        drop(child.stdout.take());
        let mut err = String::new();
        child.stderr.take().expect("piped").read_to_string(&mut err).expect("UTF-8");
        let status = child.wait().expect("it ends");
        assert_eq!(err, "", "{arguments:?}");
        assert!(status.code().is_some_and(|it| it < 2), "{arguments:?}: {status:?}");
    }
}

#[test]
fn nothing_in_a_specification_steers_the_terminal() {
    let folder = small("steering");
    let nasty = "// \u{1b}]0;title\u{7}\u{1b}[2J \u{202e}gnp.exe \u{9b}31m\n";
    let text = crate::SMALL
        .replace("part axle", &format!("{nasty}part axle"))
        .replace("Data sheet", "\u{1b}[31mred");
    folder.write("small.trunnion", text + "\u{1b}[5m\u{7}\n/* \u{2028}");
    let ran = folder.run(&["check", "--all", "--opens"]);
    ran.ended(1);
    let steers = |it: &char| it.is_control() && *it != '\n' || matches!(it, '\u{202e}' | '\u{2028}');
    let found: Vec<char> = ran.out.chars().filter(steers).collect();
    assert_eq!(found, [], "{:?}", ran.out);
    assert!(ran.out.contains("?[31mred"), "{}", ran.out);
}

//! Specifications with mistakes in them: each is told at its place, and the rest is judged.

use crate::folder::Folder;
use crate::small;

#[test]
fn broken_syntax_in_one_file_leaves_the_rest_judged() {
    let folder = small("broken");
    folder.write(
        "broken.trunnion",
        "part a {\n  mass 3 kg\n  face {{{ ) \"x\npart b is propshaft { mass 2 kg }\n",
    );
    let ran = folder.run(&["check", "--format", "json"]);
    ran.ended(1);
    let told = ran.told();
    assert!(
        told.iter().any(|it| it.0.starts_with("write/") && it.1.starts_with("broken.trunnion:")),
        "{told:#?}"
    );
    for check in ["fit/register", "rule", "fit/pattern"] {
        let found = told.iter().any(|it| it.0 == check && it.1.starts_with("small.trunnion:"));
        assert!(found, "{check} in {told:#?}");
    }
    let text = folder.run(&["check"]);
    assert!(
        text.out.contains("broken.trunnion:") && text.out.contains("[fit/register] clash"),
        "{}",
        text.out
    );
}

#[test]
fn each_mistake_is_told_at_its_place() {
    let folder = Folder::new("mistakes");
    folder.write(
        "a.trunnion",
        "use \"b\"\nvehicle van {\n  kind pannel_van\n  rear driven\n  built 2012-13\n  mass 3 V\n}\n\
         vehicle old { kind panel_van, rear driven, built 2011-02-30 }\n\
         conversion easy {\n  recipient vann\n  take gearbox from breaker\n}\n",
    );
    folder.write(
        "b.trunnion",
        "use \"a\"\nsource sheet \"Sheet\" documented 2020-01\npart p { mass 3 kg per sheat }\n",
    );
    let ran = folder.run(&["check", "--format", "json"]);
    ran.ended(1);
    ran.tells("name/unknown", "a.trunnion:3:8", "`panel_van` is one");
    ran.tells("write/date", "a.trunnion:5:9", "There is no month 13.");
    ran.tells("unit/dimension", "a.trunnion:6:8", "kg");
    ran.tells("write/date", "a.trunnion:8:50", "2011-02 has no day 30.");
    ran.tells("name/unknown", "a.trunnion:10:13", "`van` is one");
    ran.tells("name/unknown", "a.trunnion:11:21", "no vehicle `breaker`");
    ran.tells("name/unknown", "b.trunnion:3:24", "`sheet` is one");
    ran.tells("use/circle", "a.trunnion:1:5", "goes round in a circle");
    ran.tells("use/circle", "b.trunnion:1:5", "goes round in a circle");
}

#[test]
fn files_that_are_not_there_or_lie_outside() {
    let folder = Folder::new("uses");
    let text = "use \"catalog/parts\"\nuse \"../../etc/passwd\"\nuse \"/etc/passwd\"\nuse \"main\"\n";
    folder.write("main.trunnion", text);
    folder.write("catalogue/parts.trunnion", "part a is propshaft { mass 3 kg }\n");
    let ran = folder.run(&["check", "main.trunnion", "--format", "json"]);
    ran.ended(1);
    ran.tells("use/missing", "main.trunnion:1:5", "There is no file `catalog/parts.trunnion`");
    ran.tells("use/outside", "main.trunnion:2:5", "leaves the workspace");
    ran.tells("use/outside", "main.trunnion:3:5", "leaves the workspace");
    ran.tells("use/circle", "main.trunnion:4:5", "This file uses itself.");
    let json = ran.json();
    let verdicts = json["verdicts"].as_array().expect("a list");
    let missing = verdicts.iter().find(|it| it["check"] == "use/missing").expect("told");
    assert_eq!(missing["fixes"][0]["edits"][0]["text"], "\"catalogue/parts\"");
    assert_eq!(ran.told().len(), 4, "one cause, one verdict: {:#?}", ran.told());
}

#[test]
fn paths_that_cannot_be_checked() {
    let folder = small("paths");
    let ran = folder.run(&["check", "nowhere"]);
    ran.ended(2);
    assert!(ran.err.starts_with("trunnion: cannot find `nowhere`: ") && ran.out.is_empty(), "{ran:?}");
    folder.write("empty/readme.txt", "");
    let ran = folder.run(&["check", "empty"]);
    ran.ended(2);
    assert_eq!(
        ran.err,
        "trunnion: no `.trunnion` file in empty; `trunnion new DIR` writes a small one to start from\n"
    );
    folder.run(&["tidy", "empty"]).ended(2);
    folder.run(&["next", "nowhere"]).ended(2);
}

#[test]
fn only_what_was_asked_for_is_shown() {
    let folder = small("asked");
    folder.write("deep/other.trunnion", "use \"../small\"\nuse \"gone\"\n");
    let ran = folder.run(&["check", "deep", "--format", "json"]);
    assert_eq!(ran.told().len(), 1, "{:#?}", ran.told());
    ran.tells("use/missing", "deep/other.trunnion:2:5", "`deep/gone.trunnion`");
}

//! Files that are strange as files: encodings, line ends, sizes, names, links.

use crate::folder::Folder;
use crate::{SMALL, schema, small};

#[test]
fn bytes_that_are_not_utf8_are_a_verdict_like_others() {
    let folder = small("encoding");
    folder.write(
        "latin.trunnion",
        b"// one\npart a is propshaft {\n  mass 3 kg // gr\xfc\xdfe\n  mass 3 V\n}\n",
    );
    let ran = folder.run(&["check", "--format", "json"]);
    ran.ended(1);
    ran.tells("file/encoding", "latin.trunnion:3:18", "not UTF-8");
    ran.tells("unit/dimension", "latin.trunnion:4:8", "kg");
    assert!(ran.told().iter().any(|it| it.0 == "fit/register"), "the rest is judged");
    let json = ran.json();
    assert_eq!(schema::breaches(&schema::committed(), &json), Vec::<String>::new());
    assert_eq!(json["summary"]["unreadable"], 1);
    assert_eq!(json["summary"]["clash"], 3);
    let log = folder.run(&["check", "--format", "sarif"]).json();
    let results = log["runs"][0]["results"].as_array().expect("a list");
    let told = results.iter().find(|it| it["ruleId"] == "file/encoding").expect("in SARIF, too");
    assert_eq!(told["locations"][0]["physicalLocation"]["region"]["startLine"], 3);
    let text = folder.run(&["check"]).out;
    assert!(text.contains("[file/encoding] clash") && text.contains("latin.trunnion:3:18"), "{text}");
}

#[test]
fn an_unreadable_file_counts_where_it_is_asked_for_or_used() {
    let folder = small("encoding-used");
    folder.write("latin.trunnion", b"// \xfc\n");
    folder.write("user.trunnion", "use \"latin\"\n");
    let told = |path: &str| {
        folder.run(&["check", path, "--format", "json"]).told().iter().any(|it| it.0 == "file/encoding")
    };
    assert!(told("latin.trunnion"));
    assert!(told("user.trunnion"));
    assert!(!told("small.trunnion"));
}

#[test]
fn utf16_is_said_to_be_utf16() {
    let folder = Folder::new("utf16");
    let bytes: Vec<u8> = "\u{feff}part a { mass 3 kg }\n".encode_utf16().flat_map(u16::to_le_bytes).collect();
    folder.write("wide.trunnion", bytes);
    let ran = folder.run(&["check", "--format", "json"]);
    ran.ended(1);
    assert_eq!(ran.told().len(), 1, "one cause, one verdict: {:#?}", ran.told());
    ran.tells("file/encoding", "wide.trunnion:1:1", "UTF-16");
    folder.run(&["check"]).ended(1);
    folder.run(&["check", "--format", "sarif"]).ended(1);
}

#[test]
fn an_empty_file_is_no_mistake() {
    let folder = Folder::new("empty");
    folder.write("a.trunnion", "");
    let ran = folder.run(&["check"]);
    ran.ended(0);
    assert!(ran.out.contains("There was nothing to judge"), "{}", ran.out);
    folder.run(&["tidy", "--check"]).ended(0);
    folder.write("a.trunnion", "\u{feff}");
    folder.run(&["check"]).ended(0);
}

#[test]
fn every_line_end_counts() {
    for (name, end) in [("lf", "\n"), ("crlf", "\r\n"), ("cr", "\r")] {
        let folder = Folder::new(&format!("ends-{name}"));
        folder.write("a.trunnion", ["// µ", "part a {", "  mass 3 V", "}", "use \"gone\"", ""].join(end));
        let ran = folder.run(&["check", "--format", "json"]);
        ran.tells("unit/dimension", "a.trunnion:3:8", "kg");
        ran.tells("use/missing", "a.trunnion:5:5", "gone");
        let text = folder.run(&["check"]).out;
        assert!(text.contains("a.trunnion:3:8") && text.contains(" 3 │   mass 3 V"), "{name}: {text}");
    }
}

/// Blanks to the language, but line ends to some terminals and editors.
#[test]
fn what_is_no_line_end_counts_as_none() {
    let folder = Folder::new("no-ends");
    folder.write("a.trunnion", "// a\u{b}b\u{c}c\u{85}d\u{2028}e\npart a {\n  mass 3 V\n}\n");
    folder.run(&["check", "--format", "json"]).tells("unit/dimension", "a.trunnion:3:8", "kg");
    let text = folder.run(&["check"]).out;
    assert!(text.contains("a.trunnion:3:8") && text.contains(" 3 │   mass 3 V"), "{text}");
}

#[test]
fn a_file_of_20_megabytes() {
    let folder = Folder::new("large");
    let mut text =
        "// what nobody reads, line by line, to the end of a long winter evening\n".repeat(280_000);
    assert!(text.len() > 20_000_000);
    text.push_str("part a { mass 3 V }\n");
    folder.write("a.trunnion", text);
    folder.run(&["check", "--format", "json"]).tells("unit/dimension", "a.trunnion:280001:15", "kg");
    let shown = folder.run(&["check"]);
    assert!(shown.ended(1).out.len() < 2000, "{}", shown.out);
}

#[test]
fn a_line_of_20_megabytes_is_not_printed() {
    let folder = Folder::new("long-line");
    folder.write("a.trunnion", format!("part a {{ mass 3 V, {}}}\n", "mass 3 kg, ".repeat(1_900_000)));
    let ran = folder.run(&["check"]);
    ran.ended(1);
    assert!(ran.out.len() < 10_000, "{} bytes", ran.out.len());
    assert!(ran.out.contains("at a.trunnion:1:15; the line is too long to be shown"), "{}", ran.out);
}

#[test]
fn blanks_and_foreign_letters_in_names() {
    let folder = Folder::new("näme mit blank");
    folder.write("größe 漢字 #1%.trunnion", "use \"gone\"\n");
    let ran = folder.run(&["check", "größe 漢字 #1%.trunnion", "--format", "json"]);
    ran.tells("use/missing", "größe 漢字 #1%.trunnion:1:5", "gone");
    let log = folder.run(&["check", "--format", "sarif"]).json();
    let place = &log["runs"][0]["results"][0]["locations"][0]["physicalLocation"]["artifactLocation"]["uri"];
    assert_eq!(place, "gr%C3%B6%C3%9Fe%20%E6%BC%A2%E5%AD%97%20%231%25.trunnion");
    assert!(folder.run(&["check"]).out.contains("größe 漢字 #1%.trunnion:1:5"));
}

#[cfg(unix)]
mod links {
    use std::os::unix::ffi::OsStrExt;
    use std::os::unix::fs::symlink;

    use super::*;

    #[test]
    fn a_loop_of_links_ends() {
        let folder = small("loop");
        symlink(".", folder.at("here")).expect("linked");
        folder.write("deep/x.txt", "");
        symlink("..", folder.at("deep/up")).expect("linked");
        symlink("self", folder.at("self")).expect("linked");
        let ran = folder.run(&["check", "--format", "json"]);
        ran.ended(1);
        assert_eq!(ran.told().len(), 3, "nothing is read twice: {:#?}", ran.told());
        folder.run(&["check", "self"]).ended(2);
    }

    #[test]
    fn a_link_that_leaves_the_root_is_not_followed() {
        let outside = Folder::new("outside");
        outside.write("secret.trunnion", "use \"gone\"\npart secret is propshaft { mass 3 V }\n");
        let folder = small("leaves");
        symlink(outside.at("."), folder.at("away")).expect("linked");
        symlink(outside.at("secret.trunnion"), folder.at("file.trunnion")).expect("linked");
        folder.write("user.trunnion", "use \"away/secret\"\nuse \"file\"\n");
        let before = outside.listing();
        let ran = folder.run(&["check", "--format", "json"]);
        ran.tells("use/missing", "user.trunnion:1:5", "away/secret.trunnion");
        ran.tells("use/missing", "user.trunnion:2:5", "file.trunnion");
        assert!(!ran.out.contains("3 V") && !ran.out.contains("gone"), "{}", ran.out);
        folder.run(&["tidy"]).ended(0);
        assert_eq!(outside.listing(), before);
    }

    /// What the name cannot be shown as is not what is written to.
    #[test]
    fn a_name_that_is_not_utf8() {
        let folder = Folder::new("bytes");
        let name = std::ffi::OsStr::from_bytes(b"a\xff.trunnion");
        if std::fs::write(folder.at("").join(name), "part a{ mass 3kg }\n").is_err() {
            return; // Some file systems have no such names.
        }
        folder.run(&["check"]).ended(0);
        folder.run(&["tidy"]).ended(0);
        let held = std::fs::read_to_string(folder.at("").join(name)).expect("there");
        assert_eq!(held, "part a { mass 3 kg }\n");
        assert_eq!(folder.listing().len(), 2, "no other file was made");
    }
}

#[test]
fn check_and_next_write_nothing() {
    let folder = small("nothing");
    folder.run(&["new", "van"]).ended(0);
    folder.write("latin.trunnion", b"// \xfc\n");
    folder.write("untidy.trunnion", format!("{}  \n\n\n", SMALL.replace("van", "bus")));
    let before = folder.listing();
    for arguments in [
        &["check"][..],
        &["check", "--all", "--opens"],
        &["check", "van", "--format", "json"],
        &["check", "--format", "sarif"],
        &["next", "van"],
        &["tidy", "--check"],
        &["explain", "mass"],
    ] {
        folder.run(arguments);
        assert_eq!(folder.listing(), before, "{arguments:?}");
    }
}

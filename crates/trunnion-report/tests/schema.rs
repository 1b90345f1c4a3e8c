//! The committed schema of `check --format json` is the one that the types give.
#![allow(missing_docs, reason = "a test has no readers but its own")]

use std::fs;
use std::path::Path;

use trunnion_report::record::Record;

#[test]
fn the_committed_schema_is_that_of_the_types() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("schema/check.schema.json");
    let schema = schemars::schema_for!(Record);
    let now = serde_json::to_string_pretty(&schema).expect("a schema is JSON") + "\n";
    if std::env::var_os("UPDATE_EXPECT").is_some() {
        fs::write(&path, &now).expect("writable");
    }
    let committed = fs::read_to_string(&path).unwrap_or_default().replace("\r\n", "\n");
    assert!(committed == now, "run this test once with UPDATE_EXPECT=1, and look at what changed");
}

#[test]
fn the_schema_says_what_must_be_there() {
    let schema = serde_json::to_value(schemars::schema_for!(Record)).expect("a schema is JSON");
    assert_eq!(schema["required"], serde_json::json!(["version", "verdicts", "summary"]));
    let verdict = &schema["$defs"]["VerdictRecord"];
    for name in ["check", "verdict", "subject", "message", "places", "figures", "because", "sources", "fixes"]
    {
        let required = verdict["required"].as_array().expect("a list");
        assert!(required.iter().any(|it| it == name), "{name} in {verdict:#}");
    }
    let place = &schema["$defs"]["PlaceRecord"]["required"];
    assert_eq!(*place, serde_json::json!(["file", "line", "column", "end_line", "end_column"]));
}

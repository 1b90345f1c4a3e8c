//! Verdicts as SARIF 2.1.0 (OASIS), for code-scanning views.

use serde::Serialize;
use trunnion_check::check::Check;
use trunnion_model::db::Host;
use trunnion_model::name::is_private;
use trunnion_model::verdict::Outcome;

use crate::placed::Placed;
use crate::record::{EditRecord, FixRecord, PlaceRecord, VerdictRecord, record};
use crate::summary::Summary;

/// The top of a SARIF file.
#[derive(Serialize)]
#[allow(missing_docs)]
pub struct Log {
    #[serde(rename = "$schema")]
    pub schema: &'static str,
    pub version: &'static str,
    pub runs: Vec<Run>,
}

/// One run of the tool.
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
#[allow(missing_docs)]
pub struct Run {
    pub tool: Tool,
    pub column_kind: &'static str,
    pub results: Vec<Finding>,
}

/// The tool.
#[derive(Serialize)]
#[allow(missing_docs)]
pub struct Tool {
    pub driver: Driver,
}

/// The tool's name and rules.
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
#[allow(missing_docs)]
pub struct Driver {
    pub name: &'static str,
    pub semantic_version: &'static str,
    pub rules: Vec<Rule>,
}

/// One check.
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
#[allow(missing_docs)]
pub struct Rule {
    pub id: String,
    pub short_description: Words,
    pub help: Help,
}

/// Plain words.
#[derive(Serialize)]
#[allow(missing_docs)]
pub struct Words {
    pub text: String,
}

/// Words, plain and as Markdown.
#[derive(Serialize)]
#[allow(missing_docs)]
pub struct Help {
    pub text: String,
    pub markdown: String,
}

/// One verdict.
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
#[allow(missing_docs)]
pub struct Finding {
    pub rule_id: String,
    pub level: &'static str,
    pub kind: &'static str,
    pub message: Words,
    pub locations: Vec<Place>,
    pub related_locations: Vec<Place>,
    pub partial_fingerprints: Fingerprint,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub fixes: Vec<Mend>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub suppressions: Vec<Suppression>,
}

/// That a point was accepted as it is.
#[derive(Serialize)]
#[allow(missing_docs)]
pub struct Suppression {
    pub kind: &'static str,
    pub justification: String,
}

/// What makes a verdict the same one after lines have moved.
#[derive(Serialize)]
#[allow(missing_docs)]
pub struct Fingerprint {
    #[serde(rename = "subject/v1")]
    pub subject: String,
}

/// A place.
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
#[allow(missing_docs)]
pub struct Place {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub id: Option<usize>,
    pub physical_location: Physical,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub message: Option<Words>,
}

/// A range in a file.
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
#[allow(missing_docs)]
pub struct Physical {
    pub artifact_location: Artifact,
    pub region: Region,
}

/// A file.
#[derive(Serialize)]
#[allow(missing_docs)]
pub struct Artifact {
    pub uri: String,
}

/// A range.
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
#[allow(missing_docs)]
pub struct Region {
    pub start_line: u32,
    pub start_column: u32,
    pub end_line: u32,
    pub end_column: u32,
}

/// A way out.
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
#[allow(missing_docs)]
pub struct Mend {
    pub description: Words,
    pub artifact_changes: Vec<ArtifactChange>,
}

/// The edits of a way out in one file.
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
#[allow(missing_docs)]
pub struct ArtifactChange {
    pub artifact_location: Artifact,
    pub replacements: Vec<Replacement>,
}

/// One edit.
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
#[allow(missing_docs)]
pub struct Replacement {
    pub deleted_region: Region,
    pub inserted_content: Words,
}

/// The SARIF log of placed verdicts; clear ones are left out. It is made to be published: of a verdict
/// that rests on a private file it says only that there is one, and where outside that file.
pub fn log(host: &Host, placed: &[Placed<'_>], checks: &[&Check], version: &'static str) -> Log {
    let findings: Vec<&Placed<'_>> =
        placed.iter().filter(|it| !matches!(it.verdict.outcome, Outcome::Clear(_))).collect();
    let mut rules: Vec<Rule> = checks.iter().map(|it| rule(it.name, it.decides(), it.page())).collect();
    for placed in &findings {
        let name = placed.verdict.check;
        if !rules.iter().any(|it| it.id == name) {
            let words = if name.starts_with("file/") {
                "A file cannot be read as it is."
            } else {
                "Something in the writing of the specification cannot be read or means nothing."
            };
            rules.push(rule(name, words.to_owned(), words.to_owned()));
        }
    }
    let records = record(host, placed, &Summary::default());
    let private = |it: &PlaceRecord| host.file(&it.file).is_some_and(|it| is_private(host.db(), it));
    let shared = |it| kept_private(it, &private);
    let results = records.verdicts.into_iter().filter(|it| it.verdict != "clear").map(shared).map(|it| {
        let mut places = it.places.into_iter();
        let first = places.next().map(|it| place(it, None));
        let about = if it.subject.is_empty() { it.message.clone() } else { it.subject };
        Finding {
            // SARIF 2.1.0, 3.27.10: a level only where something failed.
            level: if it.verdict == "clash" { "error" } else { "none" },
            kind: if it.verdict == "clash" { "fail" } else { "open" },
            message: Words { text: it.message },
            locations: first.into_iter().collect(),
            related_locations: places.enumerate().map(|(nth, it)| place(it, Some(nth))).collect(),
            partial_fingerprints: Fingerprint { subject: format!("{}:{}", it.check, about) },
            // One with a hole to fill cannot be applied as it is.
            fixes: it
                .fixes
                .into_iter()
                .filter(|it| !has_hole(it))
                .map(|it| mend(it.title, it.edits))
                .collect(),
            suppressions: it
                .accepted
                .map(|why| Suppression { kind: "inSource", justification: why })
                .into_iter()
                .collect(),
            rule_id: it.check,
        }
    });
    let driver = Driver { name: "trunnion", semantic_version: version, rules };
    Log {
        schema: "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json",
        version: "2.1.0",
        runs: vec![Run {
            tool: Tool { driver },
            column_kind: "unicodeCodePoints",
            results: results.collect(),
        }],
    }
}

/// A verdict without anything of a private file.
fn kept_private(mut it: VerdictRecord, private: &dyn Fn(&PlaceRecord) -> bool) -> VerdictRecord {
    let edits = it.fixes.iter().flat_map(|it| &it.edits).map(|it| &it.place);
    if !it.places.iter().chain(edits).any(private) {
        return it;
    }
    let said = if it.verdict == "clash" { "clashes" } else { "is open" };
    // The name of a rule, or of a person behind the measure, stands in the private file.
    it.subject = match it.places.first() {
        Some(first) if private(first) => "private".to_owned(),
        _ => it.subject.split('.').take(2).collect::<Vec<_>>().join("."),
    };
    it.places.retain(|it| !private(it));
    for place in it.places.iter_mut().skip(1) {
        place.note = None;
    }
    it.message = format!("Something that rests on a private file {said} ({}).", it.subject);
    it.accepted = it.accepted.map(|_| "accepted; the reason is private".to_owned());
    it.fixes.clear();
    it
}

fn rule(id: &str, decides: String, page: String) -> Rule {
    Rule {
        id: id.to_owned(),
        short_description: Words { text: decides.clone() },
        help: Help { text: decides, markdown: page },
    }
}

fn region(at: &PlaceRecord) -> Region {
    Region { start_line: at.line, start_column: at.column, end_line: at.end_line, end_column: at.end_column }
}

fn place(at: PlaceRecord, id: Option<usize>) -> Place {
    Place {
        id,
        physical_location: Physical {
            region: region(&at),
            artifact_location: Artifact { uri: uri(&at.file) },
        },
        message: at.note.map(|text| Words { text }),
    }
}

fn has_hole(fix: &FixRecord) -> bool {
    fix.edits.iter().any(|it| it.text.contains('…'))
}

fn mend(title: String, edits: Vec<EditRecord>) -> Mend {
    let mut changes: Vec<ArtifactChange> = Vec::new();
    for edit in edits {
        let replacement =
            Replacement { deleted_region: region(&edit.place), inserted_content: Words { text: edit.text } };
        let uri = uri(&edit.place.file);
        match changes.iter_mut().find(|it| it.artifact_location.uri == uri) {
            Some(change) => change.replacements.push(replacement),
            None => changes.push(ArtifactChange {
                artifact_location: Artifact { uri },
                replacements: vec![replacement],
            }),
        }
    }
    Mend { description: Words { text: title }, artifact_changes: changes }
}

/// A path as a relative URI: everything but unreserved characters and `/` is escaped (RFC 3986).
fn uri(path: &str) -> String {
    let mut uri = String::with_capacity(path.len());
    for byte in path.bytes() {
        if byte.is_ascii_alphanumeric() || b"-._~/".contains(&byte) {
            uri.push(byte as char);
        } else {
            uri.push_str(&format!("%{byte:02X}"));
        }
    }
    uri
}

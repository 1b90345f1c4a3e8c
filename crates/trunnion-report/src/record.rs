//! The verdicts as one record, for other programs: what `check --format json` gives.

use serde::Serialize;
use trunnion_model::db::{Host, Location};
use trunnion_model::verdict::{Outcome, Question};

use crate::placed::{Lines, Placed};
use crate::summary::Summary;

/// All verdicts of a run.
#[derive(Serialize, schemars::JsonSchema)]
#[schemars(title = "Verdicts of a Trunnion check")]
pub struct Record {
    /// The version of this record's form.
    pub version: u32,
    /// The verdicts: clashes, then open points, then clear ones, each by file and place.
    pub verdicts: Vec<VerdictRecord>,
    /// How many of what.
    pub summary: Summary,
}

/// One verdict.
#[derive(Serialize, schemars::JsonSchema)]
pub struct VerdictRecord {
    /// The stable name of the check.
    pub check: String,
    /// `clear`, `clash` or `open`.
    #[schemars(extend("enum" = ["clear", "clash", "open"]))]
    pub verdict: String,
    /// How a clear one was won: `clear, measured`, `clear on paper`, `clear by hearsay`.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schemars(extend("enum" = ["clear, measured", "clear on paper", "clear by hearsay"]))]
    pub won: Option<String>,
    /// What it is about.
    pub subject: String,
    /// One sentence.
    pub message: String,
    /// Where: the first place is the one to look at.
    pub places: Vec<PlaceRecord>,
    /// What is needed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub need: Option<String>,
    /// What is there.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub have: Option<String>,
    /// How much room there is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub margin: Option<String>,
    /// The arithmetic with numbers put in.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub formula: Option<String>,
    /// The figures by name.
    pub figures: Vec<FigureRecord>,
    /// The reason chain.
    pub because: Vec<String>,
    /// The sources with their standing.
    pub sources: Vec<String>,
    /// What nobody knows, for open verdicts.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub question: Option<QuestionRecord>,
    /// Ways out.
    pub fixes: Vec<FixRecord>,
    /// What must be read with it: what is taken for granted.
    pub notes: Vec<String>,
    /// Areas of safety it concerns.
    pub safety: Vec<String>,
    /// The usual cautions for them.
    pub cautions: Vec<String>,
    /// Why it was accepted, and by whom.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub accepted: Option<String>,
}

/// A range in a file. Lines and columns count from 1; columns count Unicode characters.
#[derive(Serialize, schemars::JsonSchema)]
#[allow(missing_docs)]
pub struct PlaceRecord {
    pub file: String,
    #[schemars(range(min = 1))]
    pub line: u32,
    #[schemars(range(min = 1))]
    pub column: u32,
    #[schemars(range(min = 1))]
    pub end_line: u32,
    #[schemars(range(min = 1))]
    pub end_column: u32,
    /// What the place is, for all but the first.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

/// A named figure.
#[derive(Serialize, schemars::JsonSchema)]
#[allow(missing_docs)]
pub struct FigureRecord {
    pub name: String,
    pub value: String,
    pub unit: String,
}

/// What nobody knows and how to find out.
#[derive(Serialize, schemars::JsonSchema)]
pub struct QuestionRecord {
    /// What nobody knows.
    pub what: String,
    /// Which values would be good.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub good: Option<String>,
    /// The tool.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tool: Option<String>,
    /// How precise it must be.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub precision: Option<String>,
    /// How long it takes.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub minutes: Option<u32>,
    /// Who can tell: `seller`, `tape`, `maker`, `owner`.
    #[schemars(extend("enum" = ["seller", "tape", "maker", "owner"]))]
    pub who: String,
    /// The moment before which it must be settled.
    #[schemars(extend("enum" = ["buying", "no return", "power", "road"]))]
    pub gate: String,
    /// What hangs on it.
    pub hangs: String,
    /// What to type when it is known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub type_in: Option<String>,
}

/// A way out.
#[derive(Serialize, schemars::JsonSchema)]
#[allow(missing_docs)]
pub struct FixRecord {
    pub title: String,
    pub edits: Vec<EditRecord>,
}

/// An edit: this text in place of the range. A `…` in it is a hole to fill.
#[derive(Serialize, schemars::JsonSchema)]
#[allow(missing_docs)]
pub struct EditRecord {
    pub place: PlaceRecord,
    pub text: String,
}

/// The record of placed verdicts.
pub fn record(host: &Host, placed: &[Placed<'_>], summary: &Summary) -> Record {
    let mut files = Files { host, lines: std::collections::BTreeMap::new() };
    Record {
        version: 1,
        verdicts: placed.iter().map(|it| verdict(&mut files, it)).collect(),
        summary: summary.clone(),
    }
}

struct Files<'a> {
    host: &'a Host,
    lines: std::collections::BTreeMap<String, Lines<'a>>,
}

impl Files<'_> {
    fn place(&mut self, at: &Location, note: Option<&str>) -> PlaceRecord {
        let host = self.host;
        let lines = self
            .lines
            .entry(at.path.to_string())
            .or_insert_with(|| Lines::of(host.text(&at.path).map_or("", |it| it)));
        let (line, column) = lines.position(at.span.start);
        let (end_line, end_column) = lines.position(at.span.end);
        PlaceRecord {
            file: at.path.to_string(),
            line,
            column,
            end_line,
            end_column,
            note: note.map(str::to_owned),
        }
    }
}

fn verdict(files: &mut Files<'_>, placed: &Placed<'_>) -> VerdictRecord {
    let of = placed.verdict;
    let mut places = vec![files.place(&placed.at, None)];
    places.extend(placed.related.iter().map(|(at, note)| files.place(at, Some(note))));
    let fixes = placed.fixes.iter().map(|fix| FixRecord {
        title: fix.title.to_owned(),
        edits: fix
            .edits
            .iter()
            .map(|(at, text)| EditRecord { place: files.place(at, None), text: (*text).to_owned() })
            .collect(),
    });
    let fixes = fixes.collect();
    VerdictRecord {
        check: of.check.to_owned(),
        verdict: of.outcome.word().to_owned(),
        won: match of.outcome {
            Outcome::Clear(won) => Some(won.phrase().to_owned()),
            _ => None,
        },
        subject: of.subject.clone(),
        message: of.message.clone(),
        places,
        need: of.need.clone(),
        have: of.have.clone(),
        margin: of.margin.clone(),
        formula: of.formula.clone(),
        figures: of
            .figures
            .iter()
            .map(|it| FigureRecord { name: it.name.clone(), value: it.value.clone(), unit: it.unit.clone() })
            .collect(),
        because: of.because.clone(),
        sources: of.sources.clone(),
        question: of.question.as_ref().map(question),
        fixes,
        notes: of.notes.clone(),
        safety: of.safety.clone(),
        cautions: of.cautions().into_iter().map(str::to_owned).collect(),
        accepted: of.accepted.clone(),
    }
}

fn question(it: &Question) -> QuestionRecord {
    QuestionRecord {
        what: it.what.clone(),
        good: it.good.clone(),
        tool: it.tool.clone(),
        precision: it.precision.clone(),
        minutes: it.minutes,
        who: it.who.word().to_owned(),
        gate: it.gate.word().to_owned(),
        hangs: it.hangs.clone(),
        type_in: it.type_in.clone(),
    }
}

//! Verdicts for a person: clashes with the lines they speak of, open points in a few words.

use std::collections::BTreeMap;
use std::io::Write;
use std::ops::Range;

use ariadne::{CharSet, Color, Config, IndexType, Label, Report, ReportKind, Source};
use trunnion_model::verdict::{Gate, Outcome, Question, Verdict};
use trunnion_report::placed::{Lines, Placed};
use trunnion_report::summary::{Summary, caution};

use crate::Failure;
use crate::load::Loaded;

/// How many open points are shown in full when not all are asked for.
const IN_VIEW: usize = 5;

/// What to show.
pub struct Shown {
    /// The clear verdicts too.
    pub all: bool,
    /// Every open point.
    pub opens: bool,
    /// With colours.
    pub colour: bool,
}

/// Writes everything.
pub fn text(
    out: &mut Vec<u8>,
    loaded: &Loaded,
    placed: &[Placed<'_>],
    summary: &Summary,
    shown: &Shown,
) -> Result<(), Failure> {
    let mut sources = Sources { loaded, read: BTreeMap::new() };
    for (name, why) in &loaded.unreadable {
        writeln!(out, "{} at {name}, byte {}: {}\n", why.name, why.offset, why.message)?;
    }
    for it in placed.iter().filter(|it| it.verdict.outcome == Outcome::Clash) {
        clash(out, &mut sources, it, shown)?;
    }
    opens(out, &mut sources, placed, shown)?;
    if shown.all {
        clears(out, &mut sources, placed)?;
    }
    for area in areas(placed) {
        if let Some(caution) = caution(&area) {
            writeln!(out, "{caution}")?;
        }
    }
    writeln!(out, "\n{}", summary.line())?;
    writeln!(out, "{}", summary.first())?;
    Ok(())
}

/// The areas of safety that clashes and open points concern.
fn areas(placed: &[Placed<'_>]) -> Vec<String> {
    let mut areas: Vec<String> = placed.iter().flat_map(|it| it.verdict.safety.iter().cloned()).collect();
    areas.sort();
    areas.dedup();
    areas
}

struct Sources<'a> {
    loaded: &'a Loaded,
    read: BTreeMap<String, Source<&'a str>>,
}

impl<'a> Sources<'a> {
    fn position(&self, path: &str, offset: u32) -> (u32, u32) {
        self.loaded.host.text(path).map_or((1, 1), |text| Lines::of(text).position(offset))
    }
}

impl<'a> ariadne::Cache<String> for &mut Sources<'a> {
    type Storage = &'a str;

    fn fetch(&mut self, id: &String) -> Result<&Source<&'a str>, impl std::fmt::Debug> {
        let loaded = self.loaded;
        let read = || Source::from(loaded.host.text(id).map_or("", |it| &**it));
        Ok::<_, std::fmt::Error>(self.read.entry(id.clone()).or_insert_with(read))
    }

    fn display<'b>(&self, id: &'b String) -> Option<impl std::fmt::Display + 'b> {
        Some(id.clone())
    }
}

type Spot = (String, Range<usize>);

fn spot(at: &trunnion_model::db::Location) -> Spot {
    (at.path.to_string(), at.span.range())
}

fn clash(
    out: &mut Vec<u8>,
    sources: &mut Sources<'_>,
    it: &Placed<'_>,
    shown: &Shown,
) -> Result<(), Failure> {
    let config = Config::default()
        .with_color(shown.colour)
        .with_char_set(CharSet::Unicode)
        .with_index_type(IndexType::Byte);
    let verdict = it.verdict;
    let kind = ReportKind::Custom("clash", Color::Red);
    let mut report = Report::<Spot>::build(kind, spot(&it.at))
        .with_config(config)
        .with_code(verdict.check)
        .with_message(&verdict.message)
        .with_label(Label::new(spot(&it.at)).with_message(here(verdict)).with_color(Color::Red));
    for (at, note) in it.related.iter().take(4) {
        report = report.with_label(Label::new(spot(at)).with_message(note).with_color(Color::Blue));
    }
    for note in notes(verdict) {
        report = report.with_note(note);
    }
    for fix in &it.fixes {
        report = report.with_help(format!("way out: {}", fix.title));
    }
    report.finish().write(sources, &mut *out)?;
    writeln!(out)?;
    Ok(())
}

fn here(verdict: &Verdict) -> String {
    match (&verdict.need, &verdict.have) {
        (Some(need), Some(have)) => format!("needed: {need}; there: {have}"),
        _ => "here".to_owned(),
    }
}

/// The arithmetic, the reasons and the sources of a verdict.
fn notes(verdict: &Verdict) -> Vec<String> {
    let mut notes = Vec::new();
    notes.extend(verdict.formula.iter().map(|it| format!("arithmetic: {it}")));
    notes.extend(verdict.margin.iter().map(|it| format!("margin: {it}")));
    notes.extend(verdict.because.iter().map(|it| format!("because {it}")));
    if !verdict.sources.is_empty() {
        notes.push(format!("rests on: {}", verdict.sources.join("; ")));
    }
    notes
}

/// Open points: the first few in full, then a line for each subject.
fn opens(
    out: &mut Vec<u8>,
    sources: &mut Sources<'_>,
    placed: &[Placed<'_>],
    shown: &Shown,
) -> Result<(), Failure> {
    let mut open: Vec<&Placed<'_>> = placed
        .iter()
        .filter(|it| it.verdict.outcome == Outcome::Open && it.verdict.accepted.is_none())
        .collect();
    open.sort_by_key(|it| gate(it.verdict));
    if !open.is_empty() {
        writeln!(out, "Open, soonest first:")?;
    }
    let in_view = if shown.opens { open.len() } else { IN_VIEW.min(open.len()) };
    for it in &open[..in_view] {
        let (line, column) = sources.position(&it.at.path, it.at.span.start);
        writeln!(out, "  open {} at {}:{line}:{column}", it.verdict.check, it.at.path)?;
        writeln!(out, "    {}", it.verdict.message)?;
        for line in it.verdict.question.iter().flat_map(asked) {
            writeln!(out, "    {line}")?;
        }
        for because in &it.verdict.because {
            writeln!(out, "    because {because}")?;
        }
    }
    let rest = &open[in_view..];
    if !rest.is_empty() {
        writeln!(out, "  and {} more (`--opens` shows them all):", rest.len())?;
        for (subject, count, soonest) in by_subject(rest) {
            writeln!(out, "    {subject}: {count} open, {soonest}")?;
        }
    }
    let accepted = placed.iter().filter(|it| it.verdict.accepted.is_some());
    for (nth, it) in accepted.enumerate() {
        if nth == 0 {
            writeln!(out, "Accepted as they are:")?;
        }
        let reason = it.verdict.accepted.as_deref().unwrap_or_default();
        writeln!(out, "  {} {}: {} ({reason})", it.verdict.check, it.verdict.subject, it.verdict.message)?;
    }
    Ok(())
}

fn gate(verdict: &Verdict) -> Gate {
    verdict.question.as_ref().map_or(Gate::Buying, |it| it.gate)
}

/// What nobody knows, in a few lines.
pub fn asked(question: &Question) -> Vec<String> {
    let mut lines = Vec::new();
    let good = question.good.as_ref().map(|it| format!("; good: {it}")).unwrap_or_default();
    lines.push(format!("unknown: {}{good}", question.what));
    let mut how = Vec::new();
    if let Some(tool) = &question.tool {
        let precision = question.precision.as_ref().map(|it| format!(" to {it}")).unwrap_or_default();
        how.push(format!("{tool}{precision}"));
    }
    how.extend(question.minutes.map(|it| format!("{it} min")));
    how.push(match question.who {
        trunnion_model::verdict::Who::Seller => "ask the seller".to_owned(),
        trunnion_model::verdict::Who::Tape => "look or measure".to_owned(),
        trunnion_model::verdict::Who::Maker => "look it up in the maker's papers".to_owned(),
        trunnion_model::verdict::Who::Owner => "decide".to_owned(),
    });
    lines.push(format!("how: {}; {}", how.join(", "), question.gate.phrase()));
    lines.push(format!("hangs on it: {}", question.hangs));
    lines
}

/// Open points counted by the first word of their subject, with the soonest gate.
fn by_subject(open: &[&Placed<'_>]) -> Vec<(String, usize, String)> {
    let mut counts: BTreeMap<&str, BTreeMap<Gate, usize>> = BTreeMap::new();
    for it in open {
        let subject = it.verdict.subject.split(['.', '-']).next().unwrap_or_default();
        *counts.entry(subject).or_default().entry(gate(it.verdict)).or_default() += 1;
    }
    counts
        .into_iter()
        .map(|(subject, gates)| {
            let total = gates.values().sum();
            let gates = gates.iter().map(|(gate, count)| format!("{count} {}", gate.phrase()));
            (subject.replace('_', " "), total, gates.collect::<Vec<_>>().join(", "))
        })
        .collect()
}

fn clears(out: &mut Vec<u8>, sources: &mut Sources<'_>, placed: &[Placed<'_>]) -> Result<(), Failure> {
    writeln!(out, "Clear:")?;
    for it in placed {
        let Outcome::Clear(won) = it.verdict.outcome else { continue };
        let (line, column) = sources.position(&it.at.path, it.at.span.start);
        let verdict = it.verdict;
        writeln!(out, "  {}: {} at {}:{line}:{column}", won.phrase(), verdict.check, it.at.path)?;
        writeln!(out, "    {}", verdict.message)?;
        for note in notes(verdict) {
            writeln!(out, "    {note}")?;
        }
    }
    Ok(())
}

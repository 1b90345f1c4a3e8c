//! Verdicts for a person: clashes with the lines they speak of, open points in a few words.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::io::Write;
use std::ops::Range;

use ariadne::{CharSet, Color, Config, IndexType, Label, Report, ReportKind, Source};
use trunnion_model::db::Location;
use trunnion_model::verdict::{Gate, Outcome, Question, Verdict, caution};
use trunnion_report::placed::{Lines, Placed};
use trunnion_report::summary::Summary;

use crate::Failure;
use crate::load::Loaded;

use super::plain;

/// How many open points are shown in full when not all are asked for.
const IN_VIEW: usize = 5;

/// The longest line, in bytes, of which an excerpt is shown.
const LONGEST_LINE: usize = 1000;

/// What to show.
pub struct Shown {
    /// The clear verdicts too.
    pub all: bool,
    /// Every open point.
    pub opens: bool,
    /// With colours.
    pub colour: bool,
}

/// Writes everything; without a trace of colour where none is wanted.
pub fn text(
    out: &mut Vec<u8>,
    loaded: &Loaded,
    placed: &[Placed<'_>],
    summary: &Summary,
    shown: &Shown,
) -> Result<(), Failure> {
    let mut coloured = Vec::new();
    write(&mut coloured, loaded, placed, summary, shown)?;
    if shown.colour {
        out.append(&mut coloured);
    } else {
        // The head of a report is coloured whatever its settings say.
        out.extend(anstream::adapter::strip_bytes(&coloured).into_vec());
    }
    Ok(())
}

fn write(
    out: &mut Vec<u8>,
    loaded: &Loaded,
    placed: &[Placed<'_>],
    summary: &Summary,
    shown: &Shown,
) -> Result<(), Failure> {
    let mut sources = Sources { loaded, read: BTreeMap::new(), lines: BTreeMap::new() };
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

/// The texts that verdicts speak of, each read once.
struct Sources<'a> {
    loaded: &'a Loaded,
    read: BTreeMap<String, Source<Cow<'a, str>>>,
    lines: BTreeMap<String, Lines<'a>>,
}

impl<'a> Sources<'a> {
    fn text(&self, path: &str) -> &'a str {
        self.loaded.host.text(path).map_or("", |it| &**it)
    }

    fn position(&mut self, path: &str, offset: u32) -> (u32, u32) {
        let text = self.text(path);
        self.lines.entry(path.to_owned()).or_insert_with(|| Lines::of(text)).position(offset)
    }

    /// The same place counted in characters.
    fn spot(&mut self, at: &Location) -> Spot {
        let path = at.path.to_string();
        let text = self.text(&path);
        let source = self.read.entry(path.clone()).or_insert_with(|| Source::from(plain(text)));
        let chars = |offset: u32| {
            let Some((line, _, column)) = source.get_byte_line(offset as usize) else { return source.len() };
            let words = source.get_line_text(line).unwrap_or_default();
            line.offset() + words.get(..column).unwrap_or(words).chars().count()
        };
        let range = chars(at.span.start)..chars(at.span.end);
        (path, range)
    }

    /// Whether the lines that a range begins and ends in are short enough to be shown.
    fn fits(&self, at: &Location) -> bool {
        let text = self.text(&at.path);
        let short = |offset: u32| {
            let (before, after) = text.split_at_checked(offset as usize).unwrap_or_default();
            let ends = ['\n', '\r'];
            let begins = before.rfind(ends).map_or(before.len(), |it| before.len() - it);
            begins + after.find(ends).unwrap_or(after.len()) <= LONGEST_LINE
        };
        short(at.span.start) && short(at.span.end)
    }
}

impl<'a> ariadne::Cache<String> for &mut Sources<'a> {
    type Storage = Cow<'a, str>;

    fn fetch(&mut self, id: &String) -> Result<&Source<Cow<'a, str>>, impl std::fmt::Debug> {
        let text = self.text(id);
        let read = || Source::from(plain(text));
        Ok::<_, std::fmt::Error>(self.read.entry(id.clone()).or_insert_with(read))
    }

    fn display<'b>(&self, id: &'b String) -> Option<impl std::fmt::Display + 'b> {
        Some(plain(id))
    }
}

/// A path, and a range counted in characters.
type Spot = (String, Range<usize>);

fn clash(
    out: &mut Vec<u8>,
    sources: &mut Sources<'_>,
    it: &Placed<'_>,
    shown: &Shown,
) -> Result<(), Failure> {
    let config = Config::default()
        .with_color(shown.colour)
        .with_char_set(CharSet::Unicode)
        .with_index_type(IndexType::Char);
    let verdict = it.verdict;
    let related: Vec<_> = it.related.iter().filter(|it| sources.fits(&it.0)).take(4).collect();
    if !sources.fits(&it.at) {
        return clash_in_a_long_line(out, sources, it);
    }
    let kind = ReportKind::Custom("clash", Color::Red);
    let here_at = sources.spot(&it.at);
    let mut report = Report::<Spot>::build(kind, here_at.clone())
        .with_config(config)
        .with_code(verdict.check)
        .with_message(plain(&verdict.message));
    let mut labels = vec![(here_at, here(verdict), Color::Red)];
    labels.extend(related.iter().map(|(at, note)| (sources.spot(at), (*note).to_owned(), Color::Blue)));
    // The lines of a file are shown together, in order; the file that it stands in comes first.
    labels.sort_by_key(|((path, range), ..)| (**path != *it.at.path, path.clone(), range.end, range.start));
    for (spot, words, colour) in labels {
        report = report.with_label(Label::new(spot).with_message(plain(&words)).with_color(colour));
    }
    for note in notes(verdict) {
        report = report.with_note(plain(&note));
    }
    for fix in &it.fixes {
        report = report.with_help(plain(&format!("way out: {}", fix.title)));
    }
    report.finish().write(sources, &mut *out)?;
    writeln!(out)?;
    Ok(())
}

/// A clash without excerpt, where the line would fill the screen.
fn clash_in_a_long_line(
    out: &mut Vec<u8>,
    sources: &mut Sources<'_>,
    it: &Placed<'_>,
) -> Result<(), Failure> {
    let (line, column) = sources.position(&it.at.path, it.at.span.start);
    writeln!(out, "[{}] clash: {}", it.verdict.check, plain(&it.verdict.message))?;
    writeln!(out, "    at {}:{line}:{column}; the line is too long to be shown", plain(&it.at.path))?;
    let ways_out = it.fixes.iter().map(|it| format!("way out: {}", it.title));
    for line in notes(it.verdict).into_iter().chain(ways_out) {
        writeln!(out, "    {}", plain(&line))?;
    }
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
    notes.extend(verdict.notes.iter().map(|it| format!("note: {it}")));
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
        writeln!(out, "  open {} at {}:{line}:{column}", it.verdict.check, plain(&it.at.path))?;
        writeln!(out, "    {}", plain(&it.verdict.message))?;
        for line in it.verdict.question.iter().flat_map(asked) {
            writeln!(out, "    {}", plain(&line))?;
        }
        for because in &it.verdict.because {
            writeln!(out, "    because {}", plain(because))?;
        }
    }
    let rest = &open[in_view..];
    if !rest.is_empty() {
        writeln!(out, "  and {} more (`--opens` shows them all):", rest.len())?;
        for (subject, count, soonest) in by_subject(rest) {
            writeln!(out, "    {}: {count} open, {soonest}", plain(&subject))?;
        }
    }
    let accepted = placed.iter().filter(|it| it.verdict.accepted.is_some());
    for (nth, it) in accepted.enumerate() {
        if nth == 0 {
            writeln!(out, "Accepted as they are:")?;
        }
        let reason = it.verdict.accepted.as_deref().unwrap_or_default();
        let line = format!("{} {}: {} ({reason})", it.verdict.check, it.verdict.subject, it.verdict.message);
        writeln!(out, "  {}", plain(&line))?;
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
        let Outcome::Clear(won) = it.verdict.outcome else {
            continue;
        };
        let (line, column) = sources.position(&it.at.path, it.at.span.start);
        let verdict = it.verdict;
        writeln!(out, "  {}: {} at {}:{line}:{column}", won.phrase(), verdict.check, plain(&it.at.path))?;
        writeln!(out, "    {}", plain(&verdict.message))?;
        for note in notes(verdict) {
            writeln!(out, "    {}", plain(&note))?;
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use trunnion_model::db::Site;
    use trunnion_syntax::tree::Span;

    use super::*;

    /// Every range of a text with all sorts of line ends and widths, alone and beside another.
    #[test]
    fn every_range_can_be_shown_at_its_line() {
        let folder = std::env::temp_dir().join(format!("trunnion-show-{}", std::process::id()));
        std::fs::create_dir_all(&folder).expect("made");
        let text = "\u{feff}// µ\r\nab\t漢\u{b}\u{2028}c\r\r\n\n🚐 x\n";
        std::fs::write(folder.join("a.trunnion"), text).expect("written");
        let loaded = crate::load::load(&[folder.join("a.trunnion")]);
        std::fs::remove_dir_all(&folder).expect("gone");
        let Ok(loaded) = loaded else { panic!("loads") };
        let edges: Vec<u32> =
            (0..=text.len()).filter(|it| text.is_char_boundary(*it)).map(|it| it as u32).collect();
        let (item, _) = loaded.host.item_at("a.trunnion", 0).expect("there");
        let site = Site { item, span: Span::new(0, 0) };
        let verdict = Verdict::new("x/y", Outcome::Clash, "", site, "Words.");
        let shown = Shown { all: false, opens: false, colour: false };
        let at = |start, end| Location { path: "a.trunnion".into(), span: Span::new(start, end) };
        for (nth, start) in edges.iter().enumerate() {
            for end in &edges[nth..] {
                let related = vec![(at(*start, *start), "there"), (at(0, *end), "and there")];
                let placed = Placed { verdict: &verdict, at: at(*start, *end), related, fixes: Vec::new() };
                let mut out = Vec::new();
                let summary = Summary::default();
                assert!(super::text(&mut out, &loaded, &[placed], &summary, &shown).is_ok());
                let out = String::from_utf8(out).expect("UTF-8");
                let (line, column) = Lines::of(text).position(*start);
                // At the end of the text an excerpt shows the line before it.
                let at_end = *start as usize == text.len();
                assert!(
                    at_end || out.contains(&format!("a.trunnion:{line}:{column} ]")),
                    "{start} to {end}: {out}"
                );
            }
        }
    }
}

//! Job logs.

use trunnion_handbook::quantity::Quantity;
use trunnion_syntax::form::Statement;

use super::Lowering;
use crate::decl::{Entry, Event, Log};

impl Lowering {
    pub(super) fn log(&mut self, s: &Statement<'_>) -> Log {
        let mut log = Log { vehicle: self.reader(s).reference("vehicle"), entries: Vec::new() };
        for inner in self.block("log", s) {
            log.entries.extend(self.entry(&inner));
        }
        log
    }

    fn entry(&mut self, s: &Statement<'_>) -> Option<Entry> {
        let words = s.rest("what");
        let mut r = self.reader(s);
        let date = r.date("date")?.value;
        let by = r.text("who").map(|it| it.value);
        let tool = r.text("tool").map(|it| it.value);
        let event = match s.form.key.as_str() {
            "measured is" => {
                Event::MeasuredNumber { number: r.count("number")?.value, values: r.values("value") }
            }
            "measured" => Event::Measured { fact: r.fact()?, precision: r.figure("precision") },
            "done" => {
                let (what, took) = timed(&words);
                Event::Done { what, took }
            }
            "ordered" => Event::Ordered {
                what: r.reference("what")?,
                cost: r.figure("cost"),
                seller: r.text("seller").map(|it| it.value),
            },
            "paid for" => Event::Paid { what: r.reference("what")?, cost: r.figure("cost") },
            "arrived" => Event::Arrived { what: r.reference("what")? },
            "sold" => Event::Sold { what: r.reference("what")?, cost: r.figure("cost") },
            "found" => Event::Found { what: unquoted(words) },
            "failed" => Event::Failed { what: unquoted(words) },
            "photographed" => {
                Event::Photographed { what: r.reference("what")?, file: r.text("file").map(|it| it.value) }
            }
            _ => return None,
        };
        Some(Entry { date, event, by, tool, span: s.span })
    }
}

/// What was done, and the time at its end: "take gearbox from breaker, 4 h".
fn timed(words: &str) -> (String, Option<Quantity>) {
    let whole = || (words.to_owned(), None);
    let Some((rest, unit)) = words.rsplit_once(' ') else { return whole() };
    let (what, number) = rest.rsplit_once(' ').unwrap_or(("", rest));
    let time = |it: &Quantity| it.ends_in("min").is_some();
    let to = number.parse().ok().and_then(|it| Quantity::exact(it, unit).ok()).filter(time);
    let Some(to) = to.filter(|it| it.lo() >= 0.0) else { return whole() };
    // "3 to 4 h": a range, the first of its ends without a unit of its own.
    let range = what.strip_suffix(" to").and_then(|it| {
        let (what, from) = it.rsplit_once(' ')?;
        let from = Quantity::exact(from.parse().ok()?, unit).ok()?;
        Some((what, Quantity::between(&from, &to).ok()?))
    });
    let (what, took) = range.unwrap_or((what, to));
    (what.trim_end_matches([',', ' ']).to_owned(), Some(took))
}

/// A text that stands alone, without its quotes.
fn unquoted(words: String) -> String {
    let inner = words.strip_prefix('"').and_then(|it| it.strip_suffix('"')).filter(|it| !it.contains('"'));
    inner.map_or(words.clone(), str::to_owned)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_time_at_the_end_is_how_long_it_took() {
        let told = |words: &str| {
            let (what, took) = timed(words);
            (what, took.map(|it| it.display()))
        };
        let time = |it: &str| Some(it.to_owned());
        assert_eq!(told("take gearbox from breaker, 4 h"), ("take gearbox from breaker".into(), time("4 h")));
        assert_eq!(told("gearbox_out 3 to 4 h"), ("gearbox_out".into(), time("3 to 4 h")));
        assert_eq!(told("drain gearbox 2.2 L"), ("drain gearbox 2.2 L".into(), None));
        assert_eq!(told("drain gearbox, 2.2 L"), ("drain gearbox, 2.2 L".into(), None));
        assert_eq!(told("raise"), ("raise".into(), None));
        assert_eq!(told("raise 40 min"), ("raise".into(), time("40 min")));
    }

    /// The entries of a log, each with what follows it: by whom, with which tool.
    fn entries(lines: &str) -> Vec<(Event, Option<String>, Option<String>)> {
        let mut host = crate::db::Host::new();
        host.set_file("log.trunnion", &format!("log of van {{\n{lines}\n}}\n"));
        let db = host.db();
        let item = host.file("log.trunnion").expect("just set").items(db)[0];
        let lowered = crate::lower::lowered(db, item);
        assert!(lowered.problems.is_empty(), "{:?}", lowered.problems);
        let crate::decl::Body::Log(log) = &lowered.decls[0].body else { panic!("a log") };
        let word = |it: &Option<smol_str::SmolStr>| it.as_ref().map(ToString::to_string);
        log.entries.iter().map(|it| (it.event.clone(), word(&it.by), word(&it.tool))).collect()
    }

    #[test]
    fn by_whom_and_with_which_tool_is_kept_apart_from_what_was_done() {
        let read = entries(
            "2026-03-05 done bleeding by hand, 2 h, with \"pressure bleeder\", by \"M. O.\"\n\
             2026-03-06 found \"rust\" by \"M. O.\"\n2026-03-06 failed first bleeding, air in the rear\n\
             2026-03-07 photographed gearbox \"photos/box.jpg\"",
        );
        let text = |it: &str| Some(it.to_owned());
        let Event::Done { what, took } = &read[0].0 else { panic!("{:?}", read[0]) };
        assert_eq!((what.as_str(), took.map(|it| it.display())), ("bleeding by hand", text("2 h")));
        assert_eq!((&read[0].1, &read[0].2), (&text("M. O."), &text("pressure bleeder")));
        assert_eq!((&read[1].0, &read[1].1), (&Event::Found { what: "rust".into() }, &text("M. O.")));
        assert_eq!(read[2].0, Event::Failed { what: "first bleeding, air in the rear".into() });
        let Event::Photographed { file, .. } = &read[3].0 else { panic!("{:?}", read[3]) };
        assert_eq!(file.as_deref(), Some("photos/box.jpg"));
    }

    #[test]
    fn quotes_around_the_whole_are_left_out() {
        assert_eq!(unquoted("\"rust\"".into()), "rust");
        assert_eq!(unquoted("rust at \"A\"".into()), "rust at \"A\"");
        assert_eq!(unquoted("\"A\" and \"B\"".into()), "\"A\" and \"B\"");
    }
}

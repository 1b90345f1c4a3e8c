//! Job logs.

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
        let event = match s.form.key.as_str() {
            "measured is" => {
                Event::MeasuredNumber { number: r.count("number")?.value, values: r.values("value") }
            }
            "measured" => Event::Measured {
                fact: r.fact()?,
                tool: r.text("tool").map(|it| it.value),
                precision: r.figure("precision"),
            },
            "done" => Event::Done { what: words },
            "ordered" => Event::Ordered { what: r.reference("what")?, cost: r.figure("cost") },
            "paid for" => Event::Paid { what: r.reference("what")?, cost: r.figure("cost") },
            "arrived" => Event::Arrived { what: r.reference("what")? },
            "sold" => Event::Sold { what: r.reference("what")?, cost: r.figure("cost") },
            "found" => Event::Found { what: words },
            "failed" => Event::Failed { what: words },
            "photographed" => Event::Photographed { what: r.reference("what")? },
            _ => return None,
        };
        Some(Entry { date, event, by, span: s.span })
    }
}

//! Conversions and ways.

use trunnion_syntax::form::Statement;

use super::Lowering;
use crate::decl::{Accept, Aim, Change, Conversion, Verb, Way};

impl Lowering {
    pub(super) fn conversion(&mut self, s: &Statement<'_>) -> Conversion {
        let mut conversion = Conversion::default();
        for inner in self.block("conversion", s) {
            self.conversion_statement(&mut conversion, &inner);
        }
        conversion
    }

    fn conversion_statement(&mut self, conversion: &mut Conversion, s: &Statement<'_>) {
        if let Some(verb) = self.verb(s) {
            let claim = self.reader(s).claim();
            conversion.changes.push(Change { verb, claim, span: s.span });
            return;
        }
        match s.form.key.as_str() {
            "recipient" => conversion.recipient = self.reader(s).reference("vehicle"),
            "donor" => conversion.donors.extend(self.reader(s).reference("vehicle")),
            "budget" => conversion.budget = self.reader(s).figure_at("amount"),
            "aim" => {
                let mut reader = self.reader(s);
                if let Some(name) = reader.word("name") {
                    conversion.aims.push(Aim {
                        name,
                        values: reader.values("value"),
                        bound: reader.bound("bound"),
                        limit: reader.figure("limit"),
                        claim: reader.claim(),
                        span: s.span,
                    });
                }
            }
            "line joins to" => conversion.lines.extend(self.line(s)),
            "joint to" => conversion.joints.extend(self.joint(s)),
            "place" => conversion.places.extend(self.places(s)),
            "bus is" => conversion.buses.extend(self.bus(s)),
            "ground at" => conversion.grounds.extend(self.ground(s)),
            "feed is from" => conversion.feeds.extend(self.feed(s)),
            "wire to" => conversion.wires.extend(self.wire(s)),
            "way" => {
                let body = self.conversion(s);
                let mut reader = self.reader(s);
                if let Some(name) = reader.word("name") {
                    let title = reader.text("title").map(|it| it.value);
                    conversion.ways.push(Way { name, title, body, span: s.span });
                }
            }
            "accept" => {
                let mut reader = self.reader(s);
                if let (Some(check), Some(subject)) = (reader.word("check"), reader.reference("subject")) {
                    conversion.accepts.push(Accept {
                        check,
                        subject,
                        by: reader.text("name").map(|it| it.value),
                        because: reader.claim().because,
                        span: s.span,
                    });
                }
            }
            _ => conversion.figures.extend(self.reader(s).fact()),
        }
    }

    fn verb(&mut self, s: &Statement<'_>) -> Option<Verb> {
        let mut r = self.reader(s);
        Some(match s.form.key.as_str() {
            "take of from" => Verb::Take {
                count: r.count("count").map(|it| it.value),
                places: r.references("places"),
                from: r.reference("donor")?,
            },
            "take from" => {
                Verb::Take { places: r.references("places"), count: None, from: r.reference("donor")? }
            }
            "fit" => Verb::Fit { part: r.reference("part")?, place: r.reference("place") },
            "remove" => Verb::Remove { places: r.references("places") },
            "replace with" => Verb::Replace {
                place: r.reference("place")?,
                part: r.reference("part")?,
                from: r.reference("donor"),
            },
            "make" => Verb::Make { part: r.reference("part")?, place: r.reference("place") },
            "renew" => Verb::Renew { items: r.references("items") },
            "choose from" => Verb::Choose {
                place: r.reference("place")?,
                parts: r.references("parts"),
                prefer: r.words("preference"),
            },
            "move to" => Verb::Move { from: r.reference("from")?, to: r.reference("to")? },
            "splice to" => Verb::Splice { a: r.reference("a")?, b: r.reference("b")? },
            "join to" => Verb::Join { a: r.reference("a")?, b: r.reference("b")?, with: r.reference("with") },
            "blank" => Verb::Blank { end: r.reference("end")?, with: r.reference("with") },
            "bridge to" => Verb::Bridge { a: r.reference("a")?, b: r.reference("b")? },
            "hand to" => Verb::Hand { duty: r.reference("duty")?, to: r.reference("place")? },
            "cut" => Verb::Cut { what: r.reference("what")?, reason: r.text("reason").map(|it| it.value) },
            "setup is" => Verb::Setup {
                place: r.reference("place")?,
                setting: r.text("setting")?,
                value: r.value("value")?,
            },
            "pair" => Verb::Pair { places: r.references("places") },
            _ => return None,
        })
    }
}

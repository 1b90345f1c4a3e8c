//! Parts and modules.

use trunnion_syntax::form::Statement;

use super::Lowering;
use crate::decl::{EndClass, Fitted, MessageUse, Part};

impl Lowering {
    pub(super) fn part(&mut self, s: &Statement<'_>, module: bool) -> Part {
        let mut reader = self.reader(s);
        let mut part = Part {
            module,
            kind: reader.reference("kind"),
            fills: reader.reference("place"),
            ..Part::default()
        };
        for inner in self.block("part", s) {
            self.part_statement(&mut part, &inner);
        }
        part
    }

    fn part_statement(&mut self, part: &mut Part, s: &Statement<'_>) {
        let key = s.form.key.as_str();
        let first = key.split(' ').next().unwrap_or_default();
        if EndClass::from_word(first).is_some() {
            part.ends.extend(self.end(s));
            return;
        }
        if self.offer_statement(&mut part.offer, s) {
            return;
        }
        match key {
            "fitted" => {
                let fitted = self.fitted(s);
                part.fitted.push(fitted);
            }
            "suits" => {
                let place = self.reader(s).reference("place");
                let fitted = self.fitted(s);
                part.suits.extend(place.map(|it| (it, fitted)));
            }
            "sends" => part.sends.extend(self.message(s)),
            "hears" => part.hears.extend(self.message(s)),
            "passes from to" => {
                let mut reader = self.reader(s);
                let onto = reader.reference("b");
                let from = reader.reference("a");
                if let Some(mut it) = self.message(s) {
                    it.bus = from;
                    it.onto = onto;
                    part.passes.push(it);
                }
            }
            "terminates" => {
                let mut reader = self.reader(s);
                if let Some(bus) = reader.reference("bus") {
                    let ohms = reader.figure("ohms");
                    let claim = reader.claim();
                    part.terminates.push((bus, ohms, claim, s.span));
                }
            }
            "signal" => {
                let mut reader = self.reader(s);
                if let Some(name) = reader.word("name") {
                    let pin = reader.reference("pin");
                    part.signals.push((name, pin));
                }
            }
            "does" => part.does.extend(self.duty(s)),
            "needs" => part.needs.extend(self.reader(s).need("condition")),
            "software" => {
                let mut reader = self.reader(s);
                if let Some(version) = reader.value("version") {
                    let upto = reader.value("upto");
                    part.software = Some((version, upto, reader.claim()));
                }
            }
            "setting is" => {
                let mut reader = self.reader(s);
                if let Some(name) = reader.text("name") {
                    let values = reader.values("values");
                    part.settings.push((name, values, reader.claim()));
                }
            }
            "paired" => part.paired = Some((self.reader(s).claim(), s.span)),
            "comes with" => part.comes_with.extend(self.reader(s).references("kinds")),
            "safety" => part.safety.extend(self.reader(s).words("area")),
            "caution" => part.cautions.extend(self.reader(s).words("names")),
            _ => part.facts.extend(self.reader(s).fact()),
        }
    }

    pub(super) fn fitted(&mut self, s: &Statement<'_>) -> Fitted {
        let mut reader = self.reader(s);
        Fitted {
            family: reader.reference("family"),
            from: reader.date("from").map(|it| it.value),
            to: reader.date("to").map(|it| it.value),
            with: reader.with(),
            claim: reader.claim(),
            span: s.span,
        }
    }

    fn message(&mut self, s: &Statement<'_>) -> Option<MessageUse> {
        let mut reader = self.reader(s);
        Some(MessageUse {
            name: reader.word("message")?,
            bus: reader.reference("bus"),
            onto: None,
            sender: reader.reference("sender"),
            every: reader.figure("every"),
            id: reader.value("id"),
            claim: reader.claim(),
            span: s.span,
        })
    }
}

//! Parts and modules.

use trunnion_syntax::form::Statement;

use super::Lowering;
use crate::decl::{Contact, Diode, EndClass, Fitted, MessageUse, Part};
use crate::verdict::Problem;

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
            "contact to" => part.contacts.extend(self.contact(s)),
            "diode to" => {
                let mut reader = self.reader(s);
                if let (Some(a), Some(b)) = (reader.reference("a"), reader.reference("b")) {
                    let claim = reader.claim();
                    part.diodes.push(Diode { a, b, claim, span: s.span });
                }
            }
            "duty only when" | "duty never during" => part.duties.extend(self.state_duty(s)),
            "supplies from" => part.supplies = self.reader(s).word("state"),
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

    fn contact(&mut self, s: &Statement<'_>) -> Option<Contact> {
        let mut reader = self.reader(s);
        let (pulled, rest) = (reader.references("coil"), reader.references("rest"));
        let at_rest = !rest.is_empty();
        let coil = if at_rest { rest } else { pulled.clone() };
        let contact = Contact {
            a: reader.reference("a")?,
            b: reader.references("b"),
            when: reader.words("when"),
            coil,
            at_rest,
            claim: reader.claim(),
            span: s.span,
        };
        let wrong = match contact.coil.len() {
            0 | 2 if pulled.is_empty() || !at_rest => None,
            0 | 2 => Some("A contact is closed with its coil or without it, not both: write two lines."),
            _ => Some("A coil has two ends: `with coil K[1], K[2]`."),
        };
        if let Some(wrong) = wrong {
            self.problems.push(Problem::new("write/coil", s.span, wrong));
            return None;
        }
        Some(contact)
    }

    pub(super) fn fitted(&mut self, s: &Statement<'_>) -> Fitted {
        let mut reader = self.reader(s);
        Fitted {
            family: reader.reference("family"),
            from: reader.date("from").map(|it| it.value),
            to: reader.date("to").map(|it| it.value),
            with: reader.withs(),
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

//! Kinds, work, services and rules.

use trunnion_syntax::form::{AskedItem, Statement};

use super::Lowering;
use crate::decl::{Ask, Asked, Duty, EndClass, Kind, Offer, Rule, StateDuty, Torque, Work};
use crate::fact::Fact;
use crate::verdict::Problem;
use trunnion_syntax::tree::At;

impl Lowering {
    pub(super) fn kind(&mut self, s: &Statement<'_>) -> Kind {
        let mut kind = Kind { base: self.reader(s).reference("base"), ..Kind::default() };
        for inner in self.block("kind", s) {
            match inner.form.key.as_str() {
                "asks" => kind.asks.extend(self.asks(&inner)),
                "does" => kind.does.extend(self.duty(&inner)),
                "duty only when" | "duty never during" => kind.duties.extend(self.state_duty(&inner)),
                "supplies from" => kind.supplies = self.reader(&inner).word("state"),
                "comes with" => kind.comes_with.extend(self.reader(&inner).references("kinds")),
                "stays" => kind.stays.extend(self.reader(&inner).words("names")),
                "safety" => kind.safety.extend(self.reader(&inner).words("area")),
                "caution" => kind.cautions.extend(self.reader(&inner).words("names")),
                "medium" => kind.media.extend(self.reader(&inner).references("names")),
                _ => kind.facts.extend(self.frame(&inner)),
            }
        }
        kind
    }

    /// `frame unitary`, of a kind of vehicle.
    fn frame(&mut self, s: &Statement<'_>) -> Option<Fact> {
        let mut reader = self.reader(s);
        let values = reader.values("value");
        let name = At { value: "frame".into(), span: s.span };
        Some(Fact { target: Vec::new(), name, values, bound: None, claim: reader.claim(), span: s.span })
    }

    fn asks(&mut self, s: &Statement<'_>) -> Vec<Ask> {
        let items: Vec<AskedItem> = s.asked("asked");
        let mut reader = self.reader(s);
        let carrying = reader.reference("medium");
        let find_out = reader.find_out();
        let because = reader.claim().because;
        items
            .into_iter()
            .map(|it| Ask {
                asked: match it.class.as_deref() {
                    Some("signal") => Asked::Signal(it.name),
                    Some("chain") => Asked::Chain(it.name),
                    Some(word) => match EndClass::from_word(word) {
                        Some(class) => Asked::End(class, it.name),
                        None => Asked::Measure(it.name),
                    },
                    None => Asked::Measure(it.name),
                },
                title: it.title,
                carrying: carrying.clone(),
                find_out: find_out.clone(),
                because: because.clone(),
                span: s.span,
            })
            .collect()
    }

    pub(super) fn duty(&mut self, s: &Statement<'_>) -> Option<Duty> {
        let mut reader = self.reader(s);
        Some(Duty {
            name: reader.word("name")?,
            text: reader.text("text")?.value,
            listeners: reader.references("listeners"),
            through: reader.reference("end"),
            span: s.span,
        })
    }

    pub(super) fn state_duty(&mut self, s: &Statement<'_>) -> Option<StateDuty> {
        let mut reader = self.reader(s);
        Some(StateDuty {
            signal: reader.word("signal")?,
            only: reader.words("when"),
            during: reader.words("states"),
            claim: reader.claim(),
            span: s.span,
        })
    }

    pub(super) fn work(&mut self, s: &Statement<'_>, service: bool) -> Work {
        let mut work = Work { service, ..Work::default() };
        for inner in self.block("work", s) {
            let key = inner.form.key.as_str();
            if self.offer_statement(&mut work.offer, &inner) {
                continue;
            }
            let mut reader = self.reader(&inner);
            match key {
                "takes" => work.takes = reader.figure("time"),
                "hands" => work.hands = reader.count("count").map(|it| it.value),
                "opens" => work.opens.extend(reader.words("names")),
                "reached only in" => work.reached_in.extend(reader.words("access")),
                "on" => work.on.extend(reader.references("places")),
                "after" => work.after.extend(reader.references("works")),
                "caution" => work.cautions.extend(reader.words("names")),
                "torque" => {
                    if let (Some(what), Some(torque)) = (reader.text("what"), reader.figure("torque")) {
                        let (claim, span) = (reader.claim(), inner.span);
                        work.torques.push(Torque { what: what.value, torque, claim, span });
                    }
                }
                "no way back" => work.no_way_back = true,
                "needs" => work.needs.extend(reader.need("condition")),
                _ => work.facts.extend(reader.fact()),
            }
        }
        work
    }

    /// Reads `offer`, `wait`, `stock`, `drawback` and the condition words; false for other statements.
    pub(super) fn offer_statement(&mut self, offer: &mut Option<Offer>, s: &Statement<'_>) -> bool {
        let key = s.form.key.as_str();
        if !matches!(key, "offer" | "wait" | "stock" | "drawback" | "flag") {
            return false;
        }
        let mut reader = self.reader(s);
        if key == "flag" {
            let Some(word) = reader.word("flag") else { return false };
            if !matches!(word.value.as_str(), "new" | "used" | "reproduction" | "remanufactured") {
                return false;
            }
            offer.get_or_insert_default().condition = Some(word.value);
            return true;
        }
        let claim = reader.claim();
        let into = offer.get_or_insert_default();
        match key {
            "offer" => {
                into.price = reader.figure("price");
                into.seller = reader.text("seller").map(|it| it.value);
                into.claim = claim;
                into.span = s.span;
            }
            "wait" => into.wait = reader.figure("time"),
            "stock" => into.stock = reader.count("count").map(|it| it.value),
            _ => into.drawbacks.extend(reader.text("text").map(|it| it.value)),
        }
        true
    }

    pub(super) fn rule(&mut self, s: &Statement<'_>) -> Rule {
        let mut rule = Rule::default();
        for inner in self.block("rule", s) {
            let mut reader = self.reader(&inner);
            match inner.form.key.as_str() {
                "when" => rule.when.extend(reader.need("condition")),
                "needs" => rule.needs.extend(reader.need("condition")),
                "before" => rule.gate = reader.gate("gate"),
                "safety" => rule.safety.extend(reader.words("area")),
                _ => rule.because = reader.claim().because.or(reader.text("because").map(|it| it.value)),
            }
            if rule.because.is_none() {
                rule.because = self.reader(&inner).claim().because;
            }
        }
        if rule.because.is_none() {
            rule.because = self.reader(s).claim().because;
        }
        if rule.needs.is_empty() && s.block.is_some() {
            self.problems.push(Problem::new(
                "write/missing",
                s.span,
                "This rule says nothing that must hold: add a line `needs …`.",
            ));
        }
        rule
    }
}

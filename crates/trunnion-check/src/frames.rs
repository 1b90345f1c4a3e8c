//! The messages of a data network as frames: how often, how long, of what rank.

use trunnion_handbook::quantity::Quantity;
use trunnion_handbook::registry;
use trunnion_model::db::Site;
use trunnion_model::decl::MessageUse;
use trunnion_model::fact::{Found, Known, Value};
use trunnion_model::known;
use trunnion_model::name::{Id, Space};
use trunnion_model::verdict::{Fix, Question};
use trunnion_model::world::Place;

use crate::bus::{Bus, is_on, named, senders};
use crate::ctx::{Ctx, question};
use crate::sum::Sum;

/// A message as one place puts it on a bus.
pub struct Frame<'a> {
    /// The message.
    pub name: String,
    /// Who puts it there.
    pub place: &'a Place,
    /// The part that states it first.
    pub id: Id,
    /// Where it is stated.
    pub site: Site,
    /// Whether whatever sits there sends it for certain.
    pub sure: bool,
    /// How often; none where nobody stated it of one of the candidates.
    pub every: Option<Quantity>,
    /// Its identifier.
    pub identifier: Option<u32>,
    /// What it rests on.
    pub claims: Vec<Found>,
    /// The parts on the bus that send or hear it.
    told_by: Vec<Id>,
}

/// The messages on a bus after the changes, in the order in which they are stated.
pub fn frames<'b>(ctx: &Ctx<'_>, all: &'b [Bus<'b>], bus: &'b Bus<'b>) -> Vec<Frame<'b>> {
    let mut names: Vec<&str> = Vec::new();
    for node in &bus.nodes {
        let sends = node.part.sends.iter().filter(|it| it.bus.is_none() || named(it.bus.as_ref(), bus));
        let passes = node.part.passes.iter().filter(|it| named(it.onto.as_ref(), bus));
        for it in sends.chain(passes).map(|it| it.name.value.as_str()) {
            if !names.contains(&it) {
                names.push(it);
            }
        }
    }
    let mut frames: Vec<Frame<'b>> = Vec::new();
    for name in names {
        let told_by: Vec<Id> =
            bus.nodes.iter().filter(|it| speaks_of(it.part, name)).map(|it| it.id).collect();
        for sender in senders(all, bus, name, 0).0 {
            let every = sender.claims.iter().find_map(|(_, it)| it.every);
            let identifier = sender.claims.iter().find_map(|(_, it)| it.id.as_ref().and_then(identifier));
            let claims = sender.claims.iter().map(|(id, it)| said(ctx, *id, it));
            let known = frames.iter_mut().find(|it| it.name == name && it.place.name == sender.place.name);
            if let Some(frame) = known {
                frame.every = frame.every.zip(every).and_then(|(a, b)| either(a, b));
                frame.identifier = frame.identifier.filter(|it| Some(*it) == identifier);
                frame.claims.extend(claims);
                continue;
            }
            let (id, first) = sender.claims[0];
            let candidates = sender.place.after.parts();
            let each =
                |it: &Id| ctx.part(*it).is_some_and(|part| is_on(part, bus.name()) && sends(part, name));
            let mut told_by = told_by.clone();
            told_by.extend(
                sender
                    .claims
                    .iter()
                    .map(|(id, _)| *id)
                    .filter(|it| !told_by.contains(it))
                    .collect::<Vec<_>>(),
            );
            frames.push(Frame {
                name: name.to_owned(),
                place: sender.place,
                id,
                site: id.site(first.span),
                sure: candidates.iter().all(each),
                every,
                identifier,
                claims: claims.collect(),
                told_by,
            });
        }
    }
    frames
}

fn sends(part: &trunnion_model::decl::Part, name: &str) -> bool {
    part.sends.iter().chain(&part.passes).any(|it| it.name.value == name)
}

fn speaks_of(part: &trunnion_model::decl::Part, name: &str) -> bool {
    sends(part, name) || part.hears.iter().any(|it| it.name.value == name)
}

fn said(ctx: &Ctx<'_>, id: Id, it: &MessageUse) -> Found {
    known::said(ctx.db, ctx.workspace, id, &it.claim, it.span)
}

/// The range that takes in both.
fn either(a: Quantity, b: Quantity) -> Option<Quantity> {
    let (low, high) = if a.lo() <= b.lo() { (a, b) } else { (b, a) };
    if a == b { Some(a) } else { Quantity::between(&low, &high).ok() }
}

/// An identifier as a number: `"0x1A0"`, `416`.
fn identifier(value: &Value) -> Option<u32> {
    if let Some(figure) = value.quantity().filter(|it| it.dimension().is_plain() && it.is_exact()) {
        let number = figure.nominal();
        // Whole and within 29 bits.
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        return (number.fract() == 0.0 && (0.0..536_870_912.0).contains(&number)).then_some(number as u32);
    }
    let text = value.word()?.trim().to_lowercase();
    let number = match text.strip_prefix("0x") {
        Some(hex) => u32::from_str_radix(hex, 16).ok(),
        None => text.parse().ok(),
    };
    number.filter(|it| *it < 1 << 29)
}

impl Frame<'_> {
    /// As it is shown: "torque cut".
    pub fn shown(&self) -> String {
        self.name.replace('_', " ")
    }

    /// What the modules on the bus state of it: `data_bytes`, `deadline`, `jitter`, `slot`.
    pub fn stated(&self, ctx: &Ctx<'_>, measure: &str) -> Known {
        let of = |id: &Id| known::of_part_about(ctx.db, ctx.workspace, *id, &self.name, measure);
        Known::settle(self.told_by.iter().flat_map(|it| of(it).claims().to_vec()).collect())
    }

    /// A figure that modules on the bus state of it, into a sum; open where nobody did.
    pub fn figure(&self, ctx: &Ctx<'_>, sum: &mut Sum<'_, '_>, measure: &str) -> Option<Quantity> {
        let known = self.stated(ctx, measure);
        self.figure_of(ctx, sum, measure, &known)
    }

    /// The same where it may be left out: not stated is no lack, disputed is.
    pub fn maybe(&self, ctx: &Ctx<'_>, sum: &mut Sum<'_, '_>, measure: &str) -> Option<Quantity> {
        match self.stated(ctx, measure) {
            Known::Unknown | Known::Nothing(_) => None,
            known => self.figure_of(ctx, sum, measure, &known),
        }
    }

    fn figure_of(
        &self,
        ctx: &Ctx<'_>,
        sum: &mut Sum<'_, '_>,
        measure: &str,
        known: &Known,
    ) -> Option<Quantity> {
        let unit = if ["deadline", "jitter", "slot", "delay"].contains(&measure) { " ms" } else { "" };
        let statement = format!("{}.{measure} …{unit}", self.name);
        let question = self.question(ctx, sum, measure, &statement);
        let found = sum.settle_with(known, question, self.fix(ctx, &statement))?;
        if found.quantity().is_none() {
            sum.refuse(format!(
                "the {} of {} is {}",
                measure.replace('_', " "),
                self.shown(),
                found.display()
            ));
        }
        found.quantity()
    }

    /// How often it is sent, into a sum; open where nobody stated it.
    pub fn period(&self, ctx: &Ctx<'_>, sum: &mut Sum<'_, '_>) -> Option<Quantity> {
        if self.every.is_none() {
            let question = self.question(ctx, sum, "every", "sends … every … ms");
            sum.lacks(format!("how often {} is sent", self.shown()), question);
        }
        self.every
    }

    /// Asks for its identifier.
    pub fn lacks_identifier(&self, ctx: &Ctx<'_>, sum: &mut Sum<'_, '_>) {
        let statement = format!("sends {} …, id \"…\"", self.name);
        let question = self.question(ctx, sum, "identifier", &statement);
        sum.lacks(format!("the identifier of {}", self.shown()), question);
    }

    fn question(&self, ctx: &Ctx<'_>, sum: &Sum<'_, '_>, measure: &str, statement: &str) -> Question {
        let declared = known::measure(ctx.db, ctx.workspace, ctx.world.root(), measure);
        let mut find_out = declared.map(|it| it.find_out.clone()).unwrap_or_default();
        find_out.tool = find_out.tool.or_else(|| Some("workshop data, or a bus reader".into()));
        let title = match ctx.find(ctx.world.root(), Space::Measure, measure) {
            Some(_) => measure.replace('_', " "),
            None if measure == "every" => "period".to_owned(),
            None => measure.to_owned(),
        };
        let what = format!("the {title} of the message {}", self.shown());
        let mut question = question(what, &find_out, sum.hangs());
        question.type_in = Some(format!("in module {}: {statement}", self.id.name(ctx.db)));
        question
    }

    fn fix(&self, ctx: &Ctx<'_>, statement: &str) -> Option<Fix> {
        let edit = ctx.insert(self.id, statement)?;
        let what = statement.split(' ').next().unwrap_or_default().replace('_', " ").replace('.', ": ");
        Some(Fix { title: format!("state {what} in {}", self.id.shown(ctx.db)), edits: vec![edit] })
    }

    /// The data bytes, at least and at most; a classic frame holds at most 8, whoever states nothing.
    pub fn bytes(&self, ctx: &Ctx<'_>, sum: &mut Sum<'_, '_>) -> Option<(Quantity, bool)> {
        match self.stated(ctx, "data_bytes") {
            Known::Unknown => Some((Quantity::range(0.0, 8.0, "").ok()?, false)),
            known => Some((self.figure_of(ctx, sum, "data_bytes", &known)?, true)),
        }
    }

    /// How long it is on the wire, at least and at most in seconds. An identifier that nobody stated
    /// may have 11 bits or 29.
    pub fn time(&self, sum: &mut Sum<'_, '_>, bytes: Quantity, rate: Quantity) -> Option<(f64, f64)> {
        let (short, long) = match self.identifier {
            Some(it) if it > 0x7FF => (29.0, 29.0),
            Some(_) => (11.0, 11.0),
            None => (11.0, 29.0),
        };
        let least = time_of(sum, "can_frame_time", &[end(bytes.lo())?, end(short)?, rate])?;
        let most = time_of(sum, "can_frame_time", &[end(bytes.hi())?, end(long)?, rate])?;
        Some((least.lo(), most.hi()))
    }
}

fn end(number: f64) -> Option<Quantity> {
    Quantity::number(number).ok()
}

/// A time from the handbook without its formula: a bus has too many frames to show each.
fn time_of(sum: &mut Sum<'_, '_>, name: &str, arguments: &[Quantity]) -> Option<Quantity> {
    let function = registry::function(name)?;
    match function.call(arguments) {
        Ok(made) => {
            for source in function.sources {
                sum.source(source.to_string());
            }
            Some(made.value)
        }
        Err(error) => {
            sum.refuse(error.to_string());
            None
        }
    }
}

/// The speed of a bus, into a sum; open where nobody stated it.
pub fn rate(ctx: &Ctx<'_>, sum: &mut Sum<'_, '_>, bus: &Bus<'_>) -> Option<Quantity> {
    let mut found = known::said(ctx.db, ctx.workspace, bus.id, &bus.decl.claim, bus.decl.span);
    if let Some(rate) = bus.decl.rate {
        found.values = vec![Value {
            kind: trunnion_model::fact::ValueKind::Quantity(rate),
            per: None,
            span: bus.decl.span,
        }];
        sum.rests_on(&found);
        return Some(rate);
    }
    let declared = known::measure(ctx.db, ctx.workspace, ctx.world.root(), "can_rate");
    let find_out = declared.map(|it| it.find_out.clone()).unwrap_or_default();
    let mut question = question(format!("the bit rate of {}", bus.shown()), &find_out, sum.hangs());
    question.type_in = Some(format!("bus {} is {} at … kbit/s", bus.name(), bus.decl.protocol.value));
    sum.lacks(format!("the bit rate of {}", bus.shown()), question);
    None
}

/// How far the start of a message may wander: as stated, or as the `basis` says for all of which
/// nobody stated it.
pub fn jitter(ctx: &Ctx<'_>, sum: &mut Sum<'_, '_>, frame: &Frame<'_>) -> Option<Quantity> {
    if let Some(stated) = frame.maybe(ctx, sum, "jitter") {
        return Some(stated);
    }
    match ctx.basis("bus_jitter") {
        Known::Unknown => frame.figure(ctx, sum, "jitter"),
        _ => sum.basis("bus_jitter", ""),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use trunnion_model::fact::ValueKind;
    use trunnion_syntax::tree::Span;

    fn text(it: &str) -> Value {
        Value { kind: ValueKind::Text(it.into()), per: None, span: Span::default() }
    }

    #[test]
    fn identifiers_as_they_are_written() {
        assert_eq!(identifier(&text("0x1A0")), Some(416));
        assert_eq!(identifier(&text("416")), Some(416));
        assert_eq!(identifier(&text("0x18FEF100")), Some(0x18FE_F100));
        assert_eq!(identifier(&text("0x20000000")), None, "more than 29 bits");
        assert_eq!(identifier(&text("torque")), None);
        let number = ValueKind::Quantity(Quantity::number(416.0).unwrap());
        assert_eq!(identifier(&Value { kind: number, ..text("") }), Some(416));
    }
}

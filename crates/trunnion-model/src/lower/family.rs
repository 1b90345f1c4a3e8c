//! Families and schemes, and what vehicles and conversions share with them.

use trunnion_syntax::form::Statement;

use super::Lowering;
use crate::decl::{BusDecl, Family, Feed, Holds, JointDecl, Line, Loom, PlaceDecl, Run, Wire};
use crate::fact::{Fact, Ref};
use trunnion_syntax::tree::{At, Name};

impl Lowering {
    pub(super) fn family_statement(&mut self, family: &mut Family, s: &Statement<'_>) {
        match s.form.key.as_str() {
            "built" => {
                let mut reader = self.reader(s);
                if let Some(from) = reader.date("from") {
                    let to = reader.date("to").map_or(from.value, |it| it.value);
                    family.built = Some((from.value, to));
                }
            }
            "driven" => family.driven = self.reader(s).word("axle").map(|it| it.value),
            "frame" => family.frame = self.reader(s).word("frame").map(|it| it.value),
            "option is" => {
                let mut reader = self.reader(s);
                if let Some(name) = reader.word("name") {
                    let values = reader.words("values");
                    family.options.push((name, values));
                }
            }
            "place of" | "place" => family.places.extend(self.places(s)),
            "holds in" => {
                let mut reader = self.reader(s);
                if let (Some(kind), Some(place)) = (reader.reference("kind"), reader.reference("place")) {
                    let with = reader.with();
                    family.holds.push(Holds { kind, place, with });
                }
            }
            "joint to" => family.joints.extend(self.joint(s)),
            "line joins to" => family.lines.extend(self.line(s)),
            "bus is" => family.buses.extend(self.bus(s)),
            "zone" => family.zones.extend(self.reader(s).words("names")),
            "run to" => {
                let mut reader = self.reader(s);
                if let (Some(a), Some(b)) = (reader.reference("a"), reader.reference("b")) {
                    family.runs.push(Run {
                        a,
                        b,
                        length: reader.figure("length"),
                        through: reader.word("through"),
                        bore: reader.figure("bore"),
                        effort: reader.word("effort"),
                        span: s.span,
                    });
                }
            }
            "feed is from" => family.feeds.extend(self.feed(s)),
            "ground at" => family.grounds.extend(self.ground(s)),
            "state" => {
                let mut reader = self.reader(s);
                let like = reader.word("like");
                family.states.extend(reader.words("names").into_iter().map(|it| (it, like.clone())));
            }
            _ => family.figures.extend(self.reader(s).fact()),
        }
    }

    pub(super) fn bus(&mut self, s: &Statement<'_>) -> Option<BusDecl> {
        let mut reader = self.reader(s);
        Some(BusDecl {
            name: reader.word("name")?,
            protocol: reader.word("protocol")?,
            rate: reader.figure("rate"),
            claim: reader.claim(),
            span: s.span,
        })
    }

    pub(super) fn places(&mut self, s: &Statement<'_>) -> Vec<PlaceDecl> {
        let mut reader = self.reader(s);
        let sides = reader.flag("both sides");
        let count = match reader.statement.figure("count") {
            Some(_) => reader.count("count").map_or(1, |it| it.value.max(1)),
            None if sides => 2,
            None => 1,
        };
        let (kind, zone, with) = (reader.reference("kind"), reader.reference("zone"), reader.with());
        reader
            .words("names")
            .into_iter()
            .map(|name| PlaceDecl {
                name,
                count,
                sides,
                kind: kind.clone(),
                zone: zone.clone(),
                with: with.clone(),
            })
            .collect()
    }

    pub(super) fn joint(&mut self, s: &Statement<'_>) -> Option<JointDecl> {
        let mut reader = self.reader(s);
        Some(JointDecl {
            a: reader.reference("a")?,
            b: reader.reference("b")?,
            with: reader.with(),
            claim: reader.claim(),
            span: s.span,
        })
    }

    pub(super) fn line(&mut self, s: &Statement<'_>) -> Option<Line> {
        let facts = self.facts(s);
        let mut reader = self.reader(s);
        Some(Line {
            name: reader.word("name")?,
            title: reader.text("title").map(|it| it.value),
            of: reader.reference("of"),
            a: reader.reference("a")?,
            b: reader.reference("b")?,
            bore: reader.figure("size"),
            medium: reader.reference("medium"),
            length: reader.figure("length"),
            pressure: reader.figure("pressure"),
            temperature: reader.figure("temperature"),
            with: reader.with(),
            facts,
            claim: reader.claim(),
            span: s.span,
        })
    }

    pub(super) fn feed(&mut self, s: &Statement<'_>) -> Option<Feed> {
        let mut reader = self.reader(s);
        Some(Feed {
            name: reader.word("name")?,
            of: reader.reference("of"),
            voltage: reader.figure("voltage"),
            state: reader.word("state"),
            fuse: reader.figure("fuse"),
            zone: reader.reference("zone"),
            claim: reader.claim(),
            span: s.span,
        })
    }

    pub(super) fn ground(&mut self, s: &Statement<'_>) -> Option<(At<Name>, Ref)> {
        let mut reader = self.reader(s);
        Some((reader.word("name")?, reader.reference("zone")?))
    }

    pub(super) fn wire(&mut self, s: &Statement<'_>) -> Option<Wire> {
        let mut reader = self.reader(s);
        Some(Wire {
            a: reader.reference("a")?,
            b: reader.reference("b")?,
            size: reader.figure("size"),
            colour: reader.word("colour"),
            zones: reader.references("zones"),
            length: reader.figure("length"),
            claim: reader.claim(),
            span: s.span,
        })
    }

    pub(super) fn splice_point(&mut self, s: &Statement<'_>) -> Option<(At<Name>, Option<Ref>)> {
        let mut reader = self.reader(s);
        Some((reader.word("name")?, reader.reference("zone")))
    }

    pub(super) fn loom(&mut self, s: &Statement<'_>) -> Loom {
        let mut loom = Loom { of: self.reader(s).reference("of"), ..Loom::default() };
        for inner in self.block("loom", s) {
            match inner.form.key.as_str() {
                "fitted" => loom.fitted.push(self.fitted(&inner)),
                "splice" => loom.splices.extend(self.splice_point(&inner)),
                "twisted with" => {
                    let mut reader = self.reader(&inner);
                    if let (Some(a), Some(b)) = (reader.reference("a"), reader.reference("b")) {
                        loom.twisted.push((a, b));
                    }
                }
                _ => loom.wires.extend(self.wire(&inner)),
            }
        }
        loom
    }

    /// The facts in the block of a statement.
    pub(super) fn facts(&mut self, s: &Statement<'_>) -> Vec<Fact> {
        self.block("facts", s).iter().filter_map(|inner| self.reader(inner).fact()).collect()
    }
}

//! Patterns, connectors and the ends of parts.

use trunnion_syntax::form::Statement;

use super::Lowering;
use crate::decl::{Cavity, Connector, Dowels, End, EndClass, Geometry, Holes, Register, Side, Spline};

fn side(male: bool, female: bool) -> Option<Side> {
    match (male, female) {
        (true, false) => Some(Side::Male),
        (false, true) => Some(Side::Female),
        _ => None,
    }
}

impl Lowering {
    pub(super) fn geometry(&mut self, s: &Statement<'_>) -> Geometry {
        let mut geometry = Geometry::default();
        for inner in self.block("pattern", s) {
            let span = inner.span;
            let mut reader = self.reader(&inner);
            match inner.form.key.as_str() {
                "holes on" => {
                    if let (Some(count), Some(circle)) = (reader.count("count"), reader.figure("circle")) {
                        geometry.holes.push(Holes {
                            count,
                            circle,
                            thread: reader.thread("thread").map(|it| it.value),
                            bore: reader.figure("bore"),
                            claim: reader.claim(),
                            span,
                        });
                    }
                }
                "thread" => {
                    geometry.thread = reader.thread("thread");
                    geometry.side = geometry.side.or(side(reader.flag("male"), reader.flag("female")));
                    // `holes 6 on 76 mm, thread M12x1.5`: the thread is that of the holes.
                    if let (Some(thread), Some(holes)) = (&geometry.thread, geometry.holes.last_mut())
                        && holes.thread.is_none()
                        && holes.bore.is_none()
                    {
                        holes.thread = Some(thread.value.clone());
                    }
                }
                "register" => {
                    if let Some(size) = reader.figure("size") {
                        geometry.registers.push(Register {
                            size,
                            class: reader.word("fit"),
                            claim: reader.claim(),
                            span,
                        });
                    }
                }
                "dowels" => {
                    if let Some(count) = reader.count("count") {
                        geometry.dowels = Some(Dowels {
                            count: count.value,
                            circle: reader.figure("circle"),
                            size: reader.figure("size"),
                            span,
                        });
                    }
                }
                "spline" => {
                    if let Some(standard) = reader.value("standard") {
                        geometry.spline = Some(Spline {
                            standard,
                            teeth: match reader.statement.figure("teeth") {
                                Some(_) => reader.count("teeth").map(|it| it.value),
                                None => None,
                            },
                            module: reader.figure("module"),
                            pitch: reader.value("pitch"),
                            angle: reader.figure("angle"),
                            size: reader.figure("size"),
                            engaged: reader.figure("engaged"),
                            claim: reader.claim(),
                            span,
                        });
                    }
                }
                "flare" => {
                    if let Some(form) = reader.value("form") {
                        let angle = reader.figure("angle");
                        geometry.flare = Some((form, angle));
                    }
                }
                "flag" => match reader.word("flag") {
                    Some(it) if it.value == "male" => geometry.side = Some(Side::Male),
                    Some(it) if it.value == "female" => geometry.side = Some(Side::Female),
                    Some(it) => geometry.flags.push(it),
                    None => {}
                },
                _ => geometry.facts.extend(reader.fact()),
            }
        }
        geometry
    }

    pub(super) fn connector(&mut self, s: &Statement<'_>) -> Connector {
        let mut connector = Connector::default();
        for inner in self.block("connector", s) {
            let mut reader = self.reader(&inner);
            match inner.form.key.as_str() {
                "cavities" => connector.cavities = reader.count("count"),
                "cavity terminal" => {
                    if let (Some(n), Some(terminal)) = (reader.count("n"), reader.reference("terminal")) {
                        connector.special.push((n.value, terminal));
                    }
                }
                "terminal" => connector.terminal = reader.reference("terminal"),
                "mates" => connector.mates = reader.reference("other"),
                "keying" => connector.keying = reader.value("keying"),
                "flag" => match reader.word("flag").as_ref().map(|it| it.value.as_str()) {
                    Some("male") => connector.side = Some(Side::Male),
                    Some("female") => connector.side = Some(Side::Female),
                    Some("sealed") => connector.sealed = true,
                    _ => connector.facts.extend(reader.fact()),
                },
                _ => connector.facts.extend(reader.fact()),
            }
        }
        connector
    }

    /// An end of a part: `face tail is flange_96`.
    pub(super) fn end(&mut self, s: &Statement<'_>) -> Option<End> {
        let key = s.form.key.as_str();
        let (word, absent) = match key.strip_suffix(" none") {
            Some(word) => (word, true),
            None => (key, false),
        };
        let class = EndClass::from_word(word)?;
        let geometry = if class == EndClass::Plug { Geometry::default() } else { self.geometry(s) };
        let cavities = if class == EndClass::Plug { self.cavities(s) } else { Vec::new() };
        let mut reader = self.reader(s);
        Some(End {
            class,
            name: reader.word("name")?,
            title: reader.text("title").map(|it| it.value),
            absent,
            is: reader.reference("pattern").or_else(|| reader.reference("connector")),
            side: side(reader.flag("male"), reader.flag("female")).or(geometry.side),
            geometry,
            carrying: reader.reference("medium"),
            zone: reader.reference("zone"),
            cavities,
            claim: reader.claim(),
            span: s.span,
        })
    }

    fn cavities(&mut self, s: &Statement<'_>) -> Vec<Cavity> {
        let mut cavities = Vec::new();
        for inner in self.block("plug", s) {
            let empty = inner.form.key.ends_with("empty");
            let mut reader = self.reader(&inner);
            let Some(number) = reader.count("cavity") else { continue };
            let role = if empty {
                trunnion_syntax::tree::At { value: "empty".into(), span: inner.span }
            } else {
                match reader.word("role") {
                    Some(role) => role,
                    None => continue,
                }
            };
            cavities.push(Cavity {
                number,
                role,
                what: reader.reference("what"),
                volts: reader.figure("volts"),
                draw: reader.figure("draw"),
                gives: reader.figure("gives"),
                out: match (reader.flag("in"), reader.flag("out")) {
                    (_, true) => Some(true),
                    (true, false) => Some(false),
                    _ => None,
                },
                terminal: reader.reference("terminal"),
                claim: reader.claim(),
                span: inner.span,
            });
        }
        cavities
    }
}

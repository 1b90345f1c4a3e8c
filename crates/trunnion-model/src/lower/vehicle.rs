//! Vehicles.

use trunnion_syntax::form::Statement;

use super::Lowering;
use crate::decl::{Has, Vehicle};

impl Lowering {
    pub(super) fn vehicle(&mut self, s: &Statement<'_>) -> Vehicle {
        let mut vehicle = Vehicle { family: self.reader(s).reference("family"), ..Vehicle::default() };
        for inner in self.block("vehicle", s) {
            self.vehicle_statement(&mut vehicle, &inner);
        }
        vehicle
    }

    fn vehicle_statement(&mut self, vehicle: &mut Vehicle, s: &Statement<'_>) {
        match s.form.key.as_str() {
            "kind" => vehicle.kind = self.reader(s).reference("kind"),
            "driven" => vehicle.driven = self.reader(s).word("axle"),
            "built" => {
                let mut reader = self.reader(s);
                let to = reader.date("to").map(|it| it.value);
                vehicle.built = reader.date("from").map(|it| (it, to));
                vehicle.built_claim = reader.claim();
            }
            "price" => {
                let mut reader = self.reader(s);
                vehicle.price = reader.figure("price");
                if let Some(by) = reader.date("by") {
                    vehicle.ask_by = Some(by.value);
                }
            }
            "ask by" => vehicle.ask_by = self.reader(s).date("by").map(|it| it.value),
            "tyre" => {
                let mut reader = self.reader(s);
                let claim = reader.claim();
                vehicle.tyre = reader.tyre("tyre").map(|it| (it, claim));
            }
            "has none" | "has" => {
                let mut reader = self.reader(s);
                if let Some(place) = reader.reference("place") {
                    let (part, claim) = (reader.reference("part"), reader.claim());
                    vehicle.has.push(Has { place, part, claim, span: s.span });
                }
            }
            "lost" => {
                let mut reader = self.reader(s);
                if let Some(place) = reader.reference("place") {
                    let end = reader.word("end");
                    vehicle.lost.push((place, end));
                }
            }
            "joint to" => vehicle.joints.extend(self.joint(s)),
            "line joins to" => vehicle.lines.extend(self.line(s)),
            "wire to" => vehicle.wires.extend(self.wire(s)),
            "feed is from" => vehicle.feeds.extend(self.feed(s)),
            "splice" => vehicle.splices.extend(self.splice_point(s)),
            "ground at" => vehicle.grounds.extend(self.ground(s)),
            _ => {
                let Some(fact) = self.reader(s).fact() else { return };
                if fact.target.is_empty() {
                    vehicle.facts.push(fact);
                } else {
                    vehicle.figures.push(fact);
                }
            }
        }
    }
}

//! # plug/terminal
//!
//! Each terminal at the end of a new or moved wire takes its size, carries its current, seals on its
//! insulation, and meets a contact of the same plating.
//!
//! ## Why it matters
//!
//! A crimp on too thin a wire holds until the first winter; a seal that does not close lets the salt in;
//! tin against gold wears to powder. All three are open circuits that come and go.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! terminal blade_28 { wire size 0.5 mm2 to 1.0 mm2, rating 10 A }
//! connector shell2 { cavities 2, terminal blade_28 }
//! family Curlew { built 2015-02 to 2020-11, place heater, zone cab
//!   feed F9 is 12 V from battery, fuse 15 A, at cab }
//! part fan fills heater { plug H is shell2 { 1 supply 12 V draw 8 A, 2 ground } }
//! vehicle camper is Curlew { built 2017-08 }
//! conversion warm { recipient camper, fit fan
//!   wire F9 to heater.H[1] 2.5 mm2 RD by cab }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! terminal blade_28 { wire size 0.5 mm2 to 1.0 mm2, rating 10 A }
//! connector shell2 { cavities 2, terminal blade_28 }
//! family Curlew { built 2015-02 to 2020-11, place heater, zone cab
//!   feed F9 is 12 V from battery, fuse 15 A, at cab }
//! part fan fills heater { plug H is shell2 { 1 supply 12 V draw 8 A, 2 ground } }
//! vehicle camper is Curlew { built 2017-08 }
//! conversion warm { recipient camper, fit fan
//!   wire F9 to heater.H[1] 1 mm2 RD by cab }
//! ```
//!
//! ## References
//!
//! Sizes, rating and seal of the terminal: stated data. Outside diameter of a wire: ISO 6722-1 (2011, from
//! memory, unverified), thin wall, where the `cable` of the `basis` is that; of a size between two, the
//! larger. Like plating on like: common practice, no source.

use trunnion_handbook::quantity::{Quantity, Truth};
use trunnion_model::decl::Body;
use trunnion_model::fact::{Fact, Found, Known};
use trunnion_model::known;
use trunnion_model::name::{Id, Space};
use trunnion_model::verdict::Verdict;
use trunnion_model::world::{When, WireEnd};

use crate::check::{Check, Judge};
use crate::ctx::{Ctx, capital, trimmed};
use crate::loads::cable::cable;
use crate::loads::told::{Told, next_size, resize, said};
use crate::loads::{Loads, concerned, is_splice};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "plug/terminal", source: include_str!("plug_terminal.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let loads = Loads::of(ctx, When::After);
    let mut told = Vec::new();
    for wire in concerned(ctx, &loads) {
        let it = &ctx.world.wires[wire];
        for end in [&it.a, &it.b] {
            told.extend(Contact::of(ctx, end).and_then(|contact| contact.judge(&loads, wire)));
        }
    }
    said(ctx, told, |count| format!("Each of {count} terminals takes its wire"))
}

/// A terminal in its cavity.
struct Contact<'c, 'a> {
    ctx: &'c Ctx<'a>,
    subject: String,
    id: Id,
    facts: &'a [Fact],
    /// The terminal that it meets.
    mate: Option<(Id, &'a [Fact])>,
}

fn terminal<'a>(ctx: &Ctx<'a>, id: Id) -> Option<&'a [Fact]> {
    match &id.decl(ctx.db)?.body {
        Body::Terminal(facts) => Some(facts),
        _ => None,
    }
}

impl<'c, 'a> Contact<'c, 'a> {
    fn of(ctx: &'c Ctx<'a>, end: &WireEnd) -> Option<Self> {
        let WireEnd::Cavity(at, n) = end else { return None };
        let part = ctx.world.place(&at.place)?.after.part()?;
        let plug = ctx.part(part)?.end(&at.end)?;
        let housing = plug.is.as_ref().and_then(|it| ctx.find(part, Space::Connector, it.head()));
        let of_housing = |housing: Id| {
            let Body::Connector(it) = &housing.decl(ctx.db)?.body else { return None };
            let special = it.special.iter().find(|(cavity, _)| cavity == n).map(|it| &it.1);
            ctx.find(housing, Space::Terminal, special.or(it.terminal.as_ref())?.head())
        };
        let own = plug.cavities.iter().find(|it| it.number.value == *n).and_then(|it| it.terminal.as_ref());
        let own = own.and_then(|it| ctx.find(part, Space::Terminal, it.head()));
        let id = own.or_else(|| of_housing(housing?))?;
        let mate = housing.and_then(|housing| {
            let Body::Connector(it) = &housing.decl(ctx.db)?.body else { return None };
            let mate = of_housing(ctx.find(housing, Space::Connector, it.mates.as_ref()?.head())?)?;
            Some((mate, terminal(ctx, mate)?))
        });
        Some(Self { ctx, subject: end.text(), id, facts: terminal(ctx, id)?, mate })
    }

    fn fact(&self, (id, facts): (Id, &[Fact]), name: &str) -> Known {
        let all = facts.iter().filter(|it| it.target.is_empty() && it.name.value == name);
        Known::settle(all.map(|it| known::as_found(self.ctx.db, self.ctx.workspace, id, it)).collect())
    }

    fn stated(&self, sum: &mut Sum<'_, '_>, name: &str) -> Option<Quantity> {
        let known = self.fact((self.id, self.facts), name);
        let question = crate::ctx::question(
            format!("the {} of {}", name.replace('_', " "), self.id.shown(self.ctx.db)),
            &Default::default(),
            sum.hangs(),
        );
        match known {
            Known::Unknown | Known::Nothing(_) => None,
            known => sum.settle_with(&known, question, None)?.quantity(),
        }
    }

    fn judge(&self, loads: &Loads<'_>, nth: usize) -> Option<Told> {
        let ctx = self.ctx;
        let wire = &ctx.world.wires[nth];
        let names = ["wire_size", "rating", "seal_range", "plating"];
        let begun = names.iter().any(|it| self.facts.iter().any(|fact| fact.name.value == *it));
        let size = wire.wire.size.filter(|_| begun && !is_splice(wire))?;
        let site = wire.id.site(wire.wire.span);
        let shown = self.id.shown(ctx.db);
        let (mut room, mut any) = (1.0_f64, false);
        let hangs = format!("whether the terminal at {} suits its wire", self.subject);
        let verdict = Sum::new(ctx, CHECK.name, &*self.subject, site, hangs).work(|sum| {
            let own: Found = known::said(ctx.db, ctx.workspace, wire.id, &wire.wire.claim, wire.wire.span);
            sum.rests_on(&own);
            let mut clear: Vec<String> = Vec::new();
            if let Some(window) = self.stated(sum, "wire_size") {
                any = true;
                let inside = size.inside(&window).unwrap_or(Truth::Maybe);
                let takes = format!("takes {}", window.display());
                if inside != Truth::Yes {
                    let next = next_size(&size, |it| it.inside(&window) == Ok(Truth::Yes));
                    sum.fix(next.and_then(|it| resize(ctx, wire, &it)));
                    let said = format!("{} at {} {takes}", shown, self.subject);
                    let needed = format!("its wire has {}", size.display());
                    return Some(Answer::told(inside, &said, &needed).need(window.display(), size.display()));
                }
                clear.push(takes);
            }
            if let Some(rating) = self.stated(sum, "rating")
                && let Some(amps) = loads.current(nth).and_then(|it| it.quantity()).filter(|it| it.hi() > 0.0)
            {
                any = true;
                loads.rests(ctx, nth).iter().for_each(|it| sum.rests_on(it));
                room = room.min(1.0 - amps.hi() / rating.hi());
                let carries = format!("carries {}", rating.display());
                if amps.at_most(&rating) != Ok(Truth::Yes) {
                    let said = format!("{} flow through {} at {}", amps.display(), shown, self.subject);
                    return Some(Answer::at_most(amps, rating, &said, &format!("it {carries}")));
                }
                clear.push(format!("{carries} where {} flow", amps.display()));
            }
            if let Some(range) = self.stated(sum, "seal_range")
                && ctx.basis("cable").best().is_some()
            {
                any = true;
                match cable(sum)?.diameter(&size) {
                    Err(why) => sum.refuse(why),
                    Ok((mm, of)) => {
                        sum.source(
                            "ISO 6722-1, 2011, thin wall, largest outside diameter (from memory, unverified)",
                        );
                        sum.formula(format!(
                            "{} mm² has {} mm at most over its insulation",
                            trimmed(of, 2),
                            trimmed(mm, 2)
                        ));
                        let over = Quantity::exact(mm, "mm").ok()?;
                        let seals = format!("seals on {}", range.display());
                        if over.inside(&range) != Ok(Truth::Yes) {
                            let said = format!("{} at {} {seals}", shown, self.subject);
                            return Some(Answer::inside(
                                over,
                                range,
                                &said,
                                &format!("its wire is {} mm wide", trimmed(mm, 2)),
                            ));
                        }
                        clear.push(seals);
                    }
                }
            }
            if let Some((words, same)) = self.plated(sum) {
                any = true;
                if !same {
                    return Some(Answer::told(
                        Truth::No,
                        &format!("{} at {} is plated with {}", shown, self.subject, words[0]),
                        &format!("what it meets has {}", words[1]),
                    ));
                }
                clear.push(format!("meets {} with {}", words[1], words[0]));
            }
            any |= sum.is_open();
            any.then_some(())?;
            let told = format!(
                "{} at {} {}; its wire has {}.",
                capital(&shown),
                self.subject,
                clear.join(", "),
                size.display()
            );
            Some(Answer::sentences(Truth::Yes, told.clone(), told))
        })?;
        any.then_some(Told { verdict, room })
    }

    /// The plating of both contacts, and whether it is the same; none where one is not stated.
    fn plated(&self, sum: &mut Sum<'_, '_>) -> Option<([String; 2], bool)> {
        let (own, other) = (self.fact((self.id, self.facts), "plating"), self.fact(self.mate?, "plating"));
        let (own, other) = (own.best()?, other.best()?);
        sum.rests_on(own);
        sum.rests_on(other);
        sum.source("like plating on like: common practice, no source");
        let words =
            [own, other].map(|it| it.values.first().and_then(|it| it.word()).unwrap_or_default().to_string());
        let same = words[0].eq_ignore_ascii_case(&words[1]);
        Some((words, same))
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::{Found, check};

    fn plug(terminal: &str, wires: &str) -> Found {
        let source = format!(
            r#"
source sheet "Data sheets" documented
basis {{ cable is iso_6722_thin_wall }}
terminal blade_28 "2.8 mm blade" {{ {terminal} }}
terminal pin_28 {{ plating "gold" }}
connector header2 {{ cavities 2, terminal pin_28 }}
connector shell2 {{ cavities 2, terminal blade_28, mates header2 }}
family Curlew {{ built 2015-02 to 2020-11, place heater, zone cab
  feed F9 is 12 V from battery, fuse 15 A, at cab
  ground G1 at cab }}
part fan fills heater {{ plug H is shell2 {{ 1 supply 12 V draw 8 A, 2 ground }} }}
vehicle camper is Curlew {{ built 2017-08 }}
conversion warm {{ recipient camper, fit fan
  {wires} }}"#
        );
        check("plug/terminal", &source)
    }

    #[test]
    fn what_takes_wire_current_and_insulation_is_clear() {
        let found = plug(
            "wire size 0.5 mm2 to 1.0 mm2, rating 10 A, seal range 1.4 mm to 2.2 mm",
            "wire F9 to heater.H[1] 1 mm2 RD by cab",
        );
        // ISO 6722-1, thin wall: 1 mm² has 2.1 mm at most.
        found.clear(
            "2.8 mm blade at heater.H[1] takes 0.5 to 1 mm², carries 10 A where 8 A flow, seals on 1.4 to \
             2.2 mm; its wire has 1 mm².",
        );
        assert_eq!(found.only().subject, "heater.H[1]");
    }

    #[test]
    fn a_size_outside_is_a_clash() {
        let found = plug("wire size 0.5 mm2 to 1.0 mm2", "wire F9 to heater.H[1] 2.5 mm2 RD by cab");
        found.clash("2.8 mm blade at heater.H[1] takes 0.5 to 1 mm², but its wire has 2.5 mm².");
        assert_eq!(found.text(), "wire F9 to heater.H[1] 2.5 mm2 RD by cab");
        let thin = plug("wire size 1.5 mm2 to 2.5 mm2", "wire F9 to heater.H[1] 1 mm2 RD by cab");
        assert!(thin.fixed(0).contains("heater.H[1] 1.5 mm2 RD"));
    }

    #[test]
    fn more_than_its_rating_and_too_thick_for_its_seal_are_clashes() {
        plug("rating 7.5 A", "wire F9 to heater.H[1] 1 mm2 RD by cab")
            .clash("8 A flow through 2.8 mm blade at heater.H[1], but it carries 7.5 A.");
        plug("seal range 1.2 mm to 1.9 mm", "wire F9 to heater.H[1] 1 mm2 RD by cab")
            .clash("2.8 mm blade at heater.H[1] seals on 1.2 to 1.9 mm, but its wire is 2.1 mm wide.");
    }

    #[test]
    fn tin_against_gold_is_a_clash() {
        plug("plating \"tin\"", "wire F9 to heater.H[1] 1 mm2 RD by cab")
            .clash("2.8 mm blade at heater.H[1] is plated with tin, but what it meets has gold.");
    }

    #[test]
    fn what_sources_dispute_is_open_and_what_states_nothing_is_silent() {
        let found = plug("rating 7.5 A per sheet, rating 10 A", "wire F9 to heater.H[1] 1 mm2 RD by cab");
        assert_eq!(found.only().outcome.word(), "open");
        assert!(
            found.only().message.starts_with("The rating of 2.8 mm blade is disputed"),
            "{}",
            found.only().message
        );
        plug("temperature limit 125 °C", "wire F9 to heater.H[1] 1 mm2 RD by cab").silent();
    }

    #[test]
    fn clear_ones_are_said_once() {
        let found = plug(
            "wire size 0.5 mm2 to 1.0 mm2, rating 10 A",
            "wire F9 to heater.H[1] 1 mm2 RD by cab\n  wire heater.H[2] to G1 1 mm2 BN by cab",
        );
        assert_eq!(found.only().outcome.word(), "clear");
        assert!(found.only().message.starts_with("Each of 2 terminals takes its wire; the tightest:"));
    }
}

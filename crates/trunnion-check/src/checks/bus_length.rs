//! # bus/length
//!
//! The trunk of a CAN bus, from one terminator to the other, and each stub that branches off it are no
//! longer than the document allows that the `basis` names for its bit rate: `bus length is cia_301`,
//! `iso_11898_2` (which speaks for 1 Mbit/s only) or `j1939_11` (250 kbit/s).
//!
//! It speaks where somebody stated the length of one of the bus wires. Without two known terminators the
//! trunk is taken as the longest way between two modules.
//!
//! ## Why it matters
//!
//! A module that is moved to the back of the vehicle is spliced in with three metres of new wire. What
//! travels along a stub comes back from its end, and every module hears the echo.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place engine_controller, brake_controller, gearbox_controller is unit
//!   bus drive is CAN at 1000 kbit/s }
//! connector shell { cavities 2 }
//! module engine_unit is unit fills engine_controller { fitted on Dunlin, plug A is shell { 1 can_high drive }, terminates drive with 120 Ω }
//! module brake_unit is unit fills brake_controller { fitted on Dunlin, plug B is shell { 1 can_high drive }, terminates drive with 120 Ω }
//! module late_unit is unit fills gearbox_controller { plug C is shell { 1 can_high drive } }
//! loom main of Dunlin { splice S3
//!   wire engine_controller.A[1] to S3 0.5 mm2 GN 2.4 m long
//!   wire brake_controller.B[1] to S3 0.5 mm2 GN 1.1 m long }
//! basis { bus length is iso_11898_2 }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit late_unit
//!   wire gearbox_controller.C[1] to S3 0.5 mm2 GN 0.9 m long }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place engine_controller, brake_controller, gearbox_controller is unit
//!   bus drive is CAN at 1000 kbit/s }
//! connector shell { cavities 2 }
//! module engine_unit is unit fills engine_controller { fitted on Dunlin, plug A is shell { 1 can_high drive }, terminates drive with 120 Ω }
//! module brake_unit is unit fills brake_controller { fitted on Dunlin, plug B is shell { 1 can_high drive }, terminates drive with 120 Ω }
//! module late_unit is unit fills gearbox_controller { plug C is shell { 1 can_high drive } }
//! loom main of Dunlin { splice S3
//!   wire engine_controller.A[1] to S3 0.5 mm2 GN 2.4 m long
//!   wire brake_controller.B[1] to S3 0.5 mm2 GN 1.1 m long }
//! basis { bus length is iso_11898_2 }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit late_unit
//!   wire gearbox_controller.C[1] to S3 0.5 mm2 GN 0.25 m long }
//! ```
//!
//! ## References
//!
//! CiA 301 and 303-1 by bit rate, ISO 11898-2, SAE J1939-11: see `trunnion explain bus_length` and
//! `bus_stub`.

use trunnion_handbook::quantity::Quantity;
use trunnion_handbook::registry::{self, Argument};
use trunnion_model::fact::Known;
use trunnion_model::known;
use trunnion_model::verdict::{Edit, Fix, Gate, Question, Verdict, Who};
use trunnion_model::world::{WireAt, WireEnd};
use trunnion_syntax::tree::Span;

use crate::bus::{Bus, buses};
use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::frames::rate;
use crate::sum::{Answer, Sum};

mod net;

use net::{Net, metres, net};

/// The check.
pub static CHECK: Check =
    Check { name: "bus/length", source: include_str!("bus_length.rs"), judge: Judge::World(judge) };

const CHOICES: &str = "cia_301, iso_11898_2 or j1939_11";

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let all = buses(ctx);
    all.iter().filter(|it| it.touched && it.is_can()).flat_map(|it| on_bus(ctx, it)).collect()
}

fn on_bus(ctx: &Ctx<'_>, bus: &Bus<'_>) -> Vec<Verdict> {
    let net = net(ctx, bus);
    if net.modules.len() < 2 || net.wires.iter().all(|it| it.wire.length.is_none()) {
        return Vec::new();
    }
    let site = |it: &WireAt| it.id.site(it.wire.span);
    let stated = net.wires.iter().rev().find(|it| it.wire.length.is_some()).map(|it| site(it));
    let at = stated.unwrap_or_else(|| ctx.root_site());
    let trunk = Sum::new(
        ctx,
        CHECK.name,
        bus.name(),
        at,
        format!("whether {} is short enough for its rate", bus.shown()),
    );
    let mut found = None;
    let verdict = trunk.work(|sum| {
        sum.note(match net.modules.iter().filter(|it| it.2).count() {
            2 => "the trunk is counted from one terminator to the other",
            _ => "without two known terminators the trunk is counted between the farthest two modules",
        });
        let limits = document(ctx, sum, bus);
        if net.is_ring() {
            sum.refuse(format!("{} runs in a ring", bus.shown()));
            return None;
        }
        for it in &net.unwired {
            let what = format!("how the {it} is wired to {}", bus.shown());
            sum.lacks(&what, question(&what, "wire … to … by …, … m long", sum.hangs()));
        }
        for it in &net.wires {
            length(ctx, sum, it);
        }
        let (a, b, way) = net.trunk()?;
        let whole = total(sum, &way)?;
        let (document, rate) = limits?;
        let most = most(sum, "bus_length", document, rate)?;
        let said = format!(
            "the trunk of {} is {} long from {} to {}",
            bus.shown(),
            whole.display(),
            net.modules[a].1,
            net.modules[b].1
        );
        let needed =
            format!("at {} at most {} are allowed ({})", rate.display(), most.display(), document.shown);
        if !sum.is_open() {
            found = Some((a, b, way));
        }
        Some(Answer::at_most(whole, most, &said, &needed))
    });
    let stubs = found.and_then(|(a, b, way)| stub(ctx, bus, &net, &[a, b], &way));
    verdict.into_iter().chain(stubs).collect()
}

/// The longest branch off the trunk.
fn stub(ctx: &Ctx<'_>, bus: &Bus<'_>, net: &Net<'_>, ends: &[usize], trunk: &[&WireAt]) -> Option<Verdict> {
    let on_trunk: Vec<&WireEnd> = trunk.iter().flat_map(|it| [&it.a, &it.b]).collect();
    let branches = net.modules.iter().enumerate().filter(|(nth, _)| !ends.contains(nth));
    let branches = branches.filter_map(|(_, it)| {
        let ways = on_trunk.iter().filter_map(|end| net.way(&it.0, end));
        Some((it, ways.min_by(|a, b| a.len().cmp(&b.len()))?))
    });
    let (module, way) = branches.max_by(|a, b| metres(&a.1).total_cmp(&metres(&b.1)))?;
    let last = way.first()?;
    let subject = format!("{}.stub", bus.name());
    let hangs = format!("whether the stubs of {} are short enough for its rate", bus.shown());
    let sum = Sum::new(ctx, CHECK.name, subject, last.id.site(last.wire.span), hangs);
    sum.work(|sum| {
        let limits = document(ctx, sum, bus);
        let long = total(sum, &way)?;
        for it in &way {
            length(ctx, sum, it);
        }
        let (document, rate) = limits?;
        let most = most(sum, "bus_stub", document, rate)?;
        let said = format!("the stub to the {} is {} long", module.1, long.display());
        let needed =
            format!("at {} at most {} are allowed ({})", rate.display(), most.display(), document.shown);
        Some(Answer::at_most(long, most, &said, &needed))
    })
}

/// A document on the length of a bus.
struct Document {
    /// As the `basis` names it.
    word: &'static str,
    shown: &'static str,
    /// What the handbook calls it for the trunk and for a stub.
    trunk: &'static str,
    stub: &'static str,
    /// What its sources have in their name.
    named: &'static str,
}

const DOCUMENTS: [Document; 3] = [
    Document { word: "cia_301", shown: "CiA 301", trunk: "CiA", stub: "CiA-303-1", named: "CiA" },
    Document {
        word: "iso_11898_2",
        shown: "ISO 11898-2",
        trunk: "ISO-11898-2",
        stub: "ISO-11898-2",
        named: "ISO 11898-2",
    },
    Document {
        word: "j1939_11",
        shown: "SAE J1939-11",
        trunk: "J1939-11",
        stub: "J1939-11",
        named: "J1939-11",
    },
];

/// The document that the `basis` names, and the rate of the bus.
fn document(ctx: &Ctx<'_>, sum: &mut Sum<'_, '_>, bus: &Bus<'_>) -> Option<(&'static Document, Quantity)> {
    let basis = sum.basis_word("bus_length", CHOICES);
    let rate = rate(ctx, sum, bus);
    let basis = basis?;
    let Some(document) = DOCUMENTS.iter().find(|it| it.word == basis) else {
        sum.refuse(format!("`bus length is {basis}` names no document known here: {CHOICES}"));
        return None;
    };
    Some((document, rate?))
}

/// The longest that a document allows; only that document is named as the source.
fn most(sum: &mut Sum<'_, '_>, function: &str, document: &Document, rate: Quantity) -> Option<Quantity> {
    let function = registry::function(function)?;
    let word = if function.name == "bus_stub" { document.stub } else { document.trunk };
    match function.call_with(&[Argument::Quantity(rate), Argument::Word(word)]) {
        Ok(made) => {
            sum.formula(made.with_numbers);
            let own = function.sources.iter().filter(|it| it.document.contains(document.named));
            for source in own {
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

/// The length of one wire into a sum; open where nobody stated it.
fn length(ctx: &Ctx<'_>, sum: &mut Sum<'_, '_>, it: &WireAt) {
    if it.wire.length.is_some() {
        sum.rests_on(&known::said(ctx.db, ctx.workspace, it.id, &it.wire.claim, it.wire.span));
        return;
    }
    let shown = format!("the length of the wire from {} to {}", it.a.text(), it.b.text());
    let type_in = format!("wire {} to {} … m long", it.a.text(), it.b.text());
    let question = question(&shown, &type_in, sum.hangs());
    let wire = &it.wire;
    let colour = wire.colour.as_ref().map(|it| it.span.end);
    let after = wire.zones.iter().map(|it| it.span.end).chain(colour).max();
    let fix = after.map(|end| Fix {
        title: format!("state the length of the wire to {}", it.b.text()),
        edits: vec![Edit { site: it.id.site(Span::new(end, end)), text: ", … m long".to_owned() }],
    });
    sum.settle_with(&Known::Unknown, question, fix);
}

/// The sum of the lengths of wires that follow each other.
fn total(sum: &mut Sum<'_, '_>, way: &[&WireAt]) -> Option<Quantity> {
    let lengths: Vec<Quantity> = way.iter().filter_map(|it| it.wire.length).collect();
    let whole = lengths.iter().try_fold(Quantity::exact(0.0, "m").ok()?, |all, it| all.add(it).ok())?;
    let whole = whole.shown_in("m").ok()?;
    if lengths.len() > 1 {
        let words: Vec<String> = lengths.iter().map(Quantity::display).collect();
        sum.formula(format!("length = {} = {}", words.join(" + "), whole.display()));
    }
    Some(whole)
}

fn question(what: &str, type_in: &str, hangs: String) -> Question {
    Question {
        what: what.to_owned(),
        good: None,
        tool: Some("tape along the loom".to_owned()),
        precision: Some("0.1 m".to_owned()),
        minutes: Some(15),
        who: Who::Tape,
        gate: Gate::NoReturn,
        hangs,
        type_in: Some(type_in.to_owned()),
    }
}

#[cfg(test)]
mod tests;

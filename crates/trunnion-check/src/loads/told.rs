//! Verdicts on many wires, said so that nobody drowns: clashes each, the rest once for one cause.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::verdict::{Fix, Outcome, Verdict};
use trunnion_model::world::{WireAt, WireEnd};
use trunnion_syntax::tree::Span;

use crate::ctx::{Ctx, capital};

/// A verdict on one of several like things, with how much room it has: the least speaks for all clear ones.
pub struct Told {
    /// The verdict.
    pub verdict: Verdict,
    /// Room left, as a share.
    pub room: f64,
}

/// Says them: each clash; open ones once for each cause; clear ones together, by the one with the
/// least room. `all` says how many are clear: "Each of the 12 new wires carries its current".
pub fn said(ctx: &Ctx<'_>, told: Vec<Told>, all: impl Fn(usize) -> String) -> Vec<Verdict> {
    let mut verdicts: Vec<Verdict> = Vec::new();
    let mut open: Vec<(Verdict, usize)> = Vec::new();
    let mut clear: Vec<Told> = Vec::new();
    for it in told {
        match it.verdict.outcome {
            Outcome::Clash => verdicts.push(it.verdict),
            Outcome::Clear(_) => clear.push(it),
            Outcome::Open => {
                let what = |it: &Verdict| it.question.as_ref().map(|it| it.what.clone());
                match open.iter_mut().find(|(first, _)| what(first) == what(&it.verdict)) {
                    Some((first, more)) => {
                        *more += 1;
                        if first.related.len() < 8 {
                            first.related.push(trunnion_model::verdict::Related {
                                site: it.verdict.site,
                                note: "the same here".to_owned(),
                            });
                        }
                    }
                    None => open.push((it.verdict, 0)),
                }
            }
        }
    }
    for (mut verdict, more) in open {
        let basis = verdict.question.as_ref().is_some_and(|it| it.what.starts_with("which basis"));
        if more > 0 || basis {
            // One cause for several, or for the whole: no single wire is to be accepted for it.
            verdict.subject = ctx.world.root().name(ctx.db).to_string();
        }
        if more > 0 {
            let said = verdict.message.trim_end_matches('.').to_owned();
            verdict.message = format!("{said}; the same for {more} more.");
        }
        verdicts.push(verdict);
    }
    let count = clear.len();
    let standing = clear.iter().filter_map(|it| won(&it.verdict)).min();
    let sources: Vec<String> = clear.iter().flat_map(|it| it.verdict.sources.clone()).collect();
    if let Some(mut tightest) = clear.into_iter().min_by(|a, b| a.room.total_cmp(&b.room)) {
        if count > 1 {
            let verdict = &mut tightest.verdict;
            verdict.message =
                capital(&format!("{}; the tightest: {}", all(count), lowered(&verdict.message)));
            verdict.subject = ctx.world.root().name(ctx.db).to_string();
            verdict.outcome = standing.map_or(verdict.outcome, Outcome::Clear);
            for source in sources {
                if !verdict.sources.contains(&source) {
                    verdict.sources.push(source);
                }
            }
        }
        verdicts.push(tightest.verdict);
    }
    verdicts
}

fn won(verdict: &Verdict) -> Option<trunnion_model::verdict::Won> {
    match verdict.outcome {
        Outcome::Clear(won) => Some(won),
        _ => None,
    }
}

fn lowered(sentence: &str) -> String {
    let mut letters = sentence.chars();
    letters.next().map_or_else(String::new, |it| it.to_lowercase().chain(letters).collect())
}

/// A wire in words: "the wire from F31 to charger.D[1]".
pub fn shown(wire: &WireAt) -> String {
    format!("the wire from {} to {}", wire.a.text(), wire.b.text())
}

/// The path by which a wire is accepted: the cavity at its far end.
pub fn subject(wire: &WireAt) -> String {
    match (&wire.a, &wire.b) {
        (_, WireEnd::Cavity(..)) => wire.b.text(),
        _ => wire.a.text(),
    }
}

/// The size of a wire, as it is written, and where.
fn size_at(text: &str) -> Option<Span> {
    let unit = ["mm2", "mm²", "AWG", "awg"].iter().filter_map(|it| Some((text.find(it)?, it.len()))).min()?;
    let before = text[..unit.0].trim_end();
    let start =
        before.rfind(|it: char| !it.is_ascii_digit() && it != '.' && it != ',').map_or(0, |it| it + 1);
    (start < before.len()).then(|| Span::new(start as u32, (unit.0 + unit.1) as u32))
}

/// A fix that writes another size for a wire.
pub fn resize(ctx: &Ctx<'_>, wire: &WireAt, size: &str) -> Option<Fix> {
    let text = wire.id.item.text(ctx.db);
    let whole = text.get(wire.wire.span.range())?;
    let title = format!("lay {size}");
    match size_at(whole) {
        Some(at) => {
            let from = wire.wire.span.start;
            let site = wire.id.site(Span::new(from + at.start, from + at.end));
            Some(Fix::replace(title, site, size))
        }
        None => {
            let end = wire.wire.b.span.end;
            Some(Fix::replace(title, wire.id.site(Span::new(end, end)), format!(" {size}")))
        }
    }
}

/// Whether a size was written as a gauge.
pub fn is_gauge(size: &Quantity) -> bool {
    size.unit().is_some_and(|it| it.symbol == "AWG")
}

/// The sizes that are sold, as they are written: nominal cross-sections of IEC 60228 and ISO 6722-1.
pub const SIZES: [&str; 17] = [
    "0.35", "0.5", "0.75", "1", "1.5", "2.5", "4", "6", "10", "16", "25", "35", "50", "70", "95", "120",
    "150",
];

/// The next larger size that holds, as it is written in the specification; gauges stay gauges.
pub fn next_size(size: &Quantity, holds: impl Fn(&Quantity) -> bool) -> Option<String> {
    if is_gauge(size) {
        let gauge = size.in_unit("AWG")?.round() as i32;
        let next = (-3..gauge).rev().filter(|it| *it <= 4 || it % 2 == 0);
        let found =
            next.into_iter().find(|it| Quantity::exact(f64::from(*it), "AWG").is_ok_and(|it| holds(&it)))?;
        return Some(format!("{found} AWG"));
    }
    let now = size.in_unit("mm²")?;
    let larger =
        SIZES.iter().filter_map(|it| Some((it, it.parse::<f64>().ok()?))).filter(|it| it.1 > now + 1e-6);
    let found = larger.into_iter().find(|it| Quantity::exact(it.1, "mm²").is_ok_and(|it| holds(&it)))?.0;
    Some(format!("{found} mm2"))
}

//! Least to most pitch diameter of a coarse metric thread of the usual quality: bolt `6g`, nut `6H`.
//!
//! What a thread micrometer or three wires measure; a worn or stretched bolt lies below.

use crate::data::THREAD_LIMITS;
use crate::quantity::Quantity;
use crate::registry::{Eval, Evaluation, Function, HandbookError, OutOfTable, Outcome, Parameter, Source};
use crate::thread::Thread;

/// See the module.
pub static FUNCTION: Function = Function {
    name: "thread_pitch_diameter",
    title: "Pitch diameter of a thread within its tolerance",
    section: "fit",
    parameters: &[
        Parameter::word("thread", "a coarse metric thread such as M10", "its name"),
        Parameter::choice("class", &["6g", "6H"], "6g for a bolt, 6H for a nut"),
    ],
    outcome: Outcome { unit: "mm", meaning: "least to most pitch diameter" },
    formula: "diameter = ISO 965-2 limits for (thread, class)",
    sources: &[Source::published("ISO 965-2", "1998", "medium quality, coarse pitch, M3 to M24")],
    assumes: &["Before coating."],
    example: "thread_pitch_diameter(M10, 6g) = 8.862 to 8.994 mm",
    eval: Eval::Mixed(eval),
};

fn eval(it: &[Quantity], words: &[&str]) -> Result<Evaluation, HandbookError> {
    let thread = Thread::parse(words[0])?;
    let none = || {
        let wanted = format!("limits of {thread} {}", words[1]);
        OutOfTable::new("ISO 965-2", wanted, "coarse metric threads M3 to M24")
    };
    let row = THREAD_LIMITS.table().row(&thread.name).ok_or_else(none)?;
    let side = if words[1] == "6g" { "bolt" } else { "nut" };
    let limit = |end: &str| row.figure(&format!("{side} pitch {end}"));
    let (least, most) = limit("least").zip(limit("most")).ok_or_else(none)?;
    FUNCTION.worked_with(it, words, Quantity::range(least, most, "mm")?)
}

#[cfg(test)]
mod tests {
    use crate::registry::call;

    use crate::data::THREAD_LIMITS;
    use crate::thread::Thread;

    /// ISO 965-1:1998, clauses 10 and 12: Td2 of grade 6 is 90 P^0.4 d^0.1 µm, TD2 1.32 times it, the
    /// upper deviation of g −(15 + 11 P) µm; d is the geometric mean of the standard's range of
    /// diameters. The standard rounds to preferred numbers, so the tolerances may be off by a
    /// twentieth and the deviation by 2 µm.
    #[test]
    fn the_table_follows_the_formulas() {
        let ranges = [2.8, 5.6, 11.2, 22.4, 45.0];
        for row in THREAD_LIMITS.table().all() {
            let thread = Thread::parse(row.word(0)).unwrap();
            let (d, p) = (thread.major_mm(), thread.pitch_mm());
            let above = ranges.iter().position(|end| d <= *end).unwrap();
            let mean = (ranges[above - 1] * ranges[above]).sqrt();
            let bolt = 0.09 * p.powf(0.4) * mean.powf(0.1);
            let figure = |column: &str| row.figure(column).unwrap();
            let near = |one: f64, other: f64, share: f64| (one - other).abs() <= share * other;
            assert!(near(figure("bolt pitch most") - figure("bolt pitch least"), bolt, 0.05), "{d}");
            assert!(near(figure("nut pitch most") - figure("nut pitch least"), 1.32 * bolt, 0.05), "{d}");
            let basic = thread.pitch_diameter_mm();
            assert!((figure("nut pitch least") - basic).abs() < 0.001, "{d}");
            let below = (15.0 + 11.0 * p) / 1000.0;
            assert!((basic - figure("bolt pitch most") - below).abs() < 0.002_5, "{d}");
            assert!((d - figure("major most") - below).abs() < 0.002_5, "{d}");
            assert!((figure("minor least") - thread.minor_diameter_mm()).abs() < 0.001, "{d}");
            // Clause 13: TD1(6) = 230 P^0.7 µm from a pitch of 1 mm, Td(6) = 180 P^(2/3) − 3.15/√P.
            let crest = 0.18 * p.powf(2.0 / 3.0) - 0.003_15 / p.sqrt();
            assert!(near(figure("major most") - figure("major least"), crest, 0.05), "{d}");
            if p >= 1.0 {
                let nut = 0.23 * p.powf(0.7);
                assert!(near(figure("minor most") - figure("minor least"), nut, 0.05), "{d}");
            }
        }
    }

    #[test]
    fn printed_limits() {
        assert_eq!(call("thread_pitch_diameter", &["M8", "6g"]).unwrap().value.display(), "7.042 to 7.16 mm");
        assert_eq!(
            call("thread_pitch_diameter", &["M8", "6H"]).unwrap().value.display(),
            "7.188 to 7.348 mm"
        );
        assert!(call("thread_pitch_diameter", &["M10x1.25", "6g"]).is_err());
        assert!(call("thread_pitch_diameter", &["M10", "4g"]).is_err());
    }
}

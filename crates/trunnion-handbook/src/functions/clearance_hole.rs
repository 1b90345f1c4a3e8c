//! The hole that a metric bolt passes through, by the close (`fine`), usual (`medium`) or wide
//! (`coarse`) series.

use crate::quantity::Quantity;
use crate::registry::{Eval, Evaluation, Function, HandbookError, Outcome, Parameter, Source};
use crate::thread::{Series, Thread};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "clearance_hole",
    title: "Clearance hole of a bolt",
    section: "fit",
    parameters: &[
        Parameter::word("thread", "a metric thread such as M12x1.5", "thread of the bolt"),
        Parameter::choice("series", &["fine", "medium", "coarse"], "series of the standard"),
    ],
    outcome: Outcome { unit: "mm", meaning: "diameter of the hole" },
    formula: "hole = ISO 273 table for (thread, series)",
    sources: &[
        Source::published("ISO 273", "1979", "M3 to M42"),
        Source::from_memory("ISO 273", "1979", "clearance holes above M42"),
    ],
    assumes: &[],
    example: "clearance_hole(M10, medium) = 11 mm",
    eval: Eval::Mixed(eval),
};

fn eval(it: &[Quantity], words: &[&str]) -> Result<Evaluation, HandbookError> {
    let series = match words[1] {
        "fine" => Series::Fine,
        "coarse" => Series::Coarse,
        _ => Series::Medium,
    };
    let hole = Thread::parse(words[0])?.clearance_hole_mm(series)?;
    FUNCTION.worked_with(it, words, Quantity::exact(hole, "mm")?)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// ISO 273:1979, rows of M6, M8, M10 and M12.
    #[test]
    fn printed_rows() {
        for (thread, holes) in [
            ("M6", [6.4, 6.6, 7.0]),
            ("M8", [8.4, 9.0, 10.0]),
            ("M10x1.25", [10.5, 11.0, 12.0]),
            ("M12", [13.0, 13.5, 14.5]),
        ] {
            for (series, hole) in ["fine", "medium", "coarse"].into_iter().zip(holes) {
                let made = figure_of("clearance_hole", &[thread, series], "mm");
                assert!((made - hole).abs() < 1e-9, "{thread} {series}");
            }
        }
        assert!(call("clearance_hole", &["G1/4", "fine"]).is_err());
        assert!(call("clearance_hole", &["M10", "loose"]).is_err());
    }
}

//! The smallest round hole that takes a bundle of equal wires, by the known densest packings.
//!
//! Laid by hand, a bundle is looser, and tape or sleeve comes on top.

use crate::data::PACKING;
use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "bundle_diameter",
    title: "Diameter of a bundle of equal wires",
    section: "wire",
    parameters: &[
        Parameter::new("wires", "", Limits::Whole(1.0, 20.0), "how many"),
        Parameter::new("diameter", "mm", Limits::Positive, "of one wire over its insulation"),
    ],
    outcome: Outcome { unit: "mm", meaning: "diameter of the tightest bundle" },
    formula: "bundle = ratio for wires × diameter",
    sources: &[Source::published(
        "R. L. Graham, B. D. Lubachevsky, K. J. Nurmela, P. R. J. Östergård, \
             Dense packings of congruent circles in a circle, Discrete Mathematics 181",
        "1998",
        "radius ratios; proven to 14 and for 19, best known for the others",
    )],
    assumes: &["The rule of 1.2 √n diameters, common practice, reads low for several counts."],
    example: "bundle_diameter(7, 2 mm) = 6 mm",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    // More wires never need less room, so the ends of a range of counts decide.
    let ratio = |count: f64| {
        let row = PACKING.table().row_at(count.round());
        row.and_then(|it| it.figure("ratio")).unwrap_or(f64::NAN)
    };
    let value = worst_case(it, Dimension::LENGTH, |v| ratio(v[0]) * v[1])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn ratios_with_a_closed_form() {
        use std::f64::consts::PI;
        let made = |count: &str| figure_of("bundle_diameter", &[count, "1 mm"], "mm");
        for (count, ratio) in [
            ("1", 1.0),
            ("2", 2.0),
            ("3", 1.0 + 2.0 / 3f64.sqrt()),
            ("4", 1.0 + 2f64.sqrt()),
            ("5", 1.0 + (2.0 * (1.0 + 1.0 / 5f64.sqrt())).sqrt()),
            ("7", 3.0),
            ("8", 1.0 + 1.0 / (PI / 7.0).sin()),
            ("9", 1.0 + (2.0 * (2.0 + 2f64.sqrt())).sqrt()),
            ("11", 1.0 + 1.0 / (PI / 9.0).sin()),
            ("13", 2.0 + 5f64.sqrt()),
            ("19", 1.0 + 2f64.sqrt() + 6f64.sqrt()),
        ] {
            // The table has three decimals.
            assert!((made(count) - ratio).abs() < 0.001_1, "{count}");
        }
    }

    #[test]
    fn the_rule_of_thumb_reads_low() {
        let rule = |count: f64| 1.2 * count.sqrt();
        assert!(rule(2.0) < figure_of("bundle_diameter", &["2", "1 mm"], "mm"));
        assert!(call("bundle_diameter", &["21", "1 mm"]).is_err());
        assert!(call("bundle_diameter", &["2.5", "1 mm"]).is_err());
    }
}

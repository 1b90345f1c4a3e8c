//! Nominal stress area of a metric bolt, from its diameter and pitch.

use std::f64::consts::PI;

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "stress_area",
    title: "Tensile stress area of a bolt",
    section: "fit",
    parameters: &[
        Parameter::new("diameter", "mm", Limits::Positive, "nominal diameter"),
        Parameter::new("pitch", "mm", Limits::Positive, "pitch"),
    ],
    outcome: Outcome { unit: "mm²", meaning: "nominal stress area" },
    formula: "area = π / 4 × (diameter − 0.9382 × pitch)²",
    sources: &[Source::published("ISO 898-1", "2013", "9.1.6.1: As = π/4 × ((d2 + d3)/2)²")],
    assumes: &["ISO metric profile."],
    example: "stress_area(12 mm, 1.75 mm) = 84.27 mm²",
    eval: Eval::Figures(eval),
};

/// (d − d2 + d − d3) / 2 over the pitch: (0.649519 + 1.226869) / 2.
const MEAN_DEPTH: f64 = 0.938_194;

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    if it[1].hi() >= it[0].lo() {
        return Err(HandbookError::NoAnswer("the pitch is not below the diameter"));
    }
    let value = worst_case(it, Dimension::AREA, |v| PI / 4.0 * (v[0] - MEAN_DEPTH * v[1]).powi(2))?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// ISO 898-1:2013, Table 4 (coarse) and Table 6 (fine), three figures.
    #[test]
    fn printed_areas() {
        for (diameter, pitch, area) in [
            ("6 mm", "1 mm", 20.1),
            ("8 mm", "1.25 mm", 36.6),
            ("10 mm", "1.5 mm", 58.0),
            ("12 mm", "1.75 mm", 84.3),
            ("16 mm", "2 mm", 157.0),
            ("24 mm", "3 mm", 353.0),
            ("39 mm", "4 mm", 976.0),
        ] {
            let made = figure_of("stress_area", &[diameter, pitch], "mm²");
            assert!((made - area).abs() / area < 0.003, "{diameter}: {made}");
        }
        assert!(call("stress_area", &["2 mm", "3 mm"]).is_err());
    }
}

//! Diameter of the solid round wire of a gauge or cross-section; a stranded one is about 1.15 times
//! as wide.

use std::f64::consts::PI;

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "gauge_diameter",
    title: "Diameter of a wire gauge",
    section: "wire",
    parameters: &[Parameter::new("size", "mm²", Limits::Positive, "cross-section; a gauge as `18 AWG`")],
    outcome: Outcome { unit: "mm", meaning: "diameter of the bare wire" },
    formula: "diameter = √(4 × size / π)",
    sources: &[
        Source::published("ASTM B258", "2018", "clause 5: 0.005 in × 92^((36 − n)/39)"),
        Source::definition("area of a circle"),
    ],
    assumes: &[],
    example: "gauge_diameter(18 AWG) = 1.024 mm",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::LENGTH, |v| (4.0 * v[0] / PI).sqrt())?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// ASTM B258-18, Table 1: diameters in inches to four figures.
    #[test]
    fn printed_diameters() {
        for (gauge, inches) in [
            ("-3 AWG", 0.4600),
            ("0 AWG", 0.3249),
            ("4 AWG", 0.2043),
            ("8 AWG", 0.1285),
            ("10 AWG", 0.1019),
            ("12 AWG", 0.0808),
            ("16 AWG", 0.0508),
            ("18 AWG", 0.0403),
            ("20 AWG", 0.0320),
            ("24 AWG", 0.0201),
        ] {
            let made = figure_of("gauge_diameter", &[gauge], "in");
            assert!((made - inches).abs() <= 0.000_05, "{gauge}: {made}");
        }
        assert!(call("gauge_diameter", &["0 mm²"]).is_err());
    }
}

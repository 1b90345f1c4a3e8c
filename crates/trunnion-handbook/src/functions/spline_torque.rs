//! Torque at which the flanks of a spline are pressed as much as they may be.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "spline_torque",
    title: "Torque that a spline carries",
    section: "fit",
    parameters: &[
        Parameter::new("module", "mm", Limits::Positive, "module"),
        Parameter::new("teeth", "", Limits::Whole(4.0, 200.0), "teeth"),
        Parameter::new("length", "mm", Limits::Positive, "length in mesh"),
        Parameter::new(
            "pressure",
            "MPa",
            Limits::Positive,
            "pressure allowed on the flanks; 50 to 100 for soft steel that slides, \
             common practice",
        ),
        Parameter::new(
            "sharing",
            "%",
            Limits::Between(10.0, 100.0),
            "share of the teeth that carry; 50 to 75, common practice",
        ),
    ],
    outcome: Outcome { unit: "Nm", meaning: "torque" },
    formula: "torque = teeth × sharing × (module × length) × pressure × module × teeth / 2",
    sources: &[
        Source::definition("pressure on flanks one module high, at the pitch circle"),
        Source::common_practice("allowed pressure and sharing of the teeth"),
    ],
    assumes: &["The shaft itself may twist off first: see shaft_torsion."],
    example: "spline_torque(1.5 mm, 24, 30 mm, 80 MPa, 75 %) = 1166 Nm",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::ENERGY, |v| v[1] * v[4] * v[0] * v[2] * v[3] * v[0] * v[1] / 2.0)?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// Ten teeth of 2 × 30 mm² at 100 N/mm² on a radius of 20 mm.
    #[test]
    fn by_hand() {
        let made = figure_of("spline_torque", &["2 mm", "20", "30 mm", "100 MPa", "50 %"], "Nm");
        let wanted: f64 = 20.0 * 0.5 * 60.0 * 100.0 * 20.0 / 1000.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("spline_torque", &["2 mm", "20", "0 mm", "100 MPa", "50 %"]).is_err());
    }
}

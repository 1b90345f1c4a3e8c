//! The axle torque at which the driven tyres begin to spin: no more can pass through the driveline
//! than that.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "grip_torque",
    title: "Torque that the tyres can take",
    section: "drive",
    parameters: &[
        Parameter::new("axle_load", "kg", Limits::Positive, "load on the driven axle"),
        Parameter::new(
            "grip",
            "",
            Limits::Between(0.0, 2.0),
            "coefficient of friction between tyre and road",
        ),
        Parameter::new("rolling_radius", "mm", Limits::Positive, "rolling circumference / 2π"),
    ],
    outcome: Outcome { unit: "Nm", meaning: "torque at the driven wheels together" },
    formula: "torque = axle_load × 9.80665 m/s² × grip × rolling_radius",
    sources: &[
        Source::definition("friction at the contact of tyre and road"),
        Source::published("NIST Special Publication 811", "2008", "Appendix B: standard fall 9.80665 m/s²"),
    ],
    assumes: &["The load on the axle grows under acceleration with the driven axle at \
             the rear; give the grown load."],
    example: "grip_torque(1200 kg, 0.9, 326 mm) = 3453 Nm",
    eval: Eval::Figures(eval),
};

/// Standard fall in m/s².
const GRAVITY: f64 = 9.806_65;

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::ENERGY, |v| v[0] * GRAVITY * v[1] * v[2])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    #[test]
    fn by_hand() {
        let torque = figure_of("grip_torque", &["1000 kg", "1", "0.5 m"], "Nm");
        assert!((torque - 4903.325).abs() < 1e-9);
    }
}

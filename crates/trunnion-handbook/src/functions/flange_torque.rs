//! What a flange passes on by friction between its faces, before the bolts see any shear.
//!
//! Take the least preload of each bolt.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "flange_torque",
    title: "Torque that a bolted flange carries by friction",
    section: "fit",
    parameters: &[
        Parameter::new("bolts", "", Limits::Whole(1.0, 100.0), "how many"),
        Parameter::new("preload", "kN", Limits::NotNegative, "clamp force of each"),
        Parameter::new(
            "friction",
            "",
            Limits::Between(0.0, 1.0),
            "coefficient of friction of the faces; dry steel 0.1 to 0.2 by common practice",
        ),
        Parameter::new("circle", "mm", Limits::Positive, "diameter of the bolt circle"),
    ],
    outcome: Outcome { unit: "Nm", meaning: "torque at which the faces begin to slip" },
    formula: "torque = bolts × preload × friction × circle / 2",
    sources: &[Source::definition("friction of a clamped joint on its bolt circle")],
    assumes: &["Faces clean and dry; the friction acts at the bolt circle."],
    example: "flange_torque(8, 35 kN, 0.12, 78 mm) = 1310 Nm",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::ENERGY, |v| v[0] * v[1] * v[2] * v[3] / 2.0)?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    #[test]
    fn by_hand() {
        // 6 × 10 000 N × 0.1 × 0.05 m = 300 Nm.
        let made = figure_of("flange_torque", &["6", "10 kN", "0.1", "100 mm"], "Nm");
        assert!((made - 300.0).abs() < 1e-9);
    }
}

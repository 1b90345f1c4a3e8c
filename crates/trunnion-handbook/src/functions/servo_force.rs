//! The most that a vacuum servo can push: beyond it the pedal feels dead and only the foot helps. An engine
//! without a throttle, or a turbocharged one, makes little vacuum of its own.

use std::f64::consts::PI;

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "servo_force",
    title: "Force that a vacuum servo adds",
    section: "brake",
    parameters: &[
        Parameter::new("vacuum", "mbar", Limits::Between(0.0, 1013.0), "below the air outside"),
        Parameter::new("diaphragm", "mm", Limits::Positive, "effective diameter of the diaphragm"),
        Parameter::new("diaphragms", "", Limits::Whole(1.0, 2.0), "one, or two in a row"),
    ],
    outcome: Outcome { unit: "N", meaning: "force added at the rod" },
    formula: "force = diaphragms × vacuum × π / 4 × diaphragm²",
    sources: &[Source::definition("pressure on a diaphragm")],
    assumes: &[
        "Brakes decide lives: clear on paper is not permission; proven only on \
             the tester, by a licensed person.",
        "Effective diameter is less than that of the shell, about nine tenths, \
             common practice.",
    ],
    example: "servo_force(650 mbar, 215 mm, 1) = 2360 N",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::FORCE, |v| v[2] * v[0] * PI / 4.0 * v[1] * v[1])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// 50 kPa on 31 416 mm², twice.
    #[test]
    fn by_hand() {
        let made = figure_of("servo_force", &["500 mbar", "200 mm", "2"], "N");
        let wanted: f64 = 3_141.592_653_589_793;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("servo_force", &["2 bar", "200 mm", "1"]).is_err());
    }
}

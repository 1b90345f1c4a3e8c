//! Torque at the driven wheels, both together, from the engine through gears and axle.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "wheel_torque",
    title: "Torque at the driven axle",
    section: "drive",
    parameters: &[
        Parameter::new("engine_torque", "Nm", Limits::NotNegative, "torque of the engine"),
        Parameter::new("gear_ratio", "", Limits::Positive, "ratio of the gear"),
        Parameter::new("final_drive", "", Limits::Positive, "ratio of the axle"),
        Parameter::new(
            "multiplication",
            "",
            Limits::Between(1.0, 3.5),
            "torque multiplication of the converter; 1 for a clutch",
        ),
        Parameter::new("efficiency", "%", Limits::Between(50.0, 100.0), "share that reaches the wheels"),
    ],
    outcome: Outcome { unit: "Nm", meaning: "torque at the driven wheels together" },
    formula: "torque = engine_torque × multiplication × gear_ratio × final_drive × efficiency",
    sources: &[Source::definition("torque through gears in series")],
    assumes: &["The grip of the tyres may cap it sooner: see grip_torque."],
    example: "wheel_torque(320 Nm, 4.2, 3.69, 1, 92 %) = 4563 Nm",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::TORQUE, |v| v[0] * v[1] * v[2] * v[3] * v[4])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let torque = figure_of("wheel_torque", &["100 Nm", "4", "5", "2", "100 %"], "Nm");
        assert!((torque - 4000.0).abs() < 1e-9);
        assert!(call("wheel_torque", &["100 J", "4", "5", "2", "100 %"]).is_err());
        assert!(call("wheel_torque", &["100 Nm", "4", "5", "2", "101 %"]).is_err());
    }
}

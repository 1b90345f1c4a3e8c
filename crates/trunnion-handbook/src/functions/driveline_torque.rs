//! Torque behind a chain of ratios: the gearbox's output, the propshaft, the axle, each element against
//! its own limit.

use crate::quantity::Quantity;
use crate::registry::{Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "driveline_torque",
    title: "Torque along the driveline",
    section: "drive",
    parameters: &[
        Parameter::new("engine_torque", "Nm", Limits::NotNegative, "torque of the engine"),
        Parameter::new(
            "multiplication",
            "",
            Limits::Between(1.0, 3.5),
            "torque multiplication of the converter; 1 for a clutch",
        ),
        Parameter::new("ratios", "", Limits::Positive, "each ratio passed so far: gear, transfer box, axle")
            .repeated(),
    ],
    outcome: Outcome { unit: "Nm", meaning: "torque there" },
    formula: "torque = engine_torque × multiplication × product of (ratios)",
    sources: &[Source::definition("torque through gears in series")],
    assumes: &[
        "No loss: the greatest the parts can see.",
        "The grip of the tyres may cap it sooner: see grip_torque.",
    ],
    example: "driveline_torque(320 Nm, 1, 4.2, 2.7) = 3629 Nm",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let mut torque = it[0].mul(&it[1])?;
    for ratio in &it[2..] {
        torque = torque.mul(ratio)?;
    }
    FUNCTION.worked(it, torque)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("driveline_torque", &["100 Nm", "2", "4", "2", "5"], "Nm");
        let wanted: f64 = 8000.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("driveline_torque", &["100 Nm", "1", "4"], "Nm");
        let wanted: f64 = 400.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("driveline_torque", &["100 Nm", "1"]).is_err());
        assert!(call("driveline_torque", &["100 Nm", "1", "0"]).is_err());
    }
}

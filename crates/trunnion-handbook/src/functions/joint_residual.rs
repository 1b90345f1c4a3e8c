//! The angle of the one joint that fluctuates as much as two joints in a row do together.
//!
//! Two joints undo one another only where their angles are equal, the yokes of the shaft between them
//! are in phase, and all shafts lie in one plane; what the difference leaves is this. A common limit is
//! 3°, common practice.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "joint_residual",
    title: "What two joints leave of the fluctuation",
    section: "fit",
    parameters: &[
        Parameter::new("first", "°", Limits::Between(0.0, 45.0), "working angle of the first joint"),
        Parameter::new("second", "°", Limits::Between(0.0, 45.0), "working angle of the second"),
    ],
    outcome: Outcome { unit: "°", meaning: "angle that is left" },
    formula: "angle = arccos(cos larger / cos smaller) of first and second",
    sources: &[Source::definition("kinematics of Hooke's joint: tan output = cos angle × tan input")],
    assumes: &["Yokes in phase, shafts in one plane, a steady input."],
    example: "joint_residual(6°, 5°) = 3.321°",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let left = |a: f64, b: f64| (a.max(b).cos() / a.min(b).cos()).min(1.0).acos();
    let (one, other) = (&it[0], &it[1]);
    let most = left(one.hi(), other.lo()).max(left(other.hi(), one.lo()));
    // Angles that may be equal leave nothing.
    let apart = (one.lo() - other.hi()).max(other.lo() - one.hi());
    let ends = [left(one.lo(), other.hi()), left(one.hi(), other.lo())];
    let least = if apart <= 0.0 { 0.0 } else { ends[0].min(ends[1]) };
    let nominal = left(one.nominal(), other.nominal());
    let value = Quantity::si_range(least.min(nominal), nominal, most.max(nominal), Dimension::ANGLE)?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// Turns two joints in phase through a whole turn and compares the fluctuation of the output.
    #[test]
    fn two_joints_turned_step_by_step() {
        let (a, b) = (8f64.to_radians(), 3f64.to_radians());
        let speed = |input: f64| {
            let step = 1e-6;
            let out = |theta: f64| {
                let between = (theta.sin() * a.cos()).atan2(theta.cos());
                (between.sin() / b.cos()).atan2(between.cos())
            };
            (out(input + step) - out(input - step)).rem_euclid(std::f64::consts::TAU) / (2.0 * step)
        };
        let all: Vec<f64> = (1..360).map(|it| speed(f64::from(it).to_radians())).collect();
        let (least, most) = all.iter().fold((9.0, 0.0), |(l, m), &it| (f64::min(l, it), f64::max(m, it)));
        let left = figure_of("joint_residual", &["8°", "3°"], "°").to_radians();
        assert!((most - least - left.sin() * left.tan()).abs() < 1e-5);
        assert!(figure_of("joint_residual", &["5°", "5°"], "°").abs() < 1e-6);
        assert!(call("joint_residual", &["5 to 6°", "5.5°"]).unwrap().value.lo() == 0.0);
    }
}

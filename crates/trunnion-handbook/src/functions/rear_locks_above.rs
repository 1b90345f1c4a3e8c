//! The braking rate z (deceleration over g) at which front and rear use their grip alike.
//!
//! Below it the front axle locks first, above it the rear, which turns the vehicle round. Where it is
//! above the grip of any road, the front always locks first.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "rear_locks_above",
    title: "Braking rate above which the rear locks first",
    section: "brake",
    parameters: &[
        Parameter::new(
            "front_brake_share",
            "%",
            Limits::Between(1.0, 99.0),
            "share of the braking force at the front",
        ),
        Parameter::new(
            "front_load_share",
            "%",
            Limits::Between(1.0, 99.0),
            "share of the weight at the front, at rest",
        ),
        Parameter::new("height", "mm", Limits::Positive, "height of the centre of mass"),
        Parameter::new("wheelbase", "mm", Limits::Positive, "wheelbase"),
    ],
    outcome: Outcome { unit: "", meaning: "braking rate at which the balance turns" },
    formula: "rate = (front_brake_share − front_load_share) × wheelbase / height",
    sources: &[
        Source::published("49 CFR 571.135", "2024", "S7.4.4 (g), adhesion used by each axle"),
        Source::from_memory(
            "UN Regulation No. 13-H",
            "01 series of amendments",
            "Annex 5: f1 = T1 / (P1 + z P h / E), f2 = T2 / (P2 − z P h / E); 3.1: z \
             ≥ 0.1 + 0.7 (k − 0.2)",
        ),
    ],
    assumes: &[
        "Brakes decide lives: clear on paper is not permission; proven only on \
             the tester, by a licensed person.",
        "Fixed share of braking force: no valve, no electronic distribution.",
    ],
    example: "rear_locks_above(76 %, 55 %, 600 mm, 2700 mm) = 0.945",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::NONE, |v| (v[0] - v[1]) * v[3] / v[2])?;
    if value.lo() < 0.0 {
        return Err(HandbookError::NoAnswer(
            "the rear brakes take more than their share at any rate: the rear always locks first",
        ));
    }
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// At the rate found, both axles use the same grip, which is the rate itself.
    #[test]
    fn both_axles_use_the_same_grip() {
        let (phi, p1, h, e) = (0.76, 0.55, 0.6, 2.7);
        let z = figure_of("rear_locks_above", &["76 %", "55 %", "600 mm", "2700 mm"], "");
        let front = phi * z / (p1 + z * h / e);
        let rear = (1.0 - phi) * z / (1.0 - p1 - z * h / e);
        assert!((front - rear).abs() < 1e-9 && (front - z).abs() < 1e-9);
        assert!(call("rear_locks_above", &["50 %", "55 %", "600 mm", "2700 mm"]).is_err());
    }
}

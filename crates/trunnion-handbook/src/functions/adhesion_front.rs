//! The share of its load that an axle must pass on to the road as braking force; the axle whose curve
//! lies higher locks first. Before the axle lifts only.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "adhesion_front",
    title: "Adhesion that the front axle uses",
    section: "brake",
    parameters: &[
        Parameter::new("rate", "", Limits::Between(0.01, 1.2), "braking rate z, deceleration over g"),
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
        Parameter::new("height", "mm", Limits::NotNegative, "height of the centre of mass"),
        Parameter::new("wheelbase", "mm", Limits::Positive, "wheelbase"),
    ],
    outcome: Outcome { unit: "", meaning: "adhesion used" },
    formula: "adhesion = front_brake_share × rate / (front_load_share + rate × height / wheelbase)",
    sources: &[
        Source::published(
            "49 CFR 571.135",
            "2024",
            "S7.4.4 (g): f1 = T1 / (P1 + z h P / E), f2 = T2 / (P2 − z h P / E)",
        ),
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
    example: "adhesion_front(0.6, 76 %, 55 %, 600 mm, 2700 mm) = 0.6673",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::NONE, |v| v[1] * v[0] / (v[2] + v[0] * v[3] / v[4]))?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    /// Where the balance turns, both axles use the rate itself (49 CFR 571.135, S7.4.4 (g), set equal).
    #[test]
    fn both_are_the_rate_where_the_balance_turns() {
        let rate = figure_of("rear_locks_above", &["70 %", "55 %", "500 mm", "2500 mm"], "");
        let given = [&rate.to_string(), "70 %", "55 %", "500 mm", "2500 mm"];
        for name in ["adhesion_front", "adhesion_rear"] {
            assert!((figure_of(name, &given, "") - rate).abs() < 1e-9, "{name}");
        }
        // Half of the force on half of the weight, no height.
        let made = figure_of("adhesion_front", &["0.5", "50 %", "50 %", "0 mm", "2500 mm"], "");
        assert!((made - 0.5).abs() < 1e-12);
    }
}

//! The share of its load that an axle must pass on to the road as braking force; the axle whose curve
//! lies higher locks first. Before the axle lifts only.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "adhesion_rear",
    title: "Adhesion that the rear axle uses",
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
    formula: "adhesion = (1 − front_brake_share) × rate / (1 − front_load_share − rate \
             × height / wheelbase)",
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
    example: "adhesion_rear(0.6, 76 %, 55 %, 600 mm, 2700 mm) = 0.4547",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    if it[2].hi() + it[0].hi() * it[3].hi() / it[4].lo() >= 1.0 {
        return Err(HandbookError::NoAnswer("the rear axle would lift"));
    }
    let value = worst_case(it, Dimension::NONE, |v| (1.0 - v[1]) * v[0] / (1.0 - v[2] - v[0] * v[3] / v[4]))?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn the_rear_uses_more_beyond_the_balance() {
        let uses = |name: &str, rate: &str| figure_of(name, &[rate, "70 %", "55 %", "500 mm", "2500 mm"], "");
        assert!(uses("adhesion_rear", "0.9") > uses("adhesion_front", "0.9"));
        assert!(uses("adhesion_rear", "0.5") < uses("adhesion_front", "0.5"));
        assert!(call("adhesion_rear", &["1", "70 %", "80 %", "1 m", "2 m"]).is_err());
    }
}

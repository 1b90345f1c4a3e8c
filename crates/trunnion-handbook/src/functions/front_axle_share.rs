//! Share of the weight on the front axle while the vehicle slows.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "front_axle_share",
    title: "Load share of the front axle under braking",
    section: "brake",
    parameters: &[
        Parameter::new("static_share", "%", Limits::Between(1.0, 99.0), "share at rest"),
        Parameter::new("height", "mm", Limits::NotNegative, "height of the centre of mass"),
        Parameter::new("wheelbase", "mm", Limits::Positive, "wheelbase"),
        Parameter::new("deceleration", "m/s²", Limits::Between(0.0, 15.0), "deceleration"),
    ],
    outcome: Outcome { unit: "%", meaning: "share on the front axle" },
    formula: "share = static_share + deceleration / 9.80665 m/s² × height / wheelbase",
    sources: &[
        Source::definition("moments about the contact of one axle"),
        Source::published("49 CFR 571.135", "2024", "S7.4.4 (g), adhesion used by each axle"),
        Source::from_memory(
            "UN Regulation No. 13-H",
            "01 series of amendments",
            "Annex 5: f1 = T1 / (P1 + z P h / E), f2 = T2 / (P2 − z P h / E); 3.1: z \
             ≥ 0.1 + 0.7 (k − 0.2)",
        ),
    ],
    assumes: &["Brakes decide lives: clear on paper is not permission; proven only on \
             the tester, by a licensed person."],
    example: "front_axle_share(55 %, 600 mm, 2700 mm, 7 m/s²) = 70.86 %",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::NONE, |v| v[0] + v[3] / 9.806_65 * v[1] / v[2])?;
    if value.hi() > 1.0 {
        return Err(HandbookError::NoAnswer("the rear axle would lift"));
    }
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let given = ["50 %", "0.5 m", "2.5 m", "9.80665 m/s²"];
        assert!((figure_of("front_axle_share", &given, "%") - 70.0).abs() < 1e-9);
        assert!(call("front_axle_share", &["90 %", "1.5 m", "2.5 m", "9 m/s²"]).is_err());
    }
}

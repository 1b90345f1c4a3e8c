//! Force along the road that a parking brake must hold on a slope.
//!
//! Regulation 13-H asks for 20 % laden, up and down.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "slope_force",
    title: "Force that holds a vehicle on a slope",
    section: "brake",
    parameters: &[
        Parameter::new("mass", "kg", Limits::Positive, "of the laden vehicle, with trailer where it has one"),
        Parameter::new("slope", "%", Limits::Between(0.0, 100.0), "rise over run"),
    ],
    outcome: Outcome { unit: "kN", meaning: "force along the road" },
    formula: "force = mass × 9.80665 m/s² × sin(arctan slope)",
    sources: &[
        Source::definition("weight on an inclined plane"),
        Source::published("49 CFR 571.135", "2024", "S7.12: 20 % laden, both ways"),
        Source::from_memory(
            "UN Regulation No. 13-H",
            "01 series of amendments",
            "Annex 3: 2.1.1, 0.1 v + 0.0060 v²; 2.3.1, 20 % gradient",
        ),
    ],
    assumes: &["Brakes decide lives: clear on paper is not permission; proven only on \
             the tester, by a licensed person."],
    example: "slope_force(2800 kg, 20 %) = 5.385 kN",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::FORCE, |v| v[0] * 9.806_65 * v[1].atan().sin())?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    #[test]
    fn a_full_slope_is_forty_five_degrees() {
        let made = figure_of("slope_force", &["1000 kg", "100 %"], "N");
        assert!((made - 9806.65 / 2f64.sqrt()).abs() < 1e-6);
    }
}

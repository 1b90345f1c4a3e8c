//! The steepest slope on which a parking brake's force at the road holds the vehicle: the reverse of
//! slope_force.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "slope_held",
    title: "Slope that a force holds",
    section: "brake",
    parameters: &[
        Parameter::new("force", "kN", Limits::NotNegative, "of the parking brake at the road"),
        Parameter::new("mass", "kg", Limits::Positive, "of the laden vehicle, with trailer where it has one"),
    ],
    outcome: Outcome { unit: "%", meaning: "rise over run" },
    formula: "slope = tan(arcsin(force / (mass × 9.80665 m/s²)))",
    sources: &[
        Source::definition("weight on an inclined plane"),
        Source::published(
            "49 CFR 571.135",
            "2024",
            "S7.12: 20 % laden, both ways, hand force at most 400 N, foot force 500 N",
        ),
    ],
    assumes: &["Brakes decide lives: clear on paper is not permission; proven only on \
             the tester, by a licensed person."],
    example: "slope_held(6 kN, 2800 kg) = 22.39 %",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    if it[0].hi() >= it[1].lo() * 9.806_65 {
        return Err(HandbookError::NoAnswer("the force is more than the weight: it would hold on a wall"));
    }
    let value = worst_case(it, Dimension::NONE, |v| (v[0] / (v[1] * 9.806_65)).asin().tan())?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn undoes_the_force() {
        let force = figure_of("slope_force", &["2800 kg", "20 %"], "N");
        let made = figure_of("slope_held", &[&format!("{force} N"), "2800 kg"], "%");
        assert!((made - 20.0).abs() < 1e-9);
        assert!(call("slope_held", &["10 kN", "1000 kg"]).is_err());
    }
}

//! Way to a stop at a steady deceleration, with the way rolled before the brakes bite.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "stopping_distance",
    title: "Stopping distance",
    section: "brake",
    parameters: &[
        Parameter::new("speed", "km/h", Limits::NotNegative, "speed at the start"),
        Parameter::new("deceleration", "m/s²", Limits::Positive, "steady deceleration"),
        Parameter::new("delay", "s", Limits::NotNegative, "time until the brakes bite"),
    ],
    outcome: Outcome { unit: "m", meaning: "distance" },
    formula: "distance = speed × delay + speed² / (2 × deceleration)",
    sources: &[Source::definition("steady deceleration")],
    assumes: &["Brakes decide lives: clear on paper is not permission; proven only on \
             the tester, by a licensed person."],
    example: "stopping_distance(100 km/h, 6.43 m/s², 0.36 s) = 70 m",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::LENGTH, |v| v[0] * v[2] + v[0] * v[0] / (2.0 * v[1]))?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// Regulation 13-H, Annex 3 pairs 0.1 v + 0.0060 v² with 6.43 m/s²: 0.1 m for each km/h are 0.36 s, and
    /// 0.0060 is 1 / (2 × 3.6² × 6.43).
    #[test]
    fn the_regulation_pairs_distance_and_deceleration() {
        let made = figure_of("stopping_distance", &["100 km/h", "6.43 m/s²", "0.36 s"], "m");
        let most = figure_of("stopping_distance_most", &["100 km/h", "cold"], "m");
        assert!((made - most).abs() < 0.05, "{made}");
        assert!(call("stopping_distance", &["100 km/h", "0 m/s²", "0 s"]).is_err());
    }
}

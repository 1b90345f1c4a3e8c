//! The most a speedometer may indicate at a true speed; the least is the true speed itself.
//!
//! Regulation 39: 0 ≤ V1 − V2 ≤ 0.1 V2 + 4 km/h at 40, 80 and 120 km/h for a vehicle that runs faster
//! than 150 km/h; at 40, 80 and 80 % of its top speed between 100 and 150 km/h; at 40 km/h and 80 %
//! between 45 and 100 km/h; at 80 % of its top speed below.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "speedometer_most",
    title: "Highest allowed speedometer reading",
    section: "drive",
    parameters: &[Parameter::new("true_speed", "km/h", Limits::Positive, "true speed V2")],
    outcome: Outcome { unit: "km/h", meaning: "most that may be indicated" },
    formula: "most = true_speed + 0.1 × true_speed + 4 km/h",
    sources: &[Source::published("UN Regulation No. 39", "Revision 1, Supplement 5", "5.3")],
    assumes: &[
        "Other jurisdictions have their own rule: this is one basis to select.",
        "Clear on paper is not permission; the tester measures.",
    ],
    example: "speedometer_most(80 km/h) = 92 km/h",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::SPEED, |v| 1.1 * v[0] + 4.0 / 3.6)?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    #[test]
    fn at_the_display_speeds() {
        for (speed, most) in [("40 km/h", 48.0), ("80 km/h", 92.0), ("120 km/h", 136.0)] {
            assert!((figure_of("speedometer_most", &[speed], "km/h") - most).abs() < 1e-9);
        }
    }
}

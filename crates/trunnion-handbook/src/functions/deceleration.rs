//! How hard a vehicle slows under the braking force of all wheels.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "deceleration",
    title: "Deceleration from braking force",
    section: "brake",
    parameters: &[
        Parameter::new("force", "kN", Limits::NotNegative, "of all wheels at the road"),
        Parameter::new("mass", "kg", Limits::Positive, "of the vehicle"),
    ],
    outcome: Outcome { unit: "m/s²", meaning: "deceleration" },
    formula: "deceleration = force / mass",
    sources: &[Source::definition("Newton's second law")],
    assumes: &[
        "Brakes decide lives: clear on paper is not permission; proven only on \
             the tester, by a licensed person.",
        "No more than the grip of the road allows.",
    ],
    example: "deceleration(14 kN, 1900 kg) = 7.368 m/s²",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::ACCELERATION, |v| v[0] / v[1])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("deceleration", &["10 kN", "2000 kg"], "m/s²");
        let wanted: f64 = 5.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("deceleration", &["10 kN", "0 kg"]).is_err());
    }
}

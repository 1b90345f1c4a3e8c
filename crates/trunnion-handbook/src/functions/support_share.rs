//! What the farther of two supports carries of a mass, from where the mass lies between them.
//!
//! The nearer one carries the rest. A mass behind the farther support lifts the nearer one: the share
//! is then more than the mass.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "support_share",
    title: "Share of a mass on one of two supports",
    section: "carry",
    parameters: &[
        Parameter::new("mass", "kg", Limits::Any, "what comes; below zero what goes"),
        Parameter::new(
            "distance",
            "mm",
            Limits::Any,
            "of its centre from the other support, towards this one",
        ),
        Parameter::new("span", "mm", Limits::Positive, "between the two supports"),
    ],
    outcome: Outcome { unit: "kg", meaning: "mass that this support carries of it" },
    formula: "share = mass × distance / span",
    sources: &[Source::definition("moments about the other support")],
    assumes: &["At rest and level; bumps, braking and torque come on top."],
    example: "support_share(86 kg, 640 mm, 3200 mm) = 17.2 kg",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::MASS, |v| v[0] * v[1] / v[2])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        // Half way between, each carries half; over one support, that one carries all.
        assert!((figure_of("support_share", &["90 kg", "1 m", "2 m"], "kg") - 45.0).abs() < 1e-9);
        assert!((figure_of("support_share", &["90 kg", "2 m", "2 m"], "kg") - 90.0).abs() < 1e-9);
        assert!(figure_of("support_share", &["90 kg", "0 m", "2 m"], "kg").abs() < 1e-9);
        // In front of the other support it lifts this one.
        assert!((figure_of("support_share", &["90 kg", "-1 m", "2 m"], "kg") + 45.0).abs() < 1e-9);
        assert!(call("support_share", &["90 kg", "1 m", "0 m"]).is_err());
    }

    /// The same as the force on a mount, which is told in newtons.
    #[test]
    fn it_agrees_with_the_force() {
        let given = ["78 kg", "310 mm", "640 mm"];
        let weight = figure_of("support_share", &given, "kg") * 9.806_65;
        assert!((weight - figure_of("support_force", &given, "N")).abs() < 1e-9);
    }
}

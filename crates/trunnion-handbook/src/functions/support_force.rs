//! What one of two mounts carries of a unit that rests on both, from where its centre of mass lies.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "support_force",
    title: "Load on a mount",
    section: "carry",
    parameters: &[
        Parameter::new("mass", "kg", Limits::Positive, "of the unit, filled"),
        Parameter::new(
            "distance",
            "mm",
            Limits::Any,
            "of the centre of mass from the other mount, towards this one",
        ),
        Parameter::new("span", "mm", Limits::Positive, "between the two mounts"),
    ],
    outcome: Outcome { unit: "N", meaning: "force on this mount; below zero it pulls" },
    formula: "force = mass × 9.80665 m/s² × distance / span",
    sources: &[Source::definition("moments about the other mount")],
    assumes: &["At rest; bumps and torque come on top."],
    example: "support_force(78 kg, 310 mm, 640 mm) = 370.5 N",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::FORCE, |v| v[0] * 9.806_65 * v[1] / v[2])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    #[test]
    fn by_hand() {
        let made = figure_of("support_force", &["100 kg", "250 mm", "1000 mm"], "N");
        let wanted: f64 = 245.166_25;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("support_force", &["100 kg", "-250 mm", "1000 mm"], "N");
        let wanted: f64 = -245.166_25;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
    }
}

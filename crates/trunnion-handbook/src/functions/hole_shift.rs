//! How far a hole may be from its place so that the bolt still goes in.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "hole_shift",
    title: "How far a bolt lets a hole be off",
    section: "fit",
    parameters: &[
        Parameter::new("hole", "mm", Limits::Positive, "diameter of the hole"),
        Parameter::new("bolt", "mm", Limits::Positive, "diameter of the bolt"),
    ],
    outcome: Outcome { unit: "mm", meaning: "shift to any side" },
    formula: "shift = (hole − bolt) / 2",
    sources: &[Source::definition("a smaller circle within a larger one")],
    assumes: &["A dowel or register allows far less."],
    example: "hole_shift(11 mm, 10 mm) = 0.5 mm",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::LENGTH, |v| (v[0] - v[1]) / 2.0)?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    #[test]
    fn by_hand() {
        let made = figure_of("hole_shift", &["9 mm", "8 mm"], "mm");
        let wanted: f64 = 0.5;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("hole_shift", &["8 mm", "9 mm"], "mm");
        let wanted: f64 = -0.5;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
    }
}

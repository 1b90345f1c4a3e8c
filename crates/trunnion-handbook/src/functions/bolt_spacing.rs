//! The straight distance between two neighbouring holes of a bolt circle: what a ruler measures where
//! the middle is out of reach.

use std::f64::consts::PI;

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "bolt_spacing",
    title: "Distance between neighbouring holes",
    section: "fit",
    parameters: &[
        Parameter::new("circle", "mm", Limits::Positive, "diameter of the bolt circle"),
        Parameter::new("holes", "", Limits::Whole(2.0, 100.0), "how many, evenly spaced"),
    ],
    outcome: Outcome { unit: "mm", meaning: "distance between the middles of two neighbours" },
    formula: "spacing = circle × sin(180° / holes)",
    sources: &[Source::definition("chord of a circle")],
    assumes: &["Evenly spaced holes."],
    example: "bolt_spacing(112 mm, 5) = 65.83 mm",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::LENGTH, |v| v[0] * (PI / v[1]).sin())?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("bolt_spacing", &["100 mm", "6"], "mm");
        let wanted: f64 = 50.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("bolt_spacing", &["100 mm", "2"], "mm");
        let wanted: f64 = 100.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("bolt_spacing", &["100 mm", "1"]).is_err());
    }
}

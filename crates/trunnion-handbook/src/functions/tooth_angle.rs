//! The angle from one tooth to the next of a trigger ring, gaps counted as teeth, or from hole to hole.

use std::f64::consts::TAU;

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "tooth_angle",
    title: "Angle from tooth to tooth",
    section: "fit",
    parameters: &[Parameter::new("teeth", "", Limits::Whole(1.0, 720.0), "teeth, missing ones too")],
    outcome: Outcome { unit: "°", meaning: "angle" },
    formula: "angle = 360° / teeth",
    sources: &[Source::definition("a full turn")],
    assumes: &[],
    example: "tooth_angle(60) = 6°",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::ANGLE, |v| TAU / v[0])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("tooth_angle", &["60"], "°");
        let wanted: f64 = 6.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("tooth_angle", &["36"], "°");
        let wanted: f64 = 10.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("tooth_angle", &["0"]).is_err());
    }
}

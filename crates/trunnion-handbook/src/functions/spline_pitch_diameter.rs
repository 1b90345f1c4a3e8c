//! Pitch diameter of an involute spline from its module and teeth: two splines with different ones do
//! not go together, whatever their outer diameters are.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "spline_pitch_diameter",
    title: "Pitch diameter of a spline",
    section: "fit",
    parameters: &[
        Parameter::new("module", "mm", Limits::Positive, "module; for a diametral pitch, 25.4 mm over it"),
        Parameter::new("teeth", "", Limits::Whole(4.0, 200.0), "teeth"),
    ],
    outcome: Outcome { unit: "mm", meaning: "pitch diameter" },
    formula: "diameter = module × teeth",
    sources: &[Source::published("ISO 4156-1", "2005", "D = m z"), Source::definition("module")],
    assumes: &["Sizes over and between pins decide the fit itself."],
    example: "spline_pitch_diameter(1.5 mm, 24) = 36 mm",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::LENGTH, |v| v[0] * v[1])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("spline_pitch_diameter", &["2 mm", "20"], "mm");
        let wanted: f64 = 40.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("spline_pitch_diameter", &["2 mm", "3"]).is_err());
    }
}

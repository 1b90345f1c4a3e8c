//! The distance between the centres of two joints from their offsets along the three axes. Worked out
//! at ride height, full bump and droop, the differences are the plunge that a shaft needs.

use crate::quantity::Quantity;
use crate::registry::{Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "shaft_length",
    title: "Length between two joints",
    section: "fit",
    parameters: &[
        Parameter::new("along", "mm", Limits::Any, "offset along the vehicle"),
        Parameter::new("across", "mm", Limits::Any, "offset across"),
        Parameter::new("down", "mm", Limits::Any, "offset in height"),
    ],
    outcome: Outcome { unit: "mm", meaning: "distance between the joints" },
    formula: "length = √(along² + across² + down²)",
    sources: &[Source::definition("Pythagoras")],
    assumes: &[],
    example: "shaft_length(1380 mm, 20 mm, 95 mm) = 1383 mm",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let [along, across, down] = [it[0].power(2)?, it[1].power(2)?, it[2].power(2)?];
    FUNCTION.worked(it, along.add(&across)?.add(&down)?.root()?)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("shaft_length", &["3 m", "4 m", "12 m"], "mm");
        let wanted: f64 = 13_000.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("shaft_length", &["-3 m", "4 m", "0 m"], "mm");
        let wanted: f64 = 5000.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("shaft_length", &["3 m", "4 V", "0 m"]).is_err());
    }
}

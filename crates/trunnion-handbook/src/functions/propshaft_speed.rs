//! How fast the propshaft turns: faster than the engine in an overdrive, which is what its critical
//! speed is held against.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "propshaft_speed",
    title: "Speed of the propshaft",
    section: "drive",
    parameters: &[
        Parameter::new("engine_speed", "rpm", Limits::NotNegative, "speed of the engine"),
        Parameter::new(
            "gear_ratio",
            "",
            Limits::Positive,
            "turns of the engine for one of the gearbox's output",
        ),
    ],
    outcome: Outcome { unit: "rpm", meaning: "speed of the propshaft" },
    formula: "speed = engine_speed / gear_ratio",
    sources: &[Source::definition("gears in series")],
    assumes: &[],
    example: "propshaft_speed(5500 rpm, 0.8) = 6875 rpm",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::ROTATION, |v| v[0] / v[1])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("propshaft_speed", &["6000 rpm", "0.75"], "rpm");
        let wanted: f64 = 8000.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("propshaft_speed", &["6000 rpm", "0"]).is_err());
    }
}

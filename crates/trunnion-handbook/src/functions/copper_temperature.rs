//! How warm a wire gets under a current, from the current that brings it to its limit: the rise goes with
//! the square.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "copper_temperature",
    title: "Temperature of a loaded wire",
    section: "wire",
    parameters: &[
        Parameter::new("ambient", "°C", Limits::Between(-50.0, 200.0), "around the wire"),
        Parameter::new("limit", "°C", Limits::Between(0.0, 250.0), "temperature rating of the insulation"),
        Parameter::new("current", "A", Limits::NotNegative, "load"),
        Parameter::new(
            "allowable",
            "A",
            Limits::Positive,
            "current that brings it from this ambient to its limit",
        ),
    ],
    outcome: Outcome { unit: "°C", meaning: "temperature of the copper" },
    formula: "temperature = ambient + (limit − ambient) × (current / allowable)²",
    sources: &[Source::definition(
        "heat given off in proportion to the rise, made in proportion to the \
             square of the current",
    )],
    assumes: &["In the steady state; copper that warms also resists more, so a hot wire \
             is a little hotter still."],
    example: "copper_temperature(30 °C, 105 °C, 15 A, 25 A) = 57 °C",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    if it[0].hi() > it[1].lo() {
        return Err(HandbookError::NoAnswer("it is hotter around the wire than its insulation may be"));
    }
    let value = worst_case(it, Dimension::TEMPERATURE, |v| v[0] + (v[1] - v[0]) * (v[2] / v[3]).powi(2))?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("copper_temperature", &["30 °C", "105 °C", "10 A", "20 A"], "°C");
        let wanted: f64 = 48.75;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("copper_temperature", &["30 °C", "105 °C", "20 A", "20 A"], "°C");
        let wanted: f64 = 105.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("copper_temperature", &["110 °C", "105 °C", "10 A", "20 A"]).is_err());
    }
}

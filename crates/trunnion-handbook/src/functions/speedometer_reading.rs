//! Indicated speed from the true one and how far the signal is off: what the listener expects over what
//! is fitted, from ratios, tooth counts or tyres.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "speedometer_reading",
    title: "What a speedometer shows",
    section: "drive",
    parameters: &[
        Parameter::new("true_speed", "km/h", Limits::NotNegative, "true speed"),
        Parameter::new(
            "expected",
            "",
            Limits::Positive,
            "pulses or turns for each distance that the listener expects",
        ),
        Parameter::new("fitted", "", Limits::Positive, "what the vehicle gives now"),
    ],
    outcome: Outcome { unit: "km/h", meaning: "indicated speed" },
    formula: "reading = true_speed × fitted / expected",
    sources: &[Source::definition("a proportion")],
    assumes: &["A speedometer that was right before; most read a little fast by design."],
    example: "speedometer_reading(80 km/h, 44, 48) = 87.27 km/h",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::SPEED, |v| v[0] * v[2] / v[1])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("speedometer_reading", &["110 km/h", "44", "48"], "km/h");
        let wanted: f64 = 120.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("speedometer_reading", &["80 km/h", "0", "48"]).is_err());
    }
}

//! How far a pack takes a vehicle at a consumption.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "driving_range",
    title: "Range of an electric vehicle",
    section: "energy",
    parameters: &[
        Parameter::new("energy", "kWh", Limits::NotNegative, "in the pack"),
        Parameter::new("usable", "%", Limits::Between(0.0, 100.0), "share that is used"),
        Parameter::new(
            "consumption",
            "Wh/km",
            Limits::Positive,
            "from the pack, at the speed and weather meant",
        ),
    ],
    outcome: Outcome { unit: "km", meaning: "distance" },
    formula: "range = energy × usable / consumption",
    sources: &[Source::definition("energy over consumption")],
    assumes: &["Cold, speed and hills take a third and more."],
    example: "driving_range(40 kWh, 85 %, 180 Wh/km) = 188.9 km",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::LENGTH, |v| v[0] * v[1] / v[2])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("driving_range", &["20 kWh", "100 %", "200 Wh/km"], "km");
        let wanted: f64 = 100.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("driving_range", &["20 kWh", "100 %", "0 Wh/km"]).is_err());
    }
}

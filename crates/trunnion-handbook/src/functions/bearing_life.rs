//! Basic rating life of a wheel or shaft bearing, as the road that nine of ten bearings reach.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "bearing_life",
    title: "Distance that a bearing lasts",
    section: "fit",
    parameters: &[
        Parameter::new("dynamic_rating", "kN", Limits::Positive, "basic dynamic load rating C"),
        Parameter::new("load", "kN", Limits::Positive, "equivalent load P"),
        Parameter::choice("rolling", &["ball", "roller"], "rolling elements"),
        Parameter::new("circumference", "mm", Limits::Positive, "rolling circumference of the wheel"),
    ],
    outcome: Outcome { unit: "km", meaning: "distance" },
    formula: "distance = (dynamic_rating / load)^p × 10⁶ × circumference, p = 3 for \
             ball, 10/3 for roller by rolling",
    sources: &[Source::published(
        "ISO 281",
        "2007",
        "L10 = (C/P)^p in million turns, p = 3 for ball, 10/3 for roller bearings",
    )],
    assumes: &[
        "Wheels and hubs decide lives: check clearance at full lock and travel, \
             and the local rules.",
        "Well greased, clean, mounted true; loads of cornering and kerbs belong in the load.",
    ],
    example: "bearing_life(40 kN, 8 kN, ball, 2050 mm) = 256250 km",
    eval: Eval::Mixed(eval),
};

fn eval(it: &[Quantity], words: &[&str]) -> Result<Evaluation, HandbookError> {
    let exponent = if words[0] == "ball" { 3.0 } else { 10.0 / 3.0 };
    let value = worst_case(it, Dimension::LENGTH, |v| (v[0] / v[1]).powf(exponent) * 1e6 * v[2])?;
    FUNCTION.worked_with(it, words, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("bearing_life", &["20 kN", "10 kN", "ball", "2 m"], "km");
        let wanted: f64 = 16_000.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("bearing_life", &["20 kN", "10 kN", "roller", "1 m"], "km");
        let wanted: f64 = 1000.0 * 2f64.powf(10.0 / 3.0);
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("bearing_life", &["20 kN", "0 kN", "ball", "2 m"]).is_err());
        assert!(call("bearing_life", &["20 kN", "10 kN", "plain", "2 m"]).is_err());
    }
}

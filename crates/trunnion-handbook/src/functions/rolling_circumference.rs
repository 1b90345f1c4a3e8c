//! What a loaded radial tyre rolls in one turn, from its design outer diameter.
//!
//! Two to three per cent below π times the diameter. A measured value beats it.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "rolling_circumference",
    title: "Rolling circumference of a tyre",
    section: "drive",
    parameters: &[Parameter::new(
        "diameter",
        "mm",
        Limits::Positive,
        "design outer diameter: see tyre_diameter",
    )],
    outcome: Outcome { unit: "mm", meaning: "rolling circumference, with the usual spread of makes" },
    formula: "circumference = 3.05 × diameter, spread +1.5 % −2.5 %",
    sources: &[Source::from_memory(
        "ETRTO Standards Manual",
        "",
        "radial tyres at 60 km/h: 3.05 times the design diameter, +1.5 % −2.5 %",
    )],
    assumes: &["Radial tyre at its pressure and load."],
    example: "rolling_circumference(672 mm) = 1998 to 2080 mm",
    eval: Eval::Figures(eval),
};

const FACTOR: f64 = 3.05;
const ABOVE: f64 = 0.015;
const BELOW: f64 = 0.025;

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let nominal = it[0].mul(&Quantity::number(FACTOR)?)?;
    let value = Quantity::si_range(
        nominal.lo() * (1.0 - BELOW),
        nominal.nominal(),
        nominal.hi() * (1.0 + ABOVE),
        Dimension::LENGTH,
    )?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    #[test]
    fn between_twice_the_diameter_and_pi() {
        let made = figure_of("rolling_circumference", &["672 mm"], "mm");
        // 3.05 × 672 = 2049.6.
        assert!((made - 2049.6).abs() < 1e-9);
        assert!(made < std::f64::consts::PI * 672.0);
    }
}

//! Pulses that a speed sensor gives for each distance, from where it sits: what a speedometer or
//! controller must be told.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "pulses_per_distance",
    title: "Pulses for each kilometre",
    section: "signal",
    parameters: &[
        Parameter::new(
            "teeth",
            "",
            Limits::Whole(1.0, 720.0),
            "pulses in a turn of what the sensor looks at",
        ),
        Parameter::new(
            "ratio",
            "",
            Limits::Positive,
            "turns of it for one of the wheel; 1 at the wheel, the final drive at the propshaft",
        ),
        Parameter::new("circumference", "mm", Limits::Positive, "rolling circumference"),
    ],
    outcome: Outcome { unit: "pulses/km", meaning: "pulses for each distance" },
    formula: "pulses = teeth × ratio / circumference",
    sources: &[Source::definition("counting")],
    assumes: &[],
    example: "pulses_per_distance(48, 1, 2050 mm) = 23415 pulses/km",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::PER_DISTANCE, |v| v[0] * v[1] / v[2])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("pulses_per_distance", &["4", "4", "2 m"], "pulses/km");
        let wanted: f64 = 8000.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("pulses_per_distance", &["4", "4", "0 m"]).is_err());
    }
}

//! Engine speed at a road speed, for an aim such as a quiet cruise.

use std::f64::consts::TAU;

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "engine_speed",
    title: "Engine speed at a road speed",
    section: "drive",
    parameters: &[
        Parameter::new("road_speed", "km/h", Limits::NotNegative, "road speed"),
        Parameter::new(
            "gear_ratio",
            "",
            Limits::Positive,
            "turns of the engine for one of the gearbox's output",
        ),
        Parameter::new(
            "final_drive",
            "",
            Limits::Positive,
            "turns of the gearbox's output for one of the wheel",
        ),
        Parameter::new("circumference", "mm", Limits::Positive, "rolling circumference of the driven tyre"),
    ],
    outcome: Outcome { unit: "rpm", meaning: "speed of rotation of the crankshaft" },
    formula: "engine speed = road_speed / circumference × gear_ratio × final_drive turns",
    sources: &[Source::definition("a wheel that rolls without slip")],
    assumes: &["No slip in clutch, converter or tyre."],
    example: "engine_speed(110 km/h, 0.88, 3.69, 2050 mm) = 2904 rpm",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::ROTATION, |v| v[0] / v[3] * v[1] * v[2] * TAU)?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    #[test]
    fn undoes_road_speed() {
        let rpm = figure_of("engine_speed", &["144 km/h", "1", "5", "2 m"], "rpm");
        assert!((rpm - 6000.0).abs() < 1e-6);
    }
}

//! Road speed from engine speed, gear, final drive and the tyre's rolling circumference.
//!
//! The circumference is the measured or published rolling one; π times the outer diameter reads a
//! few per cent high, since the loaded tyre is smaller than the free one.

use std::f64::consts::TAU;

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "road_speed",
    title: "Road speed",
    section: "drive",
    parameters: &[
        Parameter::new("engine_speed", "rpm", Limits::NotNegative, "speed of rotation of the crankshaft"),
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
    outcome: Outcome { unit: "km/h", meaning: "road speed" },
    formula: "speed = engine_speed / (gear_ratio × final_drive) × circumference per turn",
    sources: &[Source::definition("a wheel that rolls without slip")],
    assumes: &["No slip in clutch, converter or tyre."],
    example: "road_speed(3000 rpm, 0.88, 3.69, 2050 mm) = 113.6 km/h",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::SPEED, |v| v[0] / TAU / (v[1] * v[2]) * v[3])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        // 6000 / (1 × 5) = 1200 turns a minute of 2 m: 2400 m/min, 144 km/h exactly.
        let speed = figure_of("road_speed", &["6000 rpm", "1", "5", "2 m"], "km/h");
        assert!((speed - 144.0).abs() < 1e-9);
        assert!(figure_of("road_speed", &["0 rpm", "1", "5", "2 m"], "km/h").abs() < 1e-12);
    }

    #[test]
    fn a_range_of_ratio_gives_a_range_of_speed() {
        let made = call("road_speed", &["6000 rpm", "1", "4 to 5", "2 m"]).unwrap();
        assert_eq!(made.value.display(), "144 to 180 km/h");
        assert!(call("road_speed", &["6000 rpm", "0", "5", "2 m"]).is_err());
        assert!(call("road_speed", &["6000 Hz", "1", "5", "2 m"]).is_err());
    }
}

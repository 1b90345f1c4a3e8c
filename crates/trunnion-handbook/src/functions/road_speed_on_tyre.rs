//! Road speed from engine speed, gear, final drive and the marking of the driven tyre. The range is the
//! spread of makes of one marking; a measured circumference beats it: see road_speed.

use crate::quantity::Quantity;
use crate::registry::{Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "road_speed_on_tyre",
    title: "Road speed on a tyre by its marking",
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
        Parameter::word("tyre", "a tyre marking such as 205/65 R16", "as marked on its side"),
    ],
    outcome: Outcome { unit: "km/h", meaning: "road speed" },
    formula: "speed = engine_speed / (gear_ratio × final_drive) × rolling \
             circumference of tyre per turn",
    sources: &[
        Source::definition("a wheel that rolls without slip"),
        Source::from_memory(
            "ETRTO Standards Manual",
            "",
            "radial tyres at 60 km/h: 3.05 times the design diameter, +1.5 % −2.5 %",
        ),
        Source::from_memory(
            "UN Regulation No. 30",
            "02 series of amendments",
            "6.1.2.1: D = d + 2H, each rounded to 1 mm",
        ),
    ],
    assumes: &["No slip in clutch, converter or tyre.", "Radial tyre at its pressure and load."],
    example: "road_speed_on_tyre(3000 rpm, 0.88, 3.69, 205/65 R16) = 110.8 to 115.3 km/h",
    eval: Eval::Mixed(eval),
};

fn eval(it: &[Quantity], words: &[&str]) -> Result<Evaluation, HandbookError> {
    let diameter = super::tyre_diameter_of::FUNCTION.call_with(&[words[0].into()])?.value;
    let rolling = super::rolling_circumference::FUNCTION.call(&[diameter])?.value;
    let value = super::road_speed::FUNCTION.call(&[it[0], it[1], it[2], rolling])?.value;
    let note = format!("design diameter {diameter}, rolling circumference {rolling}");
    Ok(FUNCTION.worked_with(it, words, value)?.noting(&note))
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// By hand: 3000 / (0.88 × 3.69) turns a minute of 3.05 × 672 mm.
    #[test]
    fn by_hand() {
        let made = figure_of("road_speed_on_tyre", &["3000 rpm", "0.88", "3.69", "205/65 R16"], "km/h");
        assert!((made - 3000.0 / (0.88 * 3.69) * 2.0496 * 60.0 / 1000.0).abs() < 1e-9);
        let made = call("road_speed_on_tyre", &["3000 rpm", "0.88", "3.69", "205/65 R16"]).unwrap();
        assert!(made.value.lo() < made.value.nominal() && made.value.nominal() < made.value.hi());
        assert!(call("road_speed_on_tyre", &["3000 rpm", "0.88", "3.69", "205"]).is_err());
    }
}

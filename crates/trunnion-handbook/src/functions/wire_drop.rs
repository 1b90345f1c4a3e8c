//! Voltage lost in a run of wire there and back, from its size and temperature.

use crate::quantity::Quantity;
use crate::registry::{Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "wire_drop",
    title: "Voltage drop of a wire",
    section: "wire",
    parameters: &[
        Parameter::new("length", "m", Limits::NotNegative, "of the run, one way"),
        Parameter::new("size", "mm²", Limits::Positive, "cross-section"),
        Parameter::new("current", "A", Limits::NotNegative, "load"),
        Parameter::new("temperature", "°C", Limits::Between(-50.0, 200.0), "of the copper"),
        Parameter::choice(
            "basis",
            &["vehicle", "class-5", "class-2", "class-1", "solid"],
            "vehicle for ISO 6722-1, class-5, class-2, class-1 for plain copper of \
             IEC 60228, solid for a round wire of any size or gauge",
        ),
    ],
    outcome: Outcome { unit: "V", meaning: "voltage lost" },
    formula: "drop = 2 × length × current × resistance of (size, temperature) by basis",
    sources: &[
        Source::definition("Ohm's law, wire out and wire back alike"),
        Source::from_memory(
            "ISO 6722-1",
            "2011",
            "maximum resistance at 20 °C of plain copper; largest outside diameter with thin wall",
        ),
        Source::published("IEC 60228", "2004", "Tables 1, 2 and 3"),
        Source::published("IEC 60028", "1925", "annealed copper 1/58 Ω mm²/m and 0.00393 / K at 20 °C"),
    ],
    assumes: &["Both wires are of one size; a return through the body has its own resistance."],
    example: "wire_drop(4 m, 2.5 mm², 20 A, 60 °C, vehicle) = 1.407 V",
    eval: Eval::Mixed(eval),
};

fn eval(it: &[Quantity], words: &[&str]) -> Result<Evaluation, HandbookError> {
    let resistance = super::wire_resistance::of(it[1], it[3], words[0])?;
    let value = super::voltage_drop::FUNCTION.call(&[it[2], it[0], resistance])?.value;
    Ok(FUNCTION.worked_with(it, words, value)?.noting(&format!("resistance {resistance}")))
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// By hand with IEC 60228:2004, class 5, 2.5 mm²: 7.98 Ω/km at 20 °C.
    #[test]
    fn by_hand() {
        let made = figure_of("wire_drop", &["4 m", "2.5 mm²", "20 A", "60 °C", "class-5"], "V");
        assert!((made - 2.0 * 4.0 * 20.0 * 0.007_98 * (1.0 + 0.003_93 * 40.0)).abs() < 1e-12);
        assert!(call("wire_drop", &["4 m", "2.4 mm²", "20 A", "60 °C", "vehicle"]).is_err());
        assert!(call("wire_drop", &["4 m", "2.5 mm²", "20 A", "60 °C", "any"]).is_err());
    }
}

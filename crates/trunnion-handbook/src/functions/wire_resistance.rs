//! Greatest resistance per length of a wire at its temperature, by the table that is chosen: road-vehicle
//! and general cable differ by a few per cent.

use crate::quantity::Quantity;
use crate::registry::{Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "wire_resistance",
    title: "Resistance of a wire by a basis",
    section: "wire",
    parameters: &[
        Parameter::new("size", "mm²", Limits::Positive, "cross-section; with solid also a gauge as `18 AWG`"),
        Parameter::new("temperature", "°C", Limits::Between(-50.0, 200.0), "of the copper"),
        Parameter::choice(
            "basis",
            &["vehicle", "class-5", "class-2", "class-1", "solid"],
            "vehicle for ISO 6722-1, class-5, class-2, class-1 for plain copper of \
             IEC 60228, solid for a round wire of any size or gauge",
        ),
    ],
    outcome: Outcome { unit: "mΩ/m", meaning: "resistance per length" },
    formula: "resistance = R20 of size by basis × (1 + 0.00393 / K × (temperature − 20 °C))",
    sources: &[
        Source::from_memory(
            "ISO 6722-1",
            "2011",
            "maximum resistance at 20 °C of plain copper; largest outside diameter with thin wall",
        ),
        Source::published("IEC 60228", "2004", "Tables 1, 2 and 3"),
        Source::published("IEC 60028", "1925", "annealed copper 1/58 Ω mm²/m and 0.00393 / K at 20 °C"),
    ],
    assumes: &["Sizes between those of the table are not worked out."],
    example: "wire_resistance(2.5 mm², 60 °C, vehicle) = 8.795 mΩ/m",
    eval: Eval::Mixed(eval),
};

fn eval(it: &[Quantity], words: &[&str]) -> Result<Evaluation, HandbookError> {
    let value = of(it[0], it[1], words[0])?;
    FUNCTION.worked_with(it, words, value)
}

/// The resistance per length by a basis.
pub(super) fn of(size: Quantity, temperature: Quantity, basis: &str) -> Result<Quantity, HandbookError> {
    let class = match basis {
        "class-1" => 1.0,
        "class-2" => 2.0,
        "class-5" => 5.0,
        "solid" => return Ok(super::gauge_resistance::FUNCTION.call(&[size, temperature])?.value),
        _ => return Ok(super::vehicle_wire_resistance::FUNCTION.call(&[size, temperature])?.value),
    };
    let given = [size, Quantity::number(class)?, Quantity::number(0.0)?, temperature];
    Ok(super::conductor_resistance::FUNCTION.call(&given)?.value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// IEC 60228:2004, Tables 2 and 3, row of 2.5 mm².
    #[test]
    fn printed_rows_at_twenty_degrees() {
        let made = figure_of("wire_resistance", &["2.5 mm²", "20 °C", "class-5"], "mΩ/m");
        let wanted: f64 = 7.98;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("wire_resistance", &["2.5 mm²", "20 °C", "class-2"], "mΩ/m");
        let wanted: f64 = 7.41;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("wire_resistance", &["2.5 mm²", "20 °C", "vehicle"], "mΩ/m");
        let wanted: f64 = 7.6;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("wire_resistance", &["1 mm²", "20 °C", "solid"], "mΩ/m");
        let wanted: f64 = 1000.0 / 58.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("wire_resistance", &["2.7 mm²", "20 °C", "class-5"]).is_err());
        assert!(call("wire_resistance", &["2.5 mm²", "20 °C", "class-3"]).is_err());
    }
}

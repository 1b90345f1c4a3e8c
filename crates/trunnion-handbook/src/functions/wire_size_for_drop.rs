//! The smallest size in the table that loses no more than a limit there and back.

use crate::data::{CONDUCTOR, VEHICLE_WIRE};
use crate::quantity::Quantity;
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, OutOfTable, Outcome, Parameter, Source,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "wire_size_for_drop",
    title: "Wire size for a voltage drop",
    section: "wire",
    parameters: &[
        Parameter::new("length", "m", Limits::NotNegative, "of the run, one way"),
        Parameter::new("current", "A", Limits::NotNegative, "load"),
        Parameter::new("temperature", "°C", Limits::Between(-50.0, 200.0), "of the copper"),
        Parameter::new("most", "V", Limits::Positive, "most that may be lost"),
        Parameter::choice(
            "basis",
            &["vehicle", "class-5", "class-2", "class-1"],
            "vehicle for ISO 6722-1, the others for plain copper of IEC 60228",
        ),
    ],
    outcome: Outcome { unit: "mm²", meaning: "smallest size of the table that holds" },
    formula: "size = smallest in the table of basis with 2 × length × current × \
             resistance at temperature ≤ most",
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
    assumes: &["The allowable current is another matter: see boat_allowable_current."],
    example: "wire_size_for_drop(4 m, 20 A, 60 °C, 0.5 V, vehicle) = 8 mm²",
    eval: Eval::Mixed(eval),
};

fn eval(it: &[Quantity], words: &[&str]) -> Result<Evaluation, HandbookError> {
    let table = if words[0] == "vehicle" { VEHICLE_WIRE.table() } else { CONDUCTOR.table() };
    for size in table.all().filter_map(|row| row.at(0)) {
        let size = Quantity::exact(size, "mm²")?;
        let Ok(resistance) = super::wire_resistance::of(size, it[2], words[0]) else {
            continue;
        };
        let drop = super::voltage_drop::FUNCTION.call(&[it[1], it[0], resistance])?.value;
        if drop.hi() <= it[3].lo() {
            return Ok(FUNCTION.worked_with(it, words, size)?.noting(&format!("drop {drop}")));
        }
    }
    let wanted = format!("size that loses at most {}", it[3]);
    Err(OutOfTable::new("the table of wires", wanted, "sizes that all lose more").into())
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// The size found holds and the one before it does not.
    #[test]
    fn the_next_smaller_one_does_not_hold() {
        let size = figure_of("wire_size_for_drop", &["4 m", "20 A", "60 °C", "0.5 V", "class-5"], "mm²");
        assert!((size - 10.0).abs() < 1e-9, "{size}");
        let lost = |size| figure_of("wire_drop", &["4 m", size, "20 A", "60 °C", "class-5"], "V");
        assert!(lost("6 mm²") > 0.5 && lost("10 mm²") <= 0.5);
        assert!(call("wire_size_for_drop", &["90 m", "200 A", "60 °C", "0.1 V", "vehicle"]).is_err());
    }
}

//! Longest trunk of a CAN bus at a bit rate, by the document that is chosen. ISO 11898-2 speaks for
//! 1 Mbit/s only, SAE J1939-11 for 250 kbit/s, CAN in Automation for a row of rates; they differ.

use crate::data::CAN_LENGTH;
use crate::quantity::Quantity;
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, OutOfTable, Outcome, Parameter, Source,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "bus_length",
    title: "Longest trunk by a basis",
    section: "bus",
    parameters: &[
        Parameter::new("bit_rate", "kbit/s", Limits::Between(5.0, 1000.0), "speed of the bus"),
        Parameter::choice("basis", &["CiA", "ISO-11898-2", "J1939-11"], "document"),
    ],
    outcome: Outcome { unit: "m", meaning: "longest trunk" },
    formula: "length = table of basis at bit_rate",
    sources: &[
        Source::published(
            "CAN in Automation, recommended wire lengths; CiA 301",
            "1995-07 and 2011",
            "reachable length by bit rate",
        ),
        Source::published("ISO 11898-2", "2016", "40 m at 1 Mbit/s"),
        Source::published("SAE J1939-11", "1999 and later", "40 m at 250 kbit/s, stubs to 1 m"),
    ],
    assumes: &["Wire and terminators as the document asks; two terminators at the far ends."],
    example: "bus_length(500 kbit/s, CiA) = 100 m",
    eval: Eval::Mixed(eval),
};

fn eval(it: &[Quantity], words: &[&str]) -> Result<Evaluation, HandbookError> {
    let rate = it[0].in_unit("kbit/s").filter(|_| it[0].is_exact());
    let only = |wanted: f64| rate.filter(|it| (it - wanted).abs() < 1e-6).map(|_| 40.0);
    let metres = match words[0] {
        "ISO-11898-2" => only(1000.0),
        "J1939-11" => only(250.0),
        _ => rate.and_then(|rate| CAN_LENGTH.table().row_at(rate)?.figure("m")),
    };
    let none = || {
        let wanted = format!("length at {} by {}", it[0], words[0]);
        OutOfTable::new(
            "the table of bus lengths",
            wanted,
            "CiA 10 kbit/s to 1 Mbit/s in steps, ISO 11898-2 1 Mbit/s, J1939-11 250 kbit/s",
        )
    };
    FUNCTION.worked_with(it, words, Quantity::exact(metres.ok_or_else(none)?, "m")?)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// CiA: 100 m at 500 kbit/s, 25 m at 1 Mbit/s; SAE J1939-11: 40 m.
    #[test]
    fn printed_lengths() {
        let made = figure_of("bus_length", &["500 kbit/s", "CiA"], "m");
        let wanted: f64 = 100.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("bus_length", &["1 Mbit/s", "CiA"], "m");
        let wanted: f64 = 25.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("bus_length", &["1 Mbit/s", "ISO-11898-2"], "m");
        let wanted: f64 = 40.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("bus_length", &["250 kbit/s", "J1939-11"], "m");
        let wanted: f64 = 40.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("bus_length", &["250 kbit/s", "CiA"], "m");
        let wanted: f64 = 250.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("bus_length", &["500 kbit/s", "ISO-11898-2"]).is_err());
        assert!(call("bus_length", &["500 kbit/s", "J1939-11"]).is_err());
        assert!(call("bus_length", &["333 kbit/s", "CiA"]).is_err());
        assert!(call("bus_length", &["500 kbit/s", "any"]).is_err());
    }
}

//! Longest stub from the trunk of a CAN bus to a node.

use crate::data::CAN_STUB;
use crate::quantity::Quantity;
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, OutOfTable, Outcome, Parameter, Source,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "bus_stub",
    title: "Longest stub by a basis",
    section: "bus",
    parameters: &[
        Parameter::new("bit_rate", "kbit/s", Limits::Between(5.0, 1000.0), "speed of the bus"),
        Parameter::choice("basis", &["CiA-303-1", "ISO-11898-2", "J1939-11"], "document"),
    ],
    outcome: Outcome { unit: "m", meaning: "longest stub" },
    formula: "stub = table of basis at bit_rate",
    sources: &[
        Source::published("CiA 303-1", "2012", "longest stub and longest sum of stubs by bit rate"),
        Source::published("ISO 11898-2", "2003 and later", "stubs to 0.3 m at 1 Mbit/s"),
        Source::published("SAE J1939-11", "1999 and later", "40 m at 250 kbit/s, stubs to 1 m"),
    ],
    assumes: &["Shorter is better; the stubs of all nodes together have their own limit."],
    example: "bus_stub(500 kbit/s, CiA-303-1) = 5.5 m",
    eval: Eval::Mixed(eval),
};

fn eval(it: &[Quantity], words: &[&str]) -> Result<Evaluation, HandbookError> {
    let rate = it[0].in_unit("kbit/s").filter(|_| it[0].is_exact());
    let only = |wanted: f64, metres: f64| rate.filter(|it| (it - wanted).abs() < 1e-6).map(|_| metres);
    let metres = match words[0] {
        "ISO-11898-2" => only(1000.0, 0.3),
        "J1939-11" => only(250.0, 1.0),
        _ => rate.and_then(|rate| CAN_STUB.table().row_at(rate)?.figure("stub")),
    };
    let none = || {
        let wanted = format!("stub at {} by {}", it[0], words[0]);
        OutOfTable::new(
            "the table of stubs",
            wanted,
            "CiA 303-1 50 kbit/s to 1 Mbit/s in steps, ISO 11898-2 1 Mbit/s, J1939-11 250 kbit/s",
        )
    };
    FUNCTION.worked_with(it, words, Quantity::exact(metres.ok_or_else(none)?, "m")?)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// CiA 303-1 as makers of nodes reprint it, all rows; ISO 11898-2 as makers of interfaces quote it;
    /// SAE J1939-11: stubs to 1 m.
    #[test]
    fn printed_stubs() {
        let made = figure_of("bus_stub", &["500 kbit/s", "CiA-303-1"], "m");
        let wanted: f64 = 5.5;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("bus_stub", &["1 Mbit/s", "ISO-11898-2"], "m");
        let wanted: f64 = 0.3;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("bus_stub", &["250 kbit/s", "J1939-11"], "m");
        let wanted: f64 = 1.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("bus_stub", &["10 kbit/s", "CiA-303-1"]).is_err());
        assert!(call("bus_stub", &["500 kbit/s", "J1939-11"]).is_err());
    }
}

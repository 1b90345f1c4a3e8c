//! Longest trunk of a CAN bus by its bit rate, as CAN in Automation recommends.
//!
//! ISO 11898-2 itself speaks for 1 Mbit/s only, where it allows 40 m with stubs to 0.3 m; other
//! recommendations differ: a basis to select.

use crate::data::CAN_LENGTH;
use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, OutOfTable, Outcome, Parameter, Source,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "can_bus_length",
    title: "Longest CAN trunk by CiA",
    section: "bus",
    parameters: &[Parameter::new(
        "bit_rate",
        "kbit/s",
        Limits::OneOf(&[10.0, 20.0, 50.0, 125.0, 250.0, 500.0, 800.0, 1000.0]),
        "speed of the bus",
    )],
    outcome: Outcome { unit: "m", meaning: "longest trunk" },
    formula: "length = CiA table for bit_rate",
    sources: &[Source::published(
        "CAN in Automation, recommended wire lengths",
        "1995-07",
        "reachable length by bit rate; CiA 301 repeats it",
    )],
    assumes: &["Wire and terminators as ISO 11898-2 asks."],
    example: "can_bus_length(500 kbit/s) = 100 m",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let rate = it[0].nominal() / 1000.0;
    let row = CAN_LENGTH.table().row_at(rate);
    let none =
        || OutOfTable::new("the CiA table", format!("length at {}", it[0]), "10 kbit/s to 1 Mbit/s in steps");
    let metres = row.and_then(|it| it.figure("m")).ok_or_else(none)?;
    let value = Quantity::si(metres, Dimension::LENGTH)?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn as_printed() {
        for (rate, metres) in
            [("1 Mbit/s", 25.0), ("500 kbit/s", 100.0), ("250 kbit/s", 250.0), ("10 kbit/s", 5000.0)]
        {
            assert!((figure_of("can_bus_length", &[rate], "m") - metres).abs() < 1e-9);
        }
        assert!(call("can_bus_length", &["333 kbit/s"]).is_err());
    }
}

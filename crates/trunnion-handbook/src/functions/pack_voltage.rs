//! Voltage of a pack from its cells in series: empty, nominal and full, against the windows of
//! inverter and charger.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "pack_voltage",
    title: "Voltage of cells in a row",
    section: "volt",
    parameters: &[
        Parameter::new("cells", "", Limits::Whole(1.0, 400.0), "cells in series"),
        Parameter::new("cell_voltage", "V", Limits::Between(0.0, 5.0), "of one cell"),
    ],
    outcome: Outcome { unit: "V", meaning: "voltage of the pack" },
    formula: "voltage = cells × cell_voltage",
    sources: &[Source::definition("a row of cells")],
    assumes: &["High voltage is licensed work; clear on paper is not permission."],
    example: "pack_voltage(96, 3 to 4.2 V) = 288 to 403.2 V",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::VOLTAGE, |v| v[0] * v[1])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("pack_voltage", &["100", "3.7 V"], "V");
        let wanted: f64 = 370.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("pack_voltage", &["0", "3 V"]).is_err());
        assert!(call("pack_voltage", &["10", "12 V"]).is_err());
    }
}

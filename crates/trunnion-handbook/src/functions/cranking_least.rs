//! Lowest supply of a 12 V system in the standard's starting test, by its level: what a control
//! unit of that level bears, to be held against the dip that cranking makes (see loaded_voltage).

use crate::data::CRANKING;
use crate::quantity::Quantity;
use crate::registry::{Eval, Evaluation, Function, HandbookError, OutOfTable, Outcome, Parameter, Source};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "cranking_least",
    title: "Voltage at which electronics must live while cranking",
    section: "energy",
    parameters: &[
        Parameter::choice("level", &["I", "II", "III", "IV"], "level that the unit is specified for"),
        Parameter::choice("moment", &["first", "cranking"], "the first instant, or while the engine turns"),
    ],
    outcome: Outcome { unit: "V", meaning: "lowest supply" },
    formula: "voltage = ISO 16750-2 starting profile for level at moment",
    sources: &[Source::from_memory(
        "ISO 16750-2",
        "2012",
        "starting profile of 12 V systems, lowest voltages US6 and US",
    )],
    assumes: &["Between battery and unit more is lost."],
    example: "cranking_least(II, cranking) = 6.5 V",
    eval: Eval::Mixed(eval),
};

fn eval(it: &[Quantity], words: &[&str]) -> Result<Evaluation, HandbookError> {
    let column = if words[1] == "first" { "first" } else { "then" };
    let row = CRANKING.table().row(words[0]);
    let none = || OutOfTable::new("ISO 16750-2", words[0], "levels I to IV");
    let value = Quantity::exact(row.and_then(|row| row.figure(column)).ok_or_else(none)?, "V")?;
    FUNCTION.worked_with(it, words, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn rows_of_the_profile() {
        let made = figure_of("cranking_least", &["I", "first"], "V");
        let wanted: f64 = 8.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("cranking_least", &["I", "cranking"], "V");
        let wanted: f64 = 9.5;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("cranking_least", &["III", "first"], "V");
        let wanted: f64 = 3.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("cranking_least", &["IV", "cranking"], "V");
        let wanted: f64 = 6.5;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("cranking_least", &["V", "first"]).is_err());
    }
}

//! How fast a tyre may turn by the letter behind its load index.

use crate::data::SPEED_SYMBOL;
use crate::quantity::Quantity;
use crate::registry::{Eval, Evaluation, Function, HandbookError, OutOfTable, Outcome, Parameter, Source};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "speed_of_symbol",
    title: "Speed of a speed symbol",
    section: "drive",
    parameters: &[Parameter::choice(
        "symbol",
        &["F", "G", "J", "K", "L", "M", "N", "P", "Q", "R", "S", "T", "U", "H", "V", "W", "Y"],
        "speed symbol",
    )],
    outcome: Outcome { unit: "km/h", meaning: "highest speed" },
    formula: "speed = UN Regulation 30 table at symbol",
    sources: &[Source::published(
        "UN Regulation No. 30",
        "02 series of amendments",
        "speed category symbols, 2.29 and No. 54",
    )],
    assumes: &["Wheels and hubs decide lives: check clearance at full lock and travel, \
             and the local rules."],
    example: "speed_of_symbol(T) = 190 km/h",
    eval: Eval::Mixed(eval),
};

fn eval(it: &[Quantity], words: &[&str]) -> Result<Evaluation, HandbookError> {
    let row = SPEED_SYMBOL.table().row(words[0]);
    let none = || OutOfTable::new("the table of speed symbols", words[0], "F to Y");
    let value = Quantity::exact(row.and_then(|row| row.at(1)).ok_or_else(none)?, "km/h")?;
    FUNCTION.worked_with(it, words, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// UN Regulation No. 30, 2.29.
    #[test]
    fn printed_rows() {
        let made = figure_of("speed_of_symbol", &["T"], "km/h");
        let wanted: f64 = 190.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("speed_of_symbol", &["H"], "km/h");
        let wanted: f64 = 210.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("speed_of_symbol", &["Q"], "km/h");
        let wanted: f64 = 160.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("speed_of_symbol", &["V"], "km/h");
        let wanted: f64 = 240.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("speed_of_symbol", &["Y"], "km/h");
        let wanted: f64 = 300.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("speed_of_symbol", &["X"]).is_err());
    }
}

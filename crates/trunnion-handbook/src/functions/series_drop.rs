//! Voltage lost over contacts, straps and wires in a row: an earth strap with its bolts, a plug, a fuse.

use crate::quantity::Quantity;
use crate::registry::{Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "series_drop",
    title: "Voltage lost over several resistances",
    section: "wire",
    parameters: &[
        Parameter::new("current", "A", Limits::NotNegative, "through all"),
        Parameter::new("resistances", "mΩ", Limits::NotNegative, "each resistance in the row").repeated(),
    ],
    outcome: Outcome { unit: "V", meaning: "voltage lost" },
    formula: "drop = current × sum of (resistances)",
    sources: &[Source::definition("Ohm's law")],
    assumes: &["A good earth strap loses less than 0.1 V under its load, common practice."],
    example: "series_drop(180 A, 0.3 mΩ, 0.1 mΩ, 0.1 mΩ) = 0.09 V",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let mut sum = it[1];
    for resistance in &it[2..] {
        sum = sum.add(resistance)?;
    }
    FUNCTION.worked(it, sum.mul(&it[0])?)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("series_drop", &["100 A", "1 mΩ", "2 mΩ"], "V");
        let wanted: f64 = 0.3;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("series_drop", &["10 A", "5 mΩ"], "V");
        let wanted: f64 = 0.05;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("series_drop", &["100 A"]).is_err());
        assert!(call("series_drop", &["100 A", "-1 mΩ"]).is_err());
    }
}

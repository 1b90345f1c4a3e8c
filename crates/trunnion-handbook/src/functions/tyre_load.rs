//! Load of a single tyre at its highest pressure, by the load index in its marking.

use crate::quantity::Quantity;
use crate::registry::{Eval, Evaluation, Function, HandbookError, OutOfTable, Outcome, Parameter, Source};
use crate::tyre::Tyre;

/// See the module.
pub static FUNCTION: Function = Function {
    name: "tyre_load",
    title: "Load that a tyre carries",
    section: "drive",
    parameters: &[Parameter::word(
        "tyre",
        "a tyre marking with an index, such as 205/65 R16 95H",
        "as marked on its side",
    )],
    outcome: Outcome { unit: "kg", meaning: "load of one tyre" },
    formula: "load = load index of tyre by UN Regulation 30",
    sources: &[Source::published(
        "UN Regulation No. 30",
        "02 series of amendments",
        "Annex 4, load-capacity indices; No. 54 Annex 4 continues them",
    )],
    assumes: &[
        "Wheels and hubs decide lives: check clearance at full lock and travel, \
             and the local rules.",
        "Twice it is the most an axle with single tyres may load.",
    ],
    example: "tyre_load(205/65 R16C 107/105T) = 975 kg",
    eval: Eval::Mixed(eval),
};

fn eval(it: &[Quantity], words: &[&str]) -> Result<Evaluation, HandbookError> {
    let tyre = Tyre::parse(words[0])?;
    let none = || OutOfTable::new("the marking", format!("load index in {tyre}"), "the size only");
    let value = Quantity::exact(tyre.load_kg().ok_or_else(none)?, "kg")?;
    FUNCTION.worked_with(it, words, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// UN Regulation No. 30, Annex 4: index 91 is 615 kg, 95 is 690 kg, 107 is 975 kg.
    #[test]
    fn printed_rows() {
        let made = figure_of("tyre_load", &["205/65 R16 95H"], "kg");
        let wanted: f64 = 690.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("tyre_load", &["195/65 R15 91T"], "kg");
        let wanted: f64 = 615.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("tyre_load", &["205/65 R16C 107/105T"], "kg");
        let wanted: f64 = 975.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("tyre_load", &["205/65 R16"]).is_err());
    }
}

//! Design outer diameter from the whole marking, as `205/65 R16 107/105T`. As tyre_diameter, which
//! takes the three figures.

use crate::quantity::Quantity;
use crate::registry::{Eval, Evaluation, Function, HandbookError, OutOfTable, Outcome, Parameter, Source};
use crate::tyre::Tyre;

/// See the module.
pub static FUNCTION: Function = Function {
    name: "tyre_diameter_of",
    title: "Outer diameter of a tyre by its marking",
    section: "drive",
    parameters: &[Parameter::word("tyre", "a tyre marking such as 205/65 R16", "as marked on its side")],
    outcome: Outcome { unit: "mm", meaning: "outer diameter" },
    formula: "diameter = rim + 2 × width × aspect of tyre",
    sources: &[Source::from_memory(
        "UN Regulation No. 30",
        "02 series of amendments",
        "6.1.2.1: D = d + 2H, each rounded to 1 mm",
    )],
    assumes: &[
        "Free diameter on the measuring rim.",
        "A marking without an aspect has its size from a table, which is not stored.",
    ],
    example: "tyre_diameter_of(205/65 R16) = 672 mm",
    eval: Eval::Mixed(eval),
};

fn eval(it: &[Quantity], words: &[&str]) -> Result<Evaluation, HandbookError> {
    let tyre = Tyre::parse(words[0])?;
    let none = || OutOfTable::new("the formula for diameters", format!("{tyre}"), "markings with an aspect");
    let value = Quantity::exact(tyre.outer_diameter_mm().ok_or_else(none)?, "mm")?;
    FUNCTION.worked_with(it, words, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn as_the_marking_reads() {
        let made = figure_of("tyre_diameter_of", &["205/65 R16"], "mm");
        let wanted: f64 = 672.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("tyre_diameter_of", &["195/65R15 91H"], "mm");
        let wanted: f64 = 635.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("tyre_diameter_of", &["195 R14"]).is_err());
        assert!(call("tyre_diameter_of", &["205"]).is_err());
    }
}

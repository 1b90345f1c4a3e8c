//! How much larger one tyre is than another; more than zero means larger. What rolls, indicates and gears
//! changes by the same share.

use crate::quantity::Quantity;
use crate::registry::{Eval, Evaluation, Function, HandbookError, Outcome, Parameter, Source};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "tyre_difference",
    title: "Difference in size of two tyres",
    section: "drive",
    parameters: &[
        Parameter::word("fitted", "a tyre marking such as 215/65 R16", "the tyre that is there"),
        Parameter::word("expected", "a tyre marking such as 205/65 R16", "the tyre it is held against"),
    ],
    outcome: Outcome { unit: "%", meaning: "difference of the outer diameters" },
    formula: "difference = diameter of fitted / diameter of expected − 1",
    sources: &[
        Source::from_memory(
            "UN Regulation No. 30",
            "02 series of amendments",
            "6.1.2.1: D = d + 2H, each rounded to 1 mm",
        ),
        Source::definition("a relative difference"),
    ],
    assumes: &["Both of one kind; makes of one marking differ by more than a per cent."],
    example: "tyre_difference(215/65 R16, 205/65 R16) = 2.083 %",
    eval: Eval::Mixed(eval),
};

fn eval(it: &[Quantity], words: &[&str]) -> Result<Evaluation, HandbookError> {
    let diameter = |word: &str| super::tyre_diameter_of::FUNCTION.call_with(&[word.into()]);
    let (fitted, expected) = (diameter(words[0])?.value, diameter(words[1])?.value);
    let value = fitted.div(&expected)?.sub(&Quantity::number(1.0)?)?;
    let note = format!("diameters {fitted} and {expected}");
    Ok(FUNCTION.worked_with(it, words, value)?.noting(&note))
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("tyre_difference", &["205/65 R16", "195/65 R15"], "%");
        let wanted: f64 = (672.0 / 635.0 - 1.0) * 100.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("tyre_difference", &["205/65 R16", "205/65R16C"], "%");
        let wanted: f64 = 0.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("tyre_difference", &["205/65 R16", "195 R14"]).is_err());
    }
}

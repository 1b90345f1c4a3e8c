//! Width of a bundle by the workshop's rule: 1.2 times the root of the sum of squares. It reads low for two
//! wires and several other counts: see bundle_least and bundle_most for what is certain.

use crate::quantity::Quantity;
use crate::registry::{Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "bundle_rule",
    title: "Bundle of mixed wires, rule of thumb",
    section: "wire",
    parameters: &[
        Parameter::new("diameters", "mm", Limits::Positive, "of each wire over its insulation").repeated()
    ],
    outcome: Outcome { unit: "mm", meaning: "width" },
    formula: "width = 1.2 × √(sum of diameters²)",
    sources: &[Source::common_practice("1.2 √Σd²")],
    assumes: &["Tape or sleeve comes on top."],
    example: "bundle_rule(2 mm, 2 mm, 3 mm, 1.6 mm) = 5.307 mm",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let mut sum = it[0].power(2)?;
    for diameter in &it[1..] {
        sum = sum.add(&diameter.power(2)?)?;
    }
    FUNCTION.worked(it, sum.root()?.mul(&Quantity::number(1.2)?)?)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("bundle_rule", &["3 mm", "4 mm"], "mm");
        let wanted: f64 = 6.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("bundle_rule", &["1 mm"], "mm");
        let wanted: f64 = 1.2;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("bundle_rule", &["0 mm"]).is_err());
        assert!(call("bundle_rule", &[]).is_err());
    }
}

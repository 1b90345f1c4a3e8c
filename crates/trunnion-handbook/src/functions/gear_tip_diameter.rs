//! Outer diameter over the teeth of an unshifted spur gear, to tell the module of a pinion or ring gear.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "gear_tip_diameter",
    title: "Tip diameter of a spur gear",
    section: "fit",
    parameters: &[
        Parameter::new("module", "mm", Limits::Positive, "pitch diameter over teeth"),
        Parameter::new("teeth", "", Limits::Whole(5.0, 500.0), "teeth"),
    ],
    outcome: Outcome { unit: "mm", meaning: "diameter over the tips" },
    formula: "diameter = module × (teeth + 2)",
    sources: &[Source::definition("addendum of one module (ISO 53 basic rack)")],
    assumes: &["No profile shift; starter pinions are often shifted and stand larger."],
    example: "gear_tip_diameter(2.5 mm, 10) = 30 mm",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::LENGTH, |v| v[0] * (v[1] + 2.0))?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("gear_tip_diameter", &["2 mm", "20"], "mm");
        let wanted: f64 = 44.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("gear_tip_diameter", &["2 mm", "2.5"]).is_err());
    }
}

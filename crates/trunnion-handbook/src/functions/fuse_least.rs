//! Rating that a fuse must have so that a steady load leaves it cool.
//!
//! Three quarters of the rating is common practice for a blade fuse at room temperature; less in a hot
//! bay, by the maker's curve.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "fuse_least",
    title: "Smallest fuse for a load",
    section: "wire",
    parameters: &[
        Parameter::new("load", "A", Limits::NotNegative, "steady load"),
        Parameter::new(
            "derating",
            "%",
            Limits::Between(10.0, 100.0),
            "share of its rating that the fuse carries for ever where it sits",
        ),
    ],
    outcome: Outcome { unit: "A", meaning: "least rating" },
    formula: "rating = load / derating",
    sources: &[Source::common_practice("three quarters of the rating for steady loads")],
    assumes: &["A motor's inrush is another matter."],
    example: "fuse_least(11 A, 75 %) = 14.67 A",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::CURRENT, |v| v[0] / v[1])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    #[test]
    fn by_hand() {
        assert!((figure_of("fuse_least", &["15 A", "75 %"], "A") - 20.0).abs() < 1e-9);
    }
}

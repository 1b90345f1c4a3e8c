//! The force a bolt clamps with after tightening, T = K F d.
//!
//! K is measured, not chosen: dry and rusty 0.3, plain 0.2, oiled 0.15 are common practice, and one
//! batch spreads by a quarter. Give it as a range and take the least preload for capacity, the most
//! for the bolt.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "bolt_preload",
    title: "Preload from tightening torque",
    section: "fit",
    parameters: &[
        Parameter::new("torque", "Nm", Limits::NotNegative, "tightening torque"),
        Parameter::new("torque_factor", "", Limits::Between(0.05, 0.6), "K, of thread and head together"),
        Parameter::new("diameter", "mm", Limits::Positive, "nominal diameter"),
    ],
    outcome: Outcome { unit: "kN", meaning: "preload" },
    formula: "preload = torque / (torque_factor × diameter)",
    sources: &[
        Source::definition("torque factor K = T / (F d), measured as ISO 16047 tests it"),
        Source::common_practice("K of 0.15 oiled, 0.2 plain, 0.3 dry"),
    ],
    assumes: &["Tightened below yield.", "Use the maker's torque where there is one."],
    example: "bolt_preload(85 Nm, 0.16 to 0.24, 12 mm) = 29.51 to 44.27 kN",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::FORCE, |v| v[0] / (v[1] * v[2]))?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// Shigley's Mechanical Engineering Design, 9th edition, Example 8-3 (from memory): a 3/4 in bolt,
    /// K = 0.2, 25 kip of preload need 3750 lbf in.
    #[test]
    fn a_printed_example() {
        let force = figure_of("bolt_preload", &["3750 lbf in", "0.2", "0.75 in"], "lbf");
        assert!((force - 25_000.0).abs() < 1e-6);
        assert!(call("bolt_preload", &["85 Nm", "0", "12 mm"]).is_err());
    }
}

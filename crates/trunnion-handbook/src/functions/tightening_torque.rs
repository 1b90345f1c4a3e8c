//! Torque that gives a bolt a preload, T = K F d: the reverse of bolt_preload.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "tightening_torque",
    title: "Tightening torque for a preload",
    section: "fit",
    parameters: &[
        Parameter::new("preload", "kN", Limits::NotNegative, "wanted clamp force"),
        Parameter::new("torque_factor", "", Limits::Between(0.05, 0.6), "K, of thread and head together"),
        Parameter::new("diameter", "mm", Limits::Positive, "nominal diameter"),
    ],
    outcome: Outcome { unit: "Nm", meaning: "tightening torque" },
    formula: "torque = torque_factor × preload × diameter",
    sources: &[Source::definition("torque factor K = T / (F d), measured as ISO 16047 tests it")],
    assumes: &["Use the maker's torque where there is one."],
    example: "tightening_torque(36 kN, 0.2, 12 mm) = 86.4 Nm",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::ENERGY, |v| v[0] * v[1] * v[2])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    #[test]
    fn undoes_the_preload() {
        let torque = figure_of("tightening_torque", &["25000 lbf", "0.2", "0.75 in"], "lbf in");
        assert!((torque - 3750.0).abs() < 1e-6);
    }
}

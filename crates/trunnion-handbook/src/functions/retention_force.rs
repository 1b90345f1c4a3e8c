//! Force that brackets must hold when a load is braked or pushed at an acceleration, as a battery pack
//! in a crash.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "retention_force",
    title: "Force that holds a load",
    section: "carry",
    parameters: &[
        Parameter::new("mass", "kg", Limits::Positive, "of what is held"),
        Parameter::new("acceleration", "m/s²", Limits::NotNegative, "acceleration"),
    ],
    outcome: Outcome { unit: "kN", meaning: "force" },
    formula: "force = mass × acceleration",
    sources: &[
        Source::definition("Newton's second law"),
        Source::from_memory(
            "UN Regulation No. 100",
            "02 series of amendments",
            "Annex 8D, mechanical shock: 20 g along and 8 g across for cars",
        ),
    ],
    assumes: &[
        "High voltage is licensed work; clear on paper is not permission.",
        "How far brackets must hold is for the local rules.",
    ],
    example: "retention_force(210 kg, 196 m/s²) = 41.16 kN",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::FORCE, |v| v[0] * v[1])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    #[test]
    fn by_hand() {
        let made = figure_of("retention_force", &["100 kg", "98 m/s²"], "kN");
        let wanted: f64 = 9.8;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
    }
}

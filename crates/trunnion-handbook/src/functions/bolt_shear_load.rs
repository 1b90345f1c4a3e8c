//! What a group of bolts bears across its shanks before one of them stays bent: the shear that yields as
//! soon as the proof load does in tension.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "bolt_shear_load",
    title: "Load across a group of bolts",
    section: "carry",
    parameters: &[
        Parameter::new("proof_load", "kN", Limits::Positive, "of one bolt, along it"),
        Parameter::new("bolts", "", Limits::Whole(1.0, 100.0), "number of bolts that share it"),
    ],
    outcome: Outcome { unit: "kN", meaning: "load across all of them together" },
    formula: "load = bolts × proof_load / √3",
    sources: &[Source::definition("distortion energy: shear yields at 1 / √3 of the tension")],
    assumes: &[
        "All share alike; the thread lies in the shear plane.",
        "What they are bolted to is another matter.",
    ],
    example: "bolt_shear_load(48.9 kN, 4) = 112.9 kN",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::FORCE, |v| v[0] * v[1] / 3f64.sqrt())?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// By hand: three bolts of 10 kN, 30 / 1.7320508 = 17.320508 kN.
    #[test]
    fn by_hand() {
        let made = figure_of("bolt_shear_load", &["10 kN", "3"], "kN");
        assert!((made - 17.320_508).abs() < 1e-6, "{made}");
        assert!(call("bolt_shear_load", &["10 kN", "0"]).is_err());
    }
}

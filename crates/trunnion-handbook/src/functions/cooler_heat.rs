//! What a cooler carries off at another difference of temperature than the one it is rated at.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "cooler_heat",
    title: "Heat carried off at another temperature",
    section: "heat",
    parameters: &[
        Parameter::new("rated_heat", "kW", Limits::NotNegative, "heat carried off as rated"),
        Parameter::new("rated_difference", "K", Limits::Positive, "hot side over air at which that holds"),
        Parameter::new("difference", "K", Limits::NotNegative, "hot side over air that there is"),
    ],
    outcome: Outcome { unit: "kW", meaning: "heat carried off" },
    formula: "heat = rated_heat × difference / rated_difference",
    sources: &[Source::definition(
        "heat passed on in proportion to the difference of temperature (law of cooling)",
    )],
    assumes: &["Flow of oil and of air as rated; a cooler behind another one gets warmer air."],
    example: "cooler_heat(8 kW, 60 K, 75 K) = 10 kW",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::POWER, |v| v[0] * v[2] / v[1])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        // At the rated difference the rated heat, at half of it half, at none none.
        assert!((figure_of("cooler_heat", &["8 kW", "60 K", "60 K"], "kW") - 8.0).abs() < 1e-9);
        assert!((figure_of("cooler_heat", &["8 kW", "60 K", "30 K"], "kW") - 4.0).abs() < 1e-9);
        assert!(figure_of("cooler_heat", &["8 kW", "60 K", "0 K"], "kW").abs() < 1e-9);
        assert!(call("cooler_heat", &["8 kW", "0 K", "30 K"]).is_err());
        assert!(call("cooler_heat", &["8 kW", "60 K", "-1 K"]).is_err());
    }
}

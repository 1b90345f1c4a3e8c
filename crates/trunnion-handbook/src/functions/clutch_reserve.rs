//! Capacity of a clutch over the peak torque of the engine.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "clutch_reserve",
    title: "Reserve of a clutch",
    section: "drive",
    parameters: &[
        Parameter::new(
            "capacity",
            "Nm",
            Limits::Positive,
            "torque at which it slips: see clutch_torque_wear",
        ),
        Parameter::new("engine_torque", "Nm", Limits::Positive, "peak torque of the engine"),
    ],
    outcome: Outcome { unit: "", meaning: "capacity over torque" },
    formula: "reserve = capacity / engine_torque",
    sources: &[
        Source::definition("a proportion"),
        Source::common_practice("1.2 to 1.5 for road vehicles, more with a trailer"),
    ],
    assumes: &[],
    example: "clutch_reserve(420 Nm, 320 Nm) = 1.312",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::NONE, |v| v[0] / v[1])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("clutch_reserve", &["450 Nm", "300 Nm"], "");
        let wanted: f64 = 1.5;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("clutch_reserve", &["450 Nm", "0 Nm"]).is_err());
    }
}

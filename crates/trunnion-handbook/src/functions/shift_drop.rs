//! Engine speed after a shift up, at the same road speed: the teeth of the saw-tooth diagram.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "shift_drop",
    title: "Engine speed after a shift",
    section: "drive",
    parameters: &[
        Parameter::new("engine_speed", "rpm", Limits::Positive, "engine speed before the shift"),
        Parameter::new("gear_before", "", Limits::Positive, "ratio of the gear before"),
        Parameter::new("gear_after", "", Limits::Positive, "ratio of the gear after"),
    ],
    outcome: Outcome { unit: "rpm", meaning: "engine speed after the shift" },
    formula: "after = engine_speed × gear_after / gear_before",
    sources: &[Source::definition("two gears at one road speed")],
    assumes: &[],
    example: "shift_drop(6000 rpm, 2.5, 1.5) = 3600 rpm",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::ROTATION, |v| v[0] * v[2] / v[1])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    #[test]
    fn by_hand() {
        assert!((figure_of("shift_drop", &["5000 rpm", "2", "1"], "rpm") - 2500.0).abs() < 1e-9);
    }
}

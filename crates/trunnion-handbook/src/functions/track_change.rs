//! How much wider the track becomes with wheels of another offset.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "track_change",
    title: "Change of track by wheel offset",
    section: "fit",
    parameters: &[
        Parameter::new(
            "offset_before",
            "mm",
            Limits::Any,
            "offset of the wheel before; positive towards the outside of the mounting face",
        ),
        Parameter::new("offset_after", "mm", Limits::Any, "offset of the new wheel"),
        Parameter::new("spacer", "mm", Limits::NotNegative, "thickness of a spacer, each side"),
    ],
    outcome: Outcome { unit: "mm", meaning: "track gained, both sides together" },
    formula: "wider = 2 × (offset_before − offset_after + spacer)",
    sources: &[Source::definition("geometry of a wheel's mounting face")],
    assumes: &[
        "Both wheels alike.",
        "Wheels and hubs decide lives: check clearance at full lock and travel, \
             and the local rules.",
    ],
    example: "track_change(45 mm, 38 mm, 0 mm) = 14 mm",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::LENGTH, |v| 2.0 * (v[0] - v[1] + v[2]))?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    #[test]
    fn by_hand() {
        assert!((figure_of("track_change", &["40 mm", "40 mm", "5 mm"], "mm") - 10.0).abs() < 1e-9);
        assert!((figure_of("track_change", &["30 mm", "40 mm", "0 mm"], "mm") + 20.0).abs() < 1e-9);
    }
}

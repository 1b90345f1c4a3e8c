//! Where in the bit a CAN controller looks, from its settings.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "can_sample_point",
    title: "Sample point of a CAN bit",
    section: "bus",
    parameters: &[
        Parameter::new(
            "segment_one",
            "",
            Limits::Whole(2.0, 256.0),
            "propagation and phase segment 1, in time quanta",
        ),
        Parameter::new("segment_two", "", Limits::Whole(1.0, 128.0), "phase segment 2, in time quanta"),
    ],
    outcome: Outcome { unit: "%", meaning: "share of the bit before the sample" },
    formula: "sample = (1 + segment_one) / (1 + segment_one + segment_two)",
    sources: &[Source::published(
        "Bosch CAN Specification",
        "2.0, 1991",
        "bit timing requirements: synchronisation segment of one time quantum",
    )],
    assumes: &[],
    example: "can_sample_point(13, 2) = 87.5 %",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::NONE, |v| (1.0 + v[0]) / (1.0 + v[0] + v[1]))?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    #[test]
    fn by_hand() {
        assert!((figure_of("can_sample_point", &["6", "1"], "%") - 87.5).abs() < 1e-9);
    }
}

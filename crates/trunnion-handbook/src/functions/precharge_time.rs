//! Time for the pre-charge resistor to bring the inverter's capacitors close to the pack.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "precharge_time",
    title: "Time to pre-charge",
    section: "volt",
    parameters: &[
        Parameter::new("resistance", "Ω", Limits::Positive, "pre-charge resistor"),
        Parameter::new("capacitance", "µF", Limits::Positive, "of everything on the bus"),
        Parameter::new(
            "gap",
            "%",
            Limits::Between(0.1, 50.0),
            "what may be missing when the contactor closes",
        ),
    ],
    outcome: Outcome { unit: "s", meaning: "time" },
    formula: "time = resistance × capacitance × ln(1 / gap)",
    sources: &[Source::definition("charging of a capacitor through a resistor")],
    assumes: &[
        "High voltage is licensed work; clear on paper is not permission.",
        "No load on the bus meanwhile.",
    ],
    example: "precharge_time(50 Ω, 1000 µF, 5 %) = 0.1498 s",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::TIME, |v| v[0] * v[1] * (1.0 / v[2]).ln())?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    #[test]
    fn after_one_time_constant_a_share_of_1_over_e_is_missing() {
        let gap = format!("{} %", 100.0 / std::f64::consts::E);
        let made = figure_of("precharge_time", &["10 Ω", "1000 µF", &gap], "ms");
        assert!((made - 10.0).abs() < 1e-9);
    }
}

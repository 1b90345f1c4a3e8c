//! The least cross-section of copper that stands a fault current for as long as the fuse takes.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "wire_size_for_fault",
    title: "Wire size that outlasts a fault",
    section: "wire",
    parameters: &[
        Parameter::new("current", "A", Limits::Positive, "fault current"),
        Parameter::new("time", "s", Limits::Between(1e-06, 5.0), "until the fuse has opened"),
        Parameter::new("start", "°C", Limits::Between(-50.0, 200.0), "temperature before the fault"),
        Parameter::new(
            "end",
            "°C",
            Limits::Between(0.0, 500.0),
            "highest the insulation stands for an instant; PVC 160, cross-linked 250",
        ),
    ],
    outcome: Outcome { unit: "mm²", meaning: "least cross-section" },
    formula: "size = current × √time / k(start, end)",
    sources: &[Source::published("IEC 60364-5-54", "2011", "543.1.2 and Annex A")],
    assumes: &["Adiabatic: up to 5 s."],
    example: "wire_size_for_fault(300 A, 0.5 s, 70 °C, 160 °C) = 1.847 mm²",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    if it[2].hi() >= it[3].lo() {
        return Err(HandbookError::NoAnswer("the wire starts no cooler than it may end"));
    }
    let value = worst_case(it, Dimension::AREA, |v| {
        v[0] * v[1].sqrt() / super::wire_withstand::k_squared(v[2], v[3]).sqrt()
    })?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// IEC 60364-5-54:2011, 543.1.2: S = √(I² t) / k, with k = 143 for cross-linked insulation from 90 to
    /// 250 °C.
    #[test]
    fn the_printed_factor() {
        let made = figure_of("wire_size_for_fault", &["1430 A", "1 s", "90 °C", "250 °C"], "mm²");
        // k is printed to whole figures.
        assert!((made - 10.0).abs() < 0.04, "{made}");
        assert!(call("wire_size_for_fault", &["1430 A", "6 s", "90 °C", "250 °C"]).is_err());
        assert!(call("wire_size_for_fault", &["1430 A", "1 s", "250 °C", "250 °C"]).is_err());
    }
}

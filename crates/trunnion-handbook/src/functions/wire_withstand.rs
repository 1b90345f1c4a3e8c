//! The I²t that heats a copper wire from its working temperature to what its insulation stands,
//! with no heat given off.
//!
//! A fuse whose let-through stays below it at every current protects the wire. Holds for faults up to
//! 5 s.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "wire_withstand",
    title: "What a wire stands in a fault",
    section: "wire",
    parameters: &[
        Parameter::new("size", "mm²", Limits::Positive, "cross-section of copper"),
        Parameter::new("start", "°C", Limits::Between(-50.0, 200.0), "temperature before the fault"),
        Parameter::new(
            "end",
            "°C",
            Limits::Between(0.0, 500.0),
            "highest the insulation stands for an instant; PVC 160, cross-linked 250",
        ),
    ],
    outcome: Outcome { unit: "A²s", meaning: "I²t up to which the insulation is spared" },
    formula: "I²t = k(start, end)² × size²",
    sources: &[Source::published("IEC 60364-5-54", "2011", "543.1.2 and Annex A")],
    assumes: &["Adiabatic: up to 5 s. A slower overload is another matter."],
    example: "wire_withstand(2.5 mm², 70 °C, 160 °C) = 82421 A²s",
    eval: Eval::Figures(eval),
};

/// Heat capacity of copper 3.45 mJ/(K mm³), resistivity at 20 °C 17.241 µΩ mm, reciprocal of the
/// temperature coefficient at 0 °C 234.5 °C: IEC 60364-5-54:2011, Table A.54.1, in SI.
pub(super) fn k_squared(start: f64, end: f64) -> f64 {
    let (heat, resistivity, beta) = (3.45e6, 17.241e-9, 234.5 - 273.15);
    heat * (beta + 293.15) / resistivity * ((beta + end) / (beta + start)).ln()
}

fn warming(it: &[Quantity]) -> Result<(), HandbookError> {
    match it[1].hi() < it[2].lo() {
        true => Ok(()),
        false => Err(HandbookError::NoAnswer("the wire starts no cooler than it may end")),
    }
}

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    warming(it)?;
    let value = worst_case(it, Dimension::SQUARED_CURRENT_TIME, |v| k_squared(v[1], v[2]) * v[0] * v[0])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// IEC 60364-5-54:2011, Table A.54.4, copper: k in A √s/mm² for PVC 115, rubber 85 °C 134,
    /// cross-linked 90 °C 143, printed to whole figures.
    #[test]
    fn printed_factors() {
        for (start, end, k) in
            [("70 °C", "160 °C", 115.0), ("85 °C", "220 °C", 134.0), ("90 °C", "250 °C", 143.0)]
        {
            let made = figure_of("wire_withstand", &["1 mm²", start, end], "A²s").sqrt();
            assert!((made - k).abs() <= 0.5, "{made}");
        }
    }

    #[test]
    fn it_must_warm_up() {
        assert!(call("wire_withstand", &["1 mm²", "160 °C", "160 °C"]).is_err());
        assert!(call("wire_withstand", &["1 mm²", "70 to 170 °C", "160 °C"]).is_err());
    }
}

//! Time until a steady fault current heats a copper wire to what its insulation stands: the wire's
//! damage curve.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "wire_withstand_time",
    title: "How long a wire stands a fault",
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
        Parameter::new("current", "A", Limits::Positive, "fault current"),
    ],
    outcome: Outcome { unit: "s", meaning: "time to the limit" },
    formula: "time = k(start, end)² × size² / current²",
    sources: &[Source::published("IEC 60364-5-54", "2011", "543.1.2 and Annex A")],
    assumes: &["Adiabatic: trust it up to 5 s."],
    example: "wire_withstand_time(2.5 mm², 70 °C, 160 °C, 300 A) = 0.9158 s",
    eval: Eval::Figures(eval),
};

/// Heat capacity of copper 3.45 mJ/(K mm³), resistivity at 20 °C 17.241 µΩ mm, reciprocal of the
/// temperature coefficient at 0 °C 234.5 °C: IEC 60364-5-54:2011, Table A.54.1, in SI.
fn k_squared(start: f64, end: f64) -> f64 {
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
    let value = worst_case(it, Dimension::TIME, |v| k_squared(v[1], v[2]) * (v[0] / v[3]).powi(2))?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    #[test]
    fn twice_the_current_a_quarter_of_the_time() {
        let time = |current| figure_of("wire_withstand_time", &["1 mm²", "70 °C", "160 °C", current], "s");
        assert!((time("100 A") / time("200 A") - 4.0).abs() < 1e-9);
        // (115 / 115)² s, with k at its printed rounding.
        assert!((time("115 A") - 1.0).abs() < 0.01);
    }
}

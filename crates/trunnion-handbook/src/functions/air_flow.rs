//! Flow of air into a four-stroke engine, for filter, meter and pipes, at the pressure and
//! temperature of its inlet.

use std::f64::consts::TAU;

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "air_flow",
    title: "Air that an engine takes",
    section: "heat",
    parameters: &[
        Parameter::new("displacement", "l", Limits::Positive, "of all cylinders"),
        Parameter::new("speed", "rpm", Limits::NotNegative, "engine speed"),
        Parameter::new(
            "filling",
            "%",
            Limits::Between(10.0, 300.0),
            "filling of the cylinders; about 85 to 100 without a blower, times the \
             pressure ratio with one",
        ),
    ],
    outcome: Outcome { unit: "m³/h", meaning: "flow" },
    formula: "flow = displacement × speed per turn / 2 × filling",
    sources: &[Source::definition("a four-stroke engine fills once in two turns")],
    assumes: &["Four strokes."],
    example: "air_flow(2.5 l, 4000 rpm, 90 %) = 270 m³/h",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::FLOW, |v| v[0] * v[1] / TAU / 2.0 * v[2])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("air_flow", &["2 l", "3000 rpm", "100 %"], "m³/h");
        let wanted: f64 = 180.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("air_flow", &["0 l", "3000 rpm", "100 %"]).is_err());
    }
}

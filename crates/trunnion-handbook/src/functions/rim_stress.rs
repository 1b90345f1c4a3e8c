//! Stress in a thin rim that turns, which its material must bear; a disc with a bore has about as much
//! again at the bore.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "rim_stress",
    title: "Stress in a flywheel rim",
    section: "drive",
    parameters: &[
        Parameter::new(
            "density",
            "kg/m³",
            Limits::Positive,
            "density; cast iron about 7200, steel about 7850",
        ),
        Parameter::new("rim_speed", "m/s", Limits::NotNegative, "speed of the rim: see rim_speed"),
    ],
    outcome: Outcome { unit: "MPa", meaning: "hoop stress" },
    formula: "stress = density × rim_speed²",
    sources: &[Source::definition("a thin ring held by its own hoop tension")],
    assumes: &["A burst flywheel kills; a cast one has flaws within."],
    example: "rim_stress(7200 kg/m³, 98 m/s) = 69.15 MPa",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::PRESSURE, |v| v[0] * v[1] * v[1])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("rim_stress", &["7000 kg/m³", "100 m/s"], "MPa");
        let wanted: f64 = 70.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("rim_stress", &["0 kg/m³", "1 m/s"]).is_err());
    }
}

//! Heat that a clutch takes while it brings two turning masses to one speed, with no torque from outside.
//!
//! A launch takes more, since the engine pushes meanwhile: at least as much as this.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "clutch_energy",
    title: "Heat of one clutch engagement",
    section: "drive",
    parameters: &[
        Parameter::new("driving_inertia", "kg·m²", Limits::Positive, "of the engine side"),
        Parameter::new("driven_inertia", "kg·m²", Limits::Positive, "of the vehicle, seen at the clutch"),
        Parameter::new("speed_difference", "rpm", Limits::NotNegative, "between the two at the start"),
    ],
    outcome: Outcome { unit: "kJ", meaning: "heat in the clutch" },
    formula: "heat = ½ × driving_inertia × driven_inertia / (driving_inertia + \
             driven_inertia) × speed_difference²",
    sources: &[Source::definition("two inertias brought to one speed: momentum kept, energy lost")],
    assumes: &[],
    example: "clutch_energy(0.25 kg·m², 1.5 kg·m², 2500 rpm) = 7.343 kJ",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::ENERGY, |v| v[0] * v[1] / (v[0] + v[1]) * v[2] * v[2] / 2.0)?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    #[test]
    fn energy_before_less_energy_after() {
        let (one, other, omega) = (0.2, 0.8, 100.0);
        let after = one * omega / (one + other);
        let lost = 0.5 * one * omega * omega - 0.5 * (one + other) * after * after;
        let made = figure_of("clutch_energy", &["0.2 kg·m²", "0.8 kg·m²", "100 rad/s"], "J");
        assert!((made - lost).abs() < 1e-9);
    }
}

//! Heat that a clutch takes while it brings a vehicle from rest to the speed at which it closes, the engine
//! held at one speed meanwhile: as much as the vehicle gains in motion.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "launch_heat",
    title: "Heat of a launch",
    section: "drive",
    parameters: &[
        Parameter::new("mass", "kg", Limits::Positive, "of the laden vehicle, with trailer"),
        Parameter::new("closing_speed", "km/h", Limits::NotNegative, "road speed at which the clutch closes"),
    ],
    outcome: Outcome { unit: "kJ", meaning: "heat in the clutch" },
    formula: "heat = ½ × mass × closing_speed²",
    sources: &[Source::definition("half of the work that the engine puts in at constant speed is lost")],
    assumes: &["On the level; a hill adds the work against it."],
    example: "launch_heat(2800 kg, 12 km/h) = 15.56 kJ",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::ENERGY, |v| v[0] * v[1] * v[1] / 2.0)?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("launch_heat", &["2000 kg", "10 m/s"], "kJ");
        let wanted: f64 = 100.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("launch_heat", &["0 kg", "1 m/s"]).is_err());
    }
}

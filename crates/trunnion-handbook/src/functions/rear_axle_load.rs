//! What of a mass the rear axle carries, from where its centre lies behind the front axle; the front axle
//! carries the rest. Behind the rear axle it lifts the front.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "rear_axle_load",
    title: "Load that a mass puts on the rear axle",
    section: "mass",
    parameters: &[
        Parameter::new("mass", "kg", Limits::Any, "mass; below zero for one that is taken out"),
        Parameter::new(
            "behind_front",
            "mm",
            Limits::Any,
            "centre of it behind the front axle; below zero ahead of it",
        ),
        Parameter::new("wheelbase", "mm", Limits::Positive, "wheelbase"),
    ],
    outcome: Outcome { unit: "kg", meaning: "load on the rear axle" },
    formula: "load = mass × behind_front / wheelbase",
    sources: &[Source::definition("moments about the front axle")],
    assumes: &["On the level."],
    example: "rear_axle_load(80 kg, 3100 mm, 2700 mm) = 91.85 kg",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::MASS, |v| v[0] * v[1] / v[2])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("rear_axle_load", &["100 kg", "500 mm", "2500 mm"], "kg");
        let wanted: f64 = 20.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("rear_axle_load", &["100 kg", "-500 mm", "2500 mm"], "kg");
        let wanted: f64 = -20.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("rear_axle_load", &["1 kg", "1 m", "0 m"]).is_err());
    }
}

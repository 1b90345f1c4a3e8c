//! What of a mass the front axle carries, from where its centre lies behind the front axle.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "front_axle_load",
    title: "Load that a mass puts on the front axle",
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
    outcome: Outcome { unit: "kg", meaning: "load on the front axle" },
    formula: "load = mass × (wheelbase − behind_front) / wheelbase",
    sources: &[Source::definition("moments about the rear axle")],
    assumes: &["On the level."],
    example: "front_axle_load(180 kg, -150 mm, 2700 mm) = 190 kg",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::MASS, |v| v[0] * (v[2] - v[1]) / v[2])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    /// Both axles together carry the mass.
    #[test]
    fn the_axles_share_the_mass() {
        for behind in ["-300 mm", "0 mm", "1000 mm", "2500 mm", "3000 mm"] {
            let given = ["120 kg", behind, "2500 mm"];
            let both = figure_of("front_axle_load", &given, "kg") + figure_of("rear_axle_load", &given, "kg");
            assert!((both - 120.0).abs() < 1e-9, "{behind}");
        }
        assert!((figure_of("front_axle_load", &["100 kg", "500 mm", "2500 mm"], "kg") - 80.0).abs() < 1e-9);
    }
}

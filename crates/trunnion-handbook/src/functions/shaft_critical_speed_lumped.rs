//! First bending speed of a propeller shaft by the model of one mass in the middle of a springy shaft
//! without mass: the figure for a heavy joint, damper or brake disc in the middle.
//!
//! With half of a plain tube's mass in the middle it reads 0.7 % below the uniform beam (see
//! shaft_critical_speed), with all of it 30 % below: name the model wherever the figure is used.

use std::f64::consts::PI;

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "shaft_critical_speed_lumped",
    title: "Critical speed of a shaft, lumped mass",
    section: "drive",
    parameters: &[
        Parameter::new("length", "mm", Limits::Positive, "between the supports"),
        Parameter::new("outer_diameter", "mm", Limits::Positive, "outer diameter of the tube"),
        Parameter::new("inner_diameter", "mm", Limits::NotNegative, "bore of the tube; 0 for a solid shaft"),
        Parameter::new("modulus", "GPa", Limits::Positive, "modulus of elasticity; steel about 206 GPa"),
        Parameter::new("mass", "kg", Limits::Positive, "mass in the middle"),
    ],
    outcome: Outcome { unit: "rpm", meaning: "speed at which it whirls" },
    formula: "speed = √(48 × modulus × π / 64 × (outer_diameter⁴ − inner_diameter⁴) / \
             (length³ × mass))",
    sources: &[Source::definition("beam on two hinges, stiffness 48 E I / L³ in the middle, one mass")],
    assumes: &["The mass of the tube itself is left out, or half of it is added to the mass."],
    example: "shaft_critical_speed_lumped(1400 mm, 76 mm, 72 mm, 206 GPa, 6 kg) = 4176 rpm",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    tube(&it[1], &it[2])?;
    let value = worst_case(it, Dimension::ROTATION, |v| {
        let inertia = PI / 64.0 * (v[1].powi(4) - v[2].powi(4));
        (48.0 * v[3] * inertia / (v[0].powi(3) * v[4])).sqrt()
    })?;
    FUNCTION.worked(it, value)
}

/// The tube must have a wall.
fn tube(outer: &Quantity, inner: &Quantity) -> Result<(), HandbookError> {
    match inner.hi() < outer.lo() {
        true => Ok(()),
        false => Err(HandbookError::NoAnswer("the bore is not below the outer diameter")),
    }
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// The uniform beam's first speed is π² √(E I / (m L³)); one with half of its mass in the middle gives
    /// √96 in place of π², 0.7 % below.
    #[test]
    fn against_the_uniform_beam() {
        // 76 × 72 mm of steel, 1.4 m: 7850 kg/m³ × π/4 × (76² − 72²) mm² × 1.4 m.
        let mass = 7850.0 * std::f64::consts::PI / 4.0 * (0.076f64.powi(2) - 0.072f64.powi(2)) * 1.4;
        let half = format!("{} kg", mass / 2.0);
        let lumped = ["1400 mm", "76 mm", "72 mm", "206 GPa", &half];
        let lumped = figure_of("shaft_critical_speed_lumped", &lumped, "rpm");
        let beam = ["1400 mm", "76 mm", "72 mm", "206 GPa", "7850 kg/m³"];
        let beam = figure_of("shaft_critical_speed", &beam, "rpm");
        let share = 96f64.sqrt() / std::f64::consts::PI.powi(2);
        assert!((lumped / beam - share).abs() < 1e-9, "{lumped} {beam}");
        assert!(call("shaft_critical_speed_lumped", &["1 m", "72 mm", "76 mm", "206 GPa", "5 kg"]).is_err());
    }
}

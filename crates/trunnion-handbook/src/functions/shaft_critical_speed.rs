//! First bending speed of a propeller shaft, as a uniform tube on two hinges.
//!
//! End pieces heavier than the tube and soft supports lower it; a lumped-mass model gives another
//! figure. Keep well below it at the highest shaft speed, which an overdrive raises above the engine's.

use std::f64::consts::PI;

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "shaft_critical_speed",
    title: "Critical speed of a shaft",
    section: "drive",
    parameters: &[
        Parameter::new("length", "mm", Limits::Positive, "between the centres of its joints"),
        Parameter::new("outer_diameter", "mm", Limits::Positive, "outer diameter of the tube"),
        Parameter::new("inner_diameter", "mm", Limits::NotNegative, "bore of the tube; 0 for a solid shaft"),
        Parameter::new("modulus", "GPa", Limits::Positive, "modulus of elasticity; steel about 206 GPa"),
        Parameter::new("density", "kg/m³", Limits::Positive, "density; steel about 7850 kg/m³"),
    ],
    outcome: Outcome { unit: "rpm", meaning: "lowest speed at which the shaft whirls" },
    formula: "speed = (π / length)² × √(modulus × (outer_diameter² + inner_diameter²) \
             / (16 × density))",
    sources: &[Source::definition("Euler–Bernoulli beam of uniform section on two hinges, first mode")],
    assumes: &["Uniform tube, hinged at both ends, straight and balanced; real shafts whirl sooner."],
    example: "shaft_critical_speed(1400 mm, 76 mm, 72 mm, 206 GPa, 7850 kg/m³) = 6447 rpm",
    eval: Eval::Figures(eval),
};

/// The tube must have a wall.
fn tube(it: &[Quantity]) -> Result<(), HandbookError> {
    match it[2].hi() < it[1].lo() {
        true => Ok(()),
        false => Err(HandbookError::NoAnswer("the bore is not below the outer diameter")),
    }
}

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    tube(it)?;
    let value = worst_case(it, Dimension::ROTATION, |v| {
        (PI / v[0]).powi(2) * (v[3] * (v[1] * v[1] + v[2] * v[2]) / (16.0 * v[4])).sqrt()
    })?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn against_the_general_beam_formula() {
        // ω = (π/L)² √(E I / (ρ A)) with I and A of a solid round bar worked out apart.
        let (length, across, modulus, density) = (1.0f64, 0.05f64, 200e9, 7800.0);
        let inertia = PI * across.powi(4) / 64.0;
        let area = PI * across.powi(2) / 4.0;
        let omega = (PI / length).powi(2) * (modulus * inertia / (density * area)).sqrt();
        let given = ["1 m", "50 mm", "0 mm", "200 GPa", "7800 kg/m³"];
        let made = figure_of("shaft_critical_speed", &given, "rad/s");
        assert!((made - omega).abs() < 1e-6);
    }

    #[test]
    fn twice_the_length_is_a_quarter_of_the_speed() {
        let speed = |length| {
            figure_of("shaft_critical_speed", &[length, "76 mm", "72 mm", "206 GPa", "7850 kg/m³"], "rpm")
        };
        assert!((speed("1 m") / speed("2 m") - 4.0).abs() < 1e-9);
        assert!(call("shaft_critical_speed", &["1 m", "72 mm", "76 mm", "206 GPa", "7850 kg/m³"]).is_err());
        assert!(call("shaft_critical_speed", &["0 m", "76 mm", "72 mm", "206 GPa", "7850 kg/m³"]).is_err());
    }

    use std::f64::consts::PI;
}

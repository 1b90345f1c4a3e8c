//! How often two turning masses swing against one another through the shaft between them: engine and
//! gearbox through an input shaft, motor and wheels through a half-shaft.
//!
//! Where the firing of the engine meets it, in pulses a second, the driveline rattles or breaks: an
//! engine of n cylinders with four strokes fires n / 2 times a turn.

use std::f64::consts::PI;

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "torsional_frequency",
    title: "Torsional natural frequency of two masses",
    section: "drive",
    parameters: &[
        Parameter::new("inertia_one", "kg·m²", Limits::Positive, "of one side, seen at the shaft"),
        Parameter::new("inertia_other", "kg·m²", Limits::Positive, "of the other side"),
        Parameter::new(
            "shear_modulus",
            "GPa",
            Limits::Positive,
            "modulus of the shaft in shear; steel about 80 GPa",
        ),
        Parameter::new("length", "mm", Limits::Positive, "of the shaft"),
        Parameter::new("outer_diameter", "mm", Limits::Positive, "outer diameter"),
        Parameter::new("inner_diameter", "mm", Limits::NotNegative, "bore; 0 for a solid shaft"),
    ],
    outcome: Outcome { unit: "Hz", meaning: "swings a second" },
    formula: "frequency = √(shear_modulus × π / 32 × (outer_diameter⁴ − \
             inner_diameter⁴) / length × (1 / inertia_one + 1 / inertia_other)) / 2π",
    sources: &[Source::definition("two inertias on a torsion spring")],
    assumes: &["A damper or a rubber joint lowers it."],
    example: "torsional_frequency(0.25 kg·m², 1.5 kg·m², 80 GPa, 600 mm, 30 mm, 0 mm) = 35.4 Hz",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    tube(&it[4], &it[5])?;
    let value = worst_case(it, Dimension::FREQUENCY, |v| {
        let spring = v[2] * PI / 32.0 * (v[4].powi(4) - v[5].powi(4)) / v[3];
        (spring * (1.0 / v[0] + 1.0 / v[1])).sqrt() / (2.0 * PI)
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

    /// Lets two masses swing in small steps from a twist and counts the time of a full swing.
    #[test]
    fn swung_step_by_step() {
        let (j1, j2) = (0.2, 0.8);
        let spring = 80e9 * std::f64::consts::PI / 32.0 * 0.03f64.powi(4) / 0.5;
        let (mut twist, mut speed, mut time) = (0.01f64, 0.0f64, 0.0);
        let step = 1e-7;
        // A quarter swing ends where the twist is gone.
        while twist > 0.0 {
            speed -= spring * twist * (1.0 / j1 + 1.0 / j2) * step;
            twist += speed * step;
            time += step;
        }
        let given = ["0.2 kg·m²", "0.8 kg·m²", "80 GPa", "500 mm", "30 mm", "0 mm"];
        let made = figure_of("torsional_frequency", &given, "Hz");
        assert!((made * 4.0 * time - 1.0).abs() < 1e-3, "{made}");
        assert!(
            call("torsional_frequency", &["1 kg·m²", "1 kg·m²", "80 GPa", "1 m", "30 mm", "30 mm"]).is_err()
        );
    }
}

//! How often two turning masses swing against one another through a torsion spring that is known by its
//! twist: the damper of a clutch disc, a flywheel in two masses, a rubber coupling. As
//! torsional_frequency, which takes the shaft between by its size.

use std::f64::consts::TAU;

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "spring_frequency",
    title: "Torsional natural frequency through a spring",
    section: "drive",
    parameters: &[
        Parameter::new("inertia_one", "kg·m²", Limits::Positive, "of one side, seen at the spring"),
        Parameter::new("inertia_other", "kg·m²", Limits::Positive, "of the other side"),
        Parameter::new("torque", "Nm", Limits::Positive, "that twists it"),
        Parameter::new("twist", "°", Limits::Positive, "under that torque"),
    ],
    outcome: Outcome { unit: "Hz", meaning: "swings a second" },
    formula: "frequency = √(torque / twist × (1 / inertia_one + 1 / inertia_other)) / 2π",
    sources: &[Source::definition("two inertias on a torsion spring")],
    assumes: &["A spring of one rate; friction in it damps the swing and hardly shifts it."],
    example: "spring_frequency(0.25 kg·m², 0.05 kg·m², 300 Nm, 45°) = 15.24 Hz",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value =
        worst_case(it, Dimension::FREQUENCY, |v| (v[2] / v[3] * (1.0 / v[0] + 1.0 / v[1])).sqrt() / TAU)?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// A shaft by its size and the same by its twist: G × π / 32 × d⁴ / l = 12 723 Nm/rad,
    /// so 1000 Nm twist it by 4.5033°.
    #[test]
    fn as_the_shaft_of_the_same_stiffness() {
        let size = ["80 GPa", "500 mm", "30 mm", "0 mm"];
        let by_size =
            figure_of("torsional_frequency", &[&["0.2 kg·m²", "1.5 kg·m²"], &size[..]].concat(), "Hz");
        let stiffness = 80e9 * std::f64::consts::PI / 32.0 * 0.03f64.powi(4) / 0.5;
        let twist = format!("{:.9}°", (1000.0 / stiffness).to_degrees());
        let by_twist = figure_of("spring_frequency", &["0.2 kg·m²", "1.5 kg·m²", "1000 Nm", &twist], "Hz");
        assert!((by_twist - by_size).abs() < 1e-6 * by_size, "{by_twist} {by_size}");
        assert!(call("spring_frequency", &["0.2 kg·m²", "1.5 kg·m²", "100 Nm", "0°"]).is_err());
    }
}

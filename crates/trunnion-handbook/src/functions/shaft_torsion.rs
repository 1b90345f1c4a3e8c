//! Shear stress at the surface of a round shaft or tube under torque.

use std::f64::consts::PI;

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "shaft_torsion",
    title: "Torsional stress of a shaft",
    section: "drive",
    parameters: &[
        Parameter::new("torque", "Nm", Limits::NotNegative, "greatest torque"),
        Parameter::new("outer_diameter", "mm", Limits::Positive, "outer diameter of the tube"),
        Parameter::new("inner_diameter", "mm", Limits::NotNegative, "bore of the tube; 0 for a solid shaft"),
    ],
    outcome: Outcome { unit: "MPa", meaning: "greatest shear stress" },
    formula: "stress = 16 × torque × outer_diameter / (π × (outer_diameter⁴ − inner_diameter⁴))",
    sources: &[Source::definition("Saint-Venant torsion of a round section")],
    assumes: &["No notch: splines, keyways and welds raise it."],
    example: "shaft_torsion(1200 Nm, 76 mm, 72 mm) = 71.59 MPa",
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
    let value =
        worst_case(it, Dimension::PRESSURE, |v| 16.0 * v[0] * v[1] / (PI * (v[1].powi(4) - v[2].powi(4))))?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        // A solid bar of 20 mm under 100 Nm: 16 × 100 / (π × 0.02³) = 63.66 MPa.
        let made = figure_of("shaft_torsion", &["100 Nm", "20 mm", "0 mm"], "MPa");
        assert!((made - 63.661_977).abs() < 1e-5);
        assert!(call("shaft_torsion", &["100 Nm", "20 mm", "20 mm"]).is_err());
    }
}

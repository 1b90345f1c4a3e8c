//! Torque that a new plate clutch carries, by the assumption of uniform pressure.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "clutch_torque_pressure",
    title: "Clutch capacity, uniform pressure",
    section: "drive",
    parameters: &[
        Parameter::new("friction", "", Limits::Between(0.0, 1.0), "coefficient of friction of the lining"),
        Parameter::new("clamp_force", "N", Limits::NotNegative, "force of the cover"),
        Parameter::new("outer_diameter", "mm", Limits::Positive, "outer diameter of the lining"),
        Parameter::new("inner_diameter", "mm", Limits::NotNegative, "inner diameter of the lining"),
        Parameter::new("faces", "", Limits::Whole(1.0, 20.0), "rubbing faces; two for one plate"),
    ],
    outcome: Outcome { unit: "Nm", meaning: "torque at which the clutch begins to slip" },
    formula: "torque = faces × friction × clamp_force / 3 × (outer_diameter³ − \
             inner_diameter³) / (outer_diameter² − inner_diameter²)",
    sources: &[Source::definition("friction over a ring under uniform pressure, added up over its radius")],
    assumes: &["Holds for a new lining; a run-in one carries less: see clutch_torque_wear."],
    example: "clutch_torque_pressure(0.27, 6000 N, 240 mm, 160 mm, 2) = 328.3 Nm",
    eval: Eval::Figures(eval),
};

/// The lining must have a width.
fn check(it: &[Quantity]) -> Result<(), HandbookError> {
    match it[3].hi() < it[2].lo() {
        true => Ok(()),
        false => Err(HandbookError::NoAnswer("the lining's inner diameter is not below its outer one")),
    }
}

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    check(it)?;
    let value = worst_case(it, Dimension::ENERGY, |v| {
        // (D³ − d³) / (D² − d²), reduced so that nearly equal diameters lose no digits.
        let mean = (v[2] * v[2] + v[2] * v[3] + v[3] * v[3]) / (v[2] + v[3]);
        v[4] * v[0] * v[1] / 3.0 * mean
    })?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    #[test]
    fn a_full_disc_carries_at_two_thirds_of_its_radius() {
        // With no hole: 2/3 × 0.1 m × 5000 N × 0.3 × 2.
        let torque = figure_of("clutch_torque_pressure", &["0.3", "5000 N", "200 mm", "0 mm", "2"], "Nm");
        assert!((torque - 200.0).abs() < 1e-9);
    }
}

//! Torque that a run-in plate clutch carries, by the assumption of uniform wear.
//!
//! The smaller of the two assumptions; the usual one for a used lining.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "clutch_torque_wear",
    title: "Clutch capacity, uniform wear",
    section: "drive",
    parameters: &[
        Parameter::new("friction", "", Limits::Between(0.0, 1.0), "coefficient of friction of the lining"),
        Parameter::new("clamp_force", "N", Limits::NotNegative, "force of the cover"),
        Parameter::new("outer_diameter", "mm", Limits::Positive, "outer diameter of the lining"),
        Parameter::new("inner_diameter", "mm", Limits::NotNegative, "inner diameter of the lining"),
        Parameter::new("faces", "", Limits::Whole(1.0, 20.0), "rubbing faces; two for one plate"),
    ],
    outcome: Outcome { unit: "Nm", meaning: "torque at which the clutch begins to slip" },
    formula: "torque = faces × friction × clamp_force × (outer_diameter + inner_diameter) / 4",
    sources: &[Source::definition(
        "friction over a ring under uniform wear: pressure falls as 1 / radius, \
             added up over its radius",
    )],
    assumes: &["Friction falls with heat and oil; a safety factor is for the check to ask."],
    example: "clutch_torque_wear(0.27, 6000 N, 240 mm, 160 mm, 2) = 324 Nm",
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
    let value = worst_case(it, Dimension::ENERGY, |v| v[4] * v[0] * v[1] * (v[2] + v[3]) / 4.0)?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        // 2 × 0.3 × 5000 × (0.2 + 0.1) / 4 = 225.
        let given = ["0.3", "5000 N", "200 mm", "100 mm", "2"];
        assert!((figure_of("clutch_torque_wear", &given, "Nm") - 225.0).abs() < 1e-9);
        assert!(call("clutch_torque_wear", &["0.3", "5000 N", "100 mm", "100 mm", "2"]).is_err());
        assert!(call("clutch_torque_wear", &["0.3", "5000 N", "200 mm", "100 mm", "1.5"]).is_err());
    }

    /// Adds up friction over narrow rings under either pressure, brought to the clamp force.
    #[test]
    fn added_up_over_narrow_rings() {
        let (friction, clamp, outer, inner) = (0.3, 5000.0, 0.1, 0.06);
        let added = |pressure: fn(f64) -> f64| {
            let (mut force, mut torque) = (0.0, 0.0);
            for ring in 0..100_000 {
                let r = inner + (outer - inner) * (f64::from(ring) + 0.5) / 100_000.0;
                force += pressure(r) * r;
                torque += pressure(r) * r * r;
            }
            2.0 * friction * clamp * torque / force
        };
        let given = ["0.3", "5000 N", "200 mm", "120 mm", "2"];
        let wear = figure_of("clutch_torque_wear", &given, "Nm");
        assert!((wear - added(|r| 1.0 / r)).abs() < 1e-6, "{wear}");
        let pressure = figure_of("clutch_torque_pressure", &given, "Nm");
        assert!((pressure - added(|_| 1.0)).abs() < 1e-6, "{pressure}");
    }

    #[test]
    fn never_above_uniform_pressure() {
        for inner in ["0 mm", "50 mm", "100 mm", "150 mm", "199 mm"] {
            let given = ["0.3", "5000 N", "200 mm", inner, "2"];
            let wear = figure_of("clutch_torque_wear", &given, "Nm");
            assert!(wear <= figure_of("clutch_torque_pressure", &given, "Nm") + 1e-9, "{inner}");
        }
    }
}

//! Line pressure that slows a vehicle at a given deceleration.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "stopping_pressure",
    title: "Pressure for a deceleration",
    section: "brake",
    parameters: &[
        Parameter::new("mass", "kg", Limits::Positive, "of the vehicle"),
        Parameter::new("deceleration", "m/s²", Limits::Between(0.0, 15.0), "wanted"),
        Parameter::new("front_force", "N", Limits::Positive, "of the front axle at the pressure"),
        Parameter::new("rear_force", "N", Limits::NotNegative, "of the rear axle at it, not held back"),
        Parameter::new("at_pressure", "bar", Limits::Positive, "at which the two forces hold"),
        Parameter::new("valve_pressure", "bar", Limits::NotNegative, "above which the rear is held back"),
        Parameter::new(
            "valve_slope",
            "%",
            Limits::Between(0.0, 100.0),
            "share let through above it; 100 % without a valve",
        ),
    ],
    outcome: Outcome { unit: "bar", meaning: "pressure in the line" },
    formula: "p: mass × deceleration = (front_force × p + rear_force × p') / at_pressure, \
              p' = valve_pressure + valve_slope × (p − valve_pressure) above valve_pressure",
    sources: &[Source::definition("force = mass × acceleration")],
    assumes: &[
        "Brakes decide lives: clear on paper is not permission; proven only on the tester, by a licensed person.",
        "Grip enough on both axles, no engine braking.",
    ],
    example: "stopping_pressure(2000 kg, 6 m/s², 12000 N, 8000 N, 100 bar, 0 bar, 100 %) = 60 bar",
    eval: Eval::Figures(eval),
};

fn pressure(v: &[f64]) -> f64 {
    let (front, rear) = (v[2] / v[4], v[3] / v[4]);
    let (knee, slope) = (v[5], v[6]);
    let needed = v[0] * v[1];
    let open = needed / (front + rear);
    if slope >= 1.0 || open <= knee {
        return open;
    }
    (needed - rear * knee * (1.0 - slope)) / (front + rear * slope)
}

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::PRESSURE, pressure)?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    #[test]
    fn by_hand_with_and_without_a_valve() {
        let open = ["2000 kg", "6 m/s²", "12000 N", "8000 N", "100 bar", "0 bar", "100 %"];
        assert!((figure_of("stopping_pressure", &open, "bar") - 60.0).abs() < 1e-9);
        // 12 kN at a knee of 30 bar and a quarter let through: 120 p + 80 (30 + (p − 30) / 4) = 12000,
        // 140 p = 10200.
        let held = ["2000 kg", "6 m/s²", "12000 N", "8000 N", "100 bar", "30 bar", "25 %"];
        assert!((figure_of("stopping_pressure", &held, "bar") - 10_200.0 / 140.0).abs() < 1e-9);
    }
}

//! The braking rate z (deceleration over g) above which the rear axle locks first, with or without a
//! valve that holds the rear back.
//!
//! Zero where the rear locks first from the beginning. With a valve the lower of the two rates at which
//! the balance may turn is given: below its knee, or above it.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "rear_first_rate",
    title: "Braking rate above which the rear locks first, with a valve",
    section: "brake",
    parameters: &[
        Parameter::new("front_force", "N", Limits::Positive, "of the front axle at the pressure"),
        Parameter::new("rear_force", "N", Limits::Positive, "of the rear axle at it, not held back"),
        Parameter::new("pressure", "bar", Limits::Positive, "at which the two forces hold"),
        Parameter::new("valve_pressure", "bar", Limits::NotNegative, "above which the rear is held back"),
        Parameter::new(
            "valve_slope",
            "%",
            Limits::Between(0.0, 100.0),
            "share let through above it; 100 % without a valve",
        ),
        Parameter::new("front_load", "kg", Limits::Positive, "on the front axle, at rest"),
        Parameter::new("rear_load", "kg", Limits::Positive, "on the rear axle, at rest"),
        Parameter::new("height", "mm", Limits::Positive, "of the centre of mass"),
        Parameter::new("wheelbase", "mm", Limits::Positive, "wheelbase"),
    ],
    outcome: Outcome { unit: "", meaning: "braking rate above which the rear locks first" },
    formula: "rate: the z at which (front_force × p / pressure) / (front_load + z × (front_load + rear_load) × height / wheelbase) \
              = (rear_force × p' / pressure) / (rear_load − z × (front_load + rear_load) × height / wheelbase), \
              p' = valve_pressure + valve_slope × (p − valve_pressure) above valve_pressure",
    sources: &[Source::from_memory(
        "UN Regulation No. 13-H",
        "01 series of amendments",
        "Annex 5: f1 = T1/(P1 + z P h/E), f2 = T2/(P2 − z P h/E), set equal",
    )],
    assumes: &[
        "Brakes decide lives: clear on paper is not permission; proven only on the tester, by a licensed person.",
        "Fixed valve; no load sensing, no electronic distribution; level road, no engine braking.",
    ],
    example: "rear_first_rate(12000 N, 5000 N, 100 bar, 0 bar, 100 %, 900 kg, 800 kg, 600 mm, 2700 mm) = 0.7941",
    eval: Eval::Figures(eval),
};

const G: f64 = 9.806_65;

fn rate(v: &[f64]) -> f64 {
    let (front, rear) = (v[0] / v[2], v[1] / v[2]);
    let (knee, slope) = (v[3], v[4]);
    let (weight, rear_weight) = ((v[5] + v[6]) * G, v[6] * G);
    let lean = v[7] / v[8];
    // Below the knee: both forces grow with the pressure.
    let below = (rear_weight / weight - rear / (front + rear)) / lean;
    let at_knee = (front + rear) * knee / weight;
    if slope >= 1.0 || below <= at_knee {
        return below.max(0.0);
    }
    // Above it: rear = steady + growing × rate × weight, and (rate)² × lean − rate × spare + rest = 0.
    let rest = rear * knee * (1.0 - slope) * front / (front + rear * slope) / weight;
    let spare = rear_weight / weight - rear * slope / (front + rear * slope);
    let root = spare * spare - 4.0 * lean * rest;
    (spare + root.max(0.0).sqrt()) / (2.0 * lean)
}

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::NONE, rate)?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use super::{G, rate};
    use crate::registry::figure_of;

    const FIXED: [&str; 9] =
        ["7600 N", "2400 N", "100 bar", "0 bar", "100 %", "1100 kg", "900 kg", "0.6 m", "2.7 m"];

    /// Without a valve it is the rate of `rear_locks_above`, which a test of its own proves.
    #[test]
    fn a_fixed_share_is_the_simple_case() {
        let made = figure_of("rear_first_rate", &FIXED, "");
        let simple = figure_of("rear_locks_above", &["76 %", "55 %", "600 mm", "2700 mm"], "");
        assert!((made - simple).abs() < 1e-9, "{made} {simple}");
    }

    #[test]
    fn a_rear_that_brakes_too_much_locks_from_the_beginning() {
        let mut given = FIXED;
        given[1] = "9000 N";
        assert_eq!(figure_of("rear_first_rate", &given, ""), 0.0);
    }

    /// Both axles use the same grip at the rate found, and the rear less just below it; found by
    /// stepping through pressures, which knows nothing of the quadratic.
    #[test]
    fn above_the_knee_both_axles_use_the_same_grip() {
        let (front, rear, knee, slope, p1, p2, h, e) =
            (6500.0, 5200.0, 30.0, 0.3, 900.0 * G, 1100.0 * G, 0.7, 3.2);
        let v = [front, rear, 100.0, knee, slope, 900.0, 1100.0, h, e];
        let found = rate(&v);
        let mut stepped = None;
        for step in 1..200_000 {
            let pressure = f64::from(step) * 0.002;
            let t1 = front / 100.0 * pressure;
            let held = if pressure > knee { knee + slope * (pressure - knee) } else { pressure };
            let t2 = rear / 100.0 * held;
            let z = (t1 + t2) / (p1 + p2);
            let moved = z * (p1 + p2) * h / e;
            if t2 / (p2 - moved) > t1 / (p1 + moved) {
                stepped = Some(z);
                break;
            }
        }
        let stepped = stepped.expect("it turns");
        assert!((found - stepped).abs() < 1e-3, "{found} {stepped}");
    }
}

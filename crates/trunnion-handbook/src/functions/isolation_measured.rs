//! Isolation resistance of a high-voltage source by two voltmeters and a known resistor: the method
//! of the standard. `near` is the higher of the two voltages between a pole and the body; the
//! resistor is put there.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "isolation_measured",
    title: "Isolation resistance from a measurement",
    section: "volt",
    parameters: &[
        Parameter::new("known", "kΩ", Limits::Positive, "known resistor Ro"),
        Parameter::new("near", "V", Limits::Positive, "from the pole with the higher voltage to the body"),
        Parameter::new("far", "V", Limits::NotNegative, "from the other pole to the body"),
        Parameter::new("loaded", "V", Limits::Positive, "the near voltage with the resistor in place"),
    ],
    outcome: Outcome { unit: "kΩ", meaning: "isolation resistance" },
    formula: "resistance = known × (near / loaded − 1) × (1 + far / near)",
    sources: &[Source::published("49 CFR 571.305", "2017", "S7.6.3 to S7.6.7, figures 1 to 5")],
    assumes: &[
        "High voltage is licensed work; clear on paper is not permission.",
        "The voltmeter has at least 10 MΩ (S7.6.2).",
    ],
    example: "isolation_measured(47 kΩ, 210 V, 190 V, 40 V) = 380.5 kΩ",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    if it[1].lo() < it[2].hi() {
        return Err(HandbookError::NoAnswer("the resistor belongs at the pole with the higher voltage"));
    }
    if it[3].hi() >= it[1].lo() {
        return Err(HandbookError::NoAnswer("the resistor must lower the voltage"));
    }
    let value = worst_case(it, Dimension::RESISTANCE, |v| v[0] * (v[1] / v[3] - 1.0) * (1.0 + v[2] / v[1]))?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// A source of 400 V with two known leaks to the body, worked out as a plain circuit: the method must
    /// find the smaller leak.
    #[test]
    fn finds_the_leak_of_a_known_circuit() {
        let (near_leak, far_leak, known, source) = (300e3, 100e3, 50e3, 400.0);
        let share = |one: f64, other: f64| source * one / (one + other);
        let near = share(near_leak, far_leak);
        let loaded = share(near_leak * known / (near_leak + known), far_leak);
        let given = ["50 kΩ", &format!("{near} V"), &format!("{} V", source - near), &format!("{loaded} V")];
        let made = figure_of("isolation_measured", &given, "kΩ");
        assert!((made - 100.0).abs() < 1e-6, "{made}");
        assert!(call("isolation_measured", &["50 kΩ", "100 V", "200 V", "50 V"]).is_err());
        assert!(call("isolation_measured", &["50 kΩ", "200 V", "100 V", "200 V"]).is_err());
    }
}

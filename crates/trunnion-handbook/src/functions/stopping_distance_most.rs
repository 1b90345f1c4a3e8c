//! By the United States' standard for light vehicles, with a pedal force of 65 to 500 N: `cold` is
//! the plain stop, the others are with something failed.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "stopping_distance_most",
    title: "Longest stopping distance allowed",
    section: "brake",
    parameters: &[
        Parameter::new("speed", "km/h", Limits::Between(10.0, 200.0), "speed at the start"),
        Parameter::choice(
            "case",
            &["cold", "high-speed", "antilock-failed", "valve-failed", "circuit-failed", "servo-dead"],
            "what is tested",
        ),
    ],
    outcome: Outcome { unit: "m", meaning: "distance" },
    formula: "distance = 0.1 m × V + factor of case × V², V = speed in km/h",
    sources: &[
        Source::published("49 CFR 571.135", "2024", "S7.5.3, S7.6.3, S7.8.3, S7.9.3, S7.10.4, S7.11.4"),
        Source::from_memory(
            "UN Regulation No. 13-H",
            "01 series of amendments",
            "Annex 3: 2.1.1, 0.1 v + 0.0060 v²; 2.3.1, 20 % gradient",
        ),
    ],
    assumes: &[
        "Brakes decide lives: clear on paper is not permission; proven only on \
             the tester, by a licensed person.",
        "Other jurisdictions have their own rule: this is one basis to select.",
    ],
    example: "stopping_distance_most(100 km/h, cold) = 70 m",
    eval: Eval::Mixed(eval),
};

fn eval(it: &[Quantity], words: &[&str]) -> Result<Evaluation, HandbookError> {
    let factor = match words[0] {
        "high-speed" => 0.0067,
        "antilock-failed" => 0.0075,
        "valve-failed" => 0.0100,
        "circuit-failed" | "servo-dead" => 0.0158,
        _ => 0.0060,
    };
    let value = worst_case(it, Dimension::LENGTH, |v| {
        let kmh = v[0] * 3.6;
        0.1 * kmh + factor * kmh * kmh
    })?;
    Ok(FUNCTION.worked_with(it, words, value)?.noting(&format!("factor {factor}")))
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// 49 CFR 571.135 prints the distances for 100 km/h in S7.5.3, S7.8.3, S7.9.3, S7.10.4 and S7.11.4.
    #[test]
    fn printed_distances() {
        let made = figure_of("stopping_distance_most", &["100 km/h", "cold"], "m");
        let wanted: f64 = 70.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("stopping_distance_most", &["100 km/h", "antilock-failed"], "m");
        let wanted: f64 = 85.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("stopping_distance_most", &["100 km/h", "valve-failed"], "m");
        let wanted: f64 = 110.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("stopping_distance_most", &["100 km/h", "circuit-failed"], "m");
        let wanted: f64 = 168.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("stopping_distance_most", &["100 km/h", "servo-dead"], "m");
        let wanted: f64 = 168.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("stopping_distance_most", &["100 km/h", "hot"]).is_err());
        assert!(call("stopping_distance_most", &["5 km/h", "cold"]).is_err());
    }
}

//! What a meter reads across a bus with the power off, from every resistance on it. Two of 120 Ω
//! read 60 Ω; the right reading does not prove two terminators at the far ends.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "termination_reading",
    title: "Reading over a bus",
    section: "bus",
    parameters: &[Parameter::new(
        "resistances",
        "Ω",
        Limits::Positive,
        "each terminator and each node that has one",
    )
    .repeated()],
    outcome: Outcome { unit: "Ω", meaning: "reading" },
    formula: "reading = 1 / sum of (1 / resistances)",
    sources: &[
        Source::definition("Ohm's law"),
        Source::published("ISO 11898-2", "2003", "termination 100 to 130 Ω, nominal 120 Ω"),
    ],
    assumes: &["No supply, nothing else across the bus."],
    example: "termination_reading(120 Ω, 120 Ω) = 60 Ω",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    // More resistance anywhere never lowers the reading, so its ends lie at the ends of all.
    let reading = |of: fn(&Quantity) -> f64| 1.0 / it.iter().map(|it| 1.0 / of(it)).sum::<f64>();
    let (least, most) = (reading(Quantity::lo), reading(Quantity::hi));
    let value = Quantity::si_range(least, reading(Quantity::nominal), most, Dimension::RESISTANCE)?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("termination_reading", &["120 Ω", "120 Ω"], "Ω");
        let wanted: f64 = 60.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("termination_reading", &["120 Ω", "120 Ω", "120 Ω"], "Ω");
        let wanted: f64 = 40.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("termination_reading", &["120 Ω"], "Ω");
        let wanted: f64 = 120.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("termination_reading", &["0 Ω"]).is_err());
        assert!(call("termination_reading", &["120 Ω", "-1 Ω"]).is_err());
    }
}

//! The most that a vehicle may draw from a charging point, from the duty cycle of its control
//! pilot: what a meter or scope on the pilot should read. Five per cent ask for digital talk; other
//! figures below 8 % and above 97 % allow nothing.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "pilot_current",
    title: "Current that a charging point allows",
    section: "volt",
    parameters: &[Parameter::new(
        "duty",
        "%",
        Limits::Between(8.0, 97.0),
        "share of the time that the pilot is high",
    )],
    outcome: Outcome { unit: "A", meaning: "most that may be drawn" },
    formula: "current = 0.6 A for each % of duty to 85 %, 2.5 A × (duty in % − 64) to \
             96 %; 6 A below 10 %, 80 A above 96 %",
    sources: &[Source::published(
        "IEC 61851-1",
        "2017",
        "Annex A, maximum current by duty cycle of the pilot",
    )],
    assumes: &[
        "High voltage is licensed work; clear on paper is not permission.",
        "The cable has its own limit, coded in its plug.",
    ],
    example: "pilot_current(26.7 %) = 16.02 A",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::CURRENT, |v| match v[0] * 100.0 {
        // A figure that is a hair over a step through rounding belongs to the step.
        duty if duty < 10.0 - 1e-9 => 6.0,
        duty if duty <= 85.0 + 1e-9 => 0.6 * duty,
        duty if duty <= 96.0 + 1e-9 => 2.5 * (duty - 64.0),
        _ => 80.0,
    })?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// IEC 61851-1 by duty cycle, as an instrument maker's table reprints it.
    #[test]
    fn printed_rows() {
        let made = figure_of("pilot_current", &["8 %"], "A");
        let wanted: f64 = 6.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("pilot_current", &["10 %"], "A");
        let wanted: f64 = 6.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("pilot_current", &["16 %"], "A");
        let wanted: f64 = 9.6;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("pilot_current", &["50 %"], "A");
        let wanted: f64 = 30.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("pilot_current", &["85 %"], "A");
        let wanted: f64 = 51.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("pilot_current", &["86 %"], "A");
        let wanted: f64 = 55.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("pilot_current", &["90 %"], "A");
        let wanted: f64 = 65.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("pilot_current", &["96 %"], "A");
        let wanted: f64 = 80.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("pilot_current", &["97 %"], "A");
        let wanted: f64 = 80.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("pilot_current", &["5 %"]).is_err());
        assert!(call("pilot_current", &["98 %"]).is_err());
    }
}

//! What a terminal or connector carries where it is warm, from its rise at a known current: the derating
//! curve with its usual fifth taken off.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "contact_current",
    title: "Current of a contact where it is warm",
    section: "wire",
    parameters: &[
        Parameter::new(
            "known_current",
            "A",
            Limits::Positive,
            "current of a measured rise, all cavities loaded",
        ),
        Parameter::new("known_rise", "K", Limits::Positive, "rise at it"),
        Parameter::new(
            "limit",
            "°C",
            Limits::Between(0.0, 250.0),
            "highest temperature of plating and housing; tin about 130, common practice",
        ),
        Parameter::new("ambient", "°C", Limits::Between(-50.0, 250.0), "around the connector"),
        Parameter::new(
            "derating",
            "%",
            Limits::Between(10.0, 100.0),
            "share of the curve that is used; 80 by the standard",
        ),
    ],
    outcome: Outcome { unit: "A", meaning: "allowable current" },
    formula: "current = derating × known_current × √((limit − ambient) / known_rise)",
    sources: &[
        Source::published(
            "IEC 60512-5-2",
            "2002",
            "test 5b, current-temperature derating: 80 % of the measured curve",
        ),
        Source::definition("rise in proportion to the square of the current"),
    ],
    assumes: &["Worn or rusty contacts run hotter."],
    example: "contact_current(20 A, 30 K, 130 °C, 85 °C, 80 %) = 19.6 A",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    if it[3].hi() > it[2].lo() {
        return Err(HandbookError::NoAnswer(
            "it is hotter there than the contact may be: it carries nothing",
        ));
    }
    let value = worst_case(it, Dimension::CURRENT, |v| v[4] * v[0] * ((v[2] - v[3]) / v[1]).sqrt())?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// By IEC 60512-5-2, test 5b, a maker prints a measured curve and beside it the one to be used, 9.95 A
    /// and 7.96 A at 20 °C, 8.6 A and 6.88 A at 40 °C: four fifths.
    #[test]
    fn four_fifths_as_printed() {
        for (measured, used) in [("9.95 A", 7.96), ("8.6 A", 6.88)] {
            // A rise of all that is left at the ambient of the point leaves the current as it is.
            let made = figure_of("contact_current", &[measured, "85 K", "105 °C", "20 °C", "80 %"], "A");
            assert!((made - used).abs() < 1e-9, "{measured}");
        }
    }

    #[test]
    fn by_hand() {
        let made = figure_of("contact_current", &["10 A", "20 K", "120 °C", "40 °C", "80 %"], "A");
        let wanted: f64 = 16.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("contact_current", &["10 A", "20 K", "120 °C", "130 °C", "80 %"]).is_err());
    }
}

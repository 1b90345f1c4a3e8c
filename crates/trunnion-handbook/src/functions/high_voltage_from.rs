//! Above this working voltage a circuit of a vehicle is high voltage, with all that follows from
//! it; below, down to which a bus must be brought before anyone touches it.

use crate::quantity::Quantity;
use crate::registry::{Eval, Evaluation, Function, HandbookError, Outcome, Parameter, Source};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "high_voltage_from",
    title: "Where high voltage begins",
    section: "volt",
    parameters: &[Parameter::choice("kind", &["direct", "alternating"], "current of the circuit")],
    outcome: Outcome { unit: "V", meaning: "voltage above which it is high" },
    formula: "voltage = 60 V direct, 30 V alternating by kind",
    sources: &[
        Source::published("49 CFR 571.305", "2017", "S4: working voltage greater than 30 VAC or 60 VDC"),
        Source::published(
            "UN Regulation No. 100",
            "02 series of amendments",
            "2.17: above 60 V and to 1500 V DC, above 30 V and to 1000 V AC",
        ),
    ],
    assumes: &[
        "High voltage is licensed work; clear on paper is not permission.",
        "Root mean square for alternating current.",
    ],
    example: "high_voltage_from(direct) = 60 V",
    eval: Eval::Mixed(eval),
};

fn eval(it: &[Quantity], words: &[&str]) -> Result<Evaluation, HandbookError> {
    let volts = if words[0] == "direct" { 60.0 } else { 30.0 };
    FUNCTION.worked_with(it, words, Quantity::exact(volts, "V")?)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// 49 CFR 571.305, S4.
    #[test]
    fn as_the_standard_reads() {
        let made = figure_of("high_voltage_from", &["direct"], "V");
        let wanted: f64 = 60.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("high_voltage_from", &["alternating"], "V");
        let wanted: f64 = 30.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("high_voltage_from", &["both"]).is_err());
    }
}

//! Sum of the powers of all that runs together: the size of a converter from high voltage to low.

use crate::quantity::Quantity;
use crate::registry::{Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "power_total",
    title: "Total power",
    section: "energy",
    parameters: &[
        Parameter::new("powers", "W", Limits::NotNegative, "each power, at its greatest").repeated()
    ],
    outcome: Outcome { unit: "W", meaning: "total" },
    formula: "total = sum of (powers)",
    sources: &[Source::definition("a sum")],
    assumes: &["What starts or stalls draws several times its power for an instant."],
    example: "power_total(160 W, 450 W, 120 W) = 730 W",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let mut total = it[0];
    for power in &it[1..] {
        total = total.add(power)?;
    }
    FUNCTION.worked(it, total)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("power_total", &["100 W", "1.5 kW"], "W");
        let wanted: f64 = 1600.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("power_total", &["1 A"]).is_err());
        assert!(call("power_total", &["-1 W"]).is_err());
    }
}

//! Sum of the currents of all that runs together, against alternator, feed or fuse.

use crate::quantity::Quantity;
use crate::registry::{Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "current_total",
    title: "Total current",
    section: "energy",
    parameters: &[Parameter::new("currents", "A", Limits::NotNegative, "each current, on average").repeated()],
    outcome: Outcome { unit: "A", meaning: "total" },
    formula: "total = sum of (currents)",
    sources: &[Source::definition("a sum")],
    assumes: &[],
    example: "current_total(11 A, 8.5 A, 4 A) = 23.5 A",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let mut total = it[0];
    for current in &it[1..] {
        total = total.add(current)?;
    }
    FUNCTION.worked(it, total)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("current_total", &["1 A", "2 A", "3 A"], "A");
        let wanted: f64 = 6.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("current_total", &["1 A", "1 V"]).is_err());
        assert!(call("current_total", &["-1 A"]).is_err());
    }
}

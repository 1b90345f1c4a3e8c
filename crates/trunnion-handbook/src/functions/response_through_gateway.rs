//! Longest time of a message through several buses and the gateways between them: each bus's own
//! worst case and each gateway's own delay.

use crate::quantity::Quantity;
use crate::registry::{Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "response_through_gateway",
    title: "Latest arrival through a gateway",
    section: "bus",
    parameters: &[Parameter::new(
        "times",
        "ms",
        Limits::NotNegative,
        "worst case of each bus and each gateway on the way",
    )
    .repeated()],
    outcome: Outcome { unit: "ms", meaning: "longest time" },
    formula: "time = sum of (times)",
    sources: &[Source::definition("delays one after the other")],
    assumes: &["The gateway sends on at once or within its stated delay; what it adds in \
             lateness raises the worst case of the next bus."],
    example: "response_through_gateway(2.1 ms, 5 ms, 3.5 ms) = 10.6 ms",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let mut total = it[0];
    for time in &it[1..] {
        total = total.add(time)?;
    }
    FUNCTION.worked(it, total)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("response_through_gateway", &["1 ms", "2 ms", "3 ms"], "ms");
        let wanted: f64 = 6.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("response_through_gateway", &["-1 ms"]).is_err());
        assert!(call("response_through_gateway", &["1 V"]).is_err());
    }
}

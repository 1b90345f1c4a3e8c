//! Resistance per length of a round copper wire from its cross-section, such as a gauge by ASTM B258.
//!
//! For a solid wire of standard annealed copper. Stranding adds about 2 %.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "gauge_resistance",
    title: "Resistance of a solid copper wire",
    section: "wire",
    parameters: &[
        Parameter::new("size", "mm²", Limits::Positive, "cross-section; a gauge as `18 AWG`"),
        Parameter::new("temperature", "°C", Limits::Between(-50.0, 200.0), "of the copper"),
    ],
    outcome: Outcome { unit: "mΩ/m", meaning: "resistance per length" },
    formula: "resistance = 17.241 mΩ mm²/m / size × (1 + 0.00393 / K × (temperature − 20 °C))",
    sources: &[
        Source::published("IEC 60028", "1925", "annealed copper 1/58 Ω mm²/m and 0.00393 / K at 20 °C"),
        Source::published("ASTM B258", "2018", "gauge diameters"),
    ],
    assumes: &["Solid round wire."],
    example: "gauge_resistance(18 AWG, 20 °C) = 20.95 mΩ/m",
    eval: Eval::Figures(eval),
};

/// In Ω m.
const RESISTIVITY: f64 = 1e-6 / 58.0;

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::LINE_RESISTANCE, |v| {
        RESISTIVITY / v[0] * (1.0 + 0.003_93 * (v[1] - 293.15))
    })?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    /// NBS Handbook 100, Copper Wire Tables (1966), Table 2: ohms per 1000 ft at 20 °C.
    #[test]
    fn printed_wire_table() {
        for (gauge, ohms) in [("0 AWG", 0.09827), ("10 AWG", 0.9989), ("14 AWG", 2.525), ("18 AWG", 6.385)] {
            let made = figure_of("gauge_resistance", &[gauge, "20 °C"], "Ω/m") * 304.8;
            // Four figures are printed.
            assert!((made - ohms).abs() / ohms < 2e-4, "{gauge}: {made}");
        }
    }
}

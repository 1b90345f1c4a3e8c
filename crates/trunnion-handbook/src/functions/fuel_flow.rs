//! Flow of fuel at a power, for pump, filter and lines; what returns to the tank comes on top.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "fuel_flow",
    title: "Fuel that an engine takes",
    section: "heat",
    parameters: &[
        Parameter::new("power", "kW", Limits::NotNegative, "at the crankshaft"),
        Parameter::new(
            "efficiency",
            "%",
            Limits::Between(5.0, 50.0),
            "power over energy of the fuel; at full power petrol about 25 to 30, \
             diesel 35 to 40, common practice",
        ),
        Parameter::choice("fuel", &["petrol", "diesel"], "fuel"),
    ],
    outcome: Outcome { unit: "l/h", meaning: "flow" },
    formula: "flow = power / (efficiency × energy of fuel per litre)",
    sources: &[
        Source::published("Directive (EU) 2018/2001", "2018", "Annex III: petrol 32 MJ/l, diesel 36 MJ/l"),
        Source::common_practice("efficiency of engines"),
    ],
    assumes: &["Fuel burns: lines, pump and tank by the local rules."],
    example: "fuel_flow(110 kW, 28 %, petrol) = 44.2 l/h",
    eval: Eval::Mixed(eval),
};

fn eval(it: &[Quantity], words: &[&str]) -> Result<Evaluation, HandbookError> {
    let per_volume = if words[0] == "petrol" { 32e9 } else { 36e9 };
    let value = worst_case(it, Dimension::FLOW, |v| v[0] / (v[1] * per_volume))?;
    FUNCTION.worked_with(it, words, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// 64 kW of petrol at 32 MJ/l are 2 ml/s.
    #[test]
    fn by_hand() {
        let made = figure_of("fuel_flow", &["32 kW", "50 %", "petrol"], "l/h");
        let wanted: f64 = 7.2;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("fuel_flow", &["36 kW", "40 %", "diesel"], "l/h");
        let wanted: f64 = 9.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("fuel_flow", &["32 kW", "50 %", "water"]).is_err());
    }
}

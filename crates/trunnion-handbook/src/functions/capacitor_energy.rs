//! Energy stored in the capacitors of a high-voltage bus; the pre-charge resistor must swallow as
//! much each time.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "capacitor_energy",
    title: "Energy in a capacitor",
    section: "volt",
    parameters: &[
        Parameter::new("capacitance", "µF", Limits::NotNegative, "capacitance"),
        Parameter::new("voltage", "V", Limits::NotNegative, "voltage across it"),
    ],
    outcome: Outcome { unit: "J", meaning: "stored energy" },
    formula: "energy = ½ × capacitance × voltage²",
    sources: &[Source::definition("energy of a charged capacitor")],
    assumes: &["High voltage is licensed work; clear on paper is not permission."],
    example: "capacitor_energy(1000 µF, 400 V) = 80 J",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::ENERGY, |v| 0.5 * v[0] * v[1] * v[1])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    #[test]
    fn by_hand() {
        assert!((figure_of("capacitor_energy", &["2 F", "3 V"], "J") - 9.0).abs() < 1e-9);
    }
}

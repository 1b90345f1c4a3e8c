//! Power that becomes heat where torque passes between two speeds.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "slip_heat",
    title: "Heat of a slipping converter or clutch",
    section: "drive",
    parameters: &[
        Parameter::new("torque", "Nm", Limits::NotNegative, "torque passed on"),
        Parameter::new("speed_in", "rpm", Limits::NotNegative, "driving side"),
        Parameter::new("speed_out", "rpm", Limits::NotNegative, "driven side"),
    ],
    outcome: Outcome { unit: "kW", meaning: "heat" },
    formula: "heat = torque × (speed_in − speed_out)",
    sources: &[Source::definition("power is torque times speed")],
    assumes: &["In a converter that multiplies, less: the torque put in times its speed \
             less the torque put out times its own."],
    example: "slip_heat(200 Nm, 2400 rpm, 2200 rpm) = 4.189 kW",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::POWER, |v| v[0] * (v[1] - v[2]))?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    #[test]
    fn by_hand() {
        let made = figure_of("slip_heat", &["100 Nm", "100 rad/s", "40 rad/s"], "kW");
        let wanted: f64 = 6.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
    }
}

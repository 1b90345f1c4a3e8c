//! How far the centre of mass lies behind the front axle, from the loads of both axles on a scale.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "mass_centre",
    title: "Where the centre of mass lies",
    section: "mass",
    parameters: &[
        Parameter::new("front_load", "kg", Limits::Positive, "on the front axle"),
        Parameter::new("rear_load", "kg", Limits::Positive, "on the rear axle"),
        Parameter::new("wheelbase", "mm", Limits::Positive, "wheelbase"),
    ],
    outcome: Outcome { unit: "mm", meaning: "behind the front axle" },
    formula: "distance = wheelbase × rear_load / (front_load + rear_load)",
    sources: &[Source::definition("moments about the front axle")],
    assumes: &["Both weighed level, one after the other."],
    example: "mass_centre(820 kg, 700 kg, 2700 mm) = 1243 mm",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::LENGTH, |v| v[2] * v[1] / (v[0] + v[1]))?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("mass_centre", &["600 kg", "400 kg", "2500 mm"], "mm");
        let wanted: f64 = 1000.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("mass_centre", &["0 kg", "1 kg", "1 m"]).is_err());
    }
}

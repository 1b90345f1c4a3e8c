//! Travel of a slave cylinder for a travel of the pedal, through lever and line: clutch release
//! against what the cover needs.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "slave_travel",
    title: "Travel of a slave cylinder",
    section: "lever",
    parameters: &[
        Parameter::new("pedal_travel", "mm", Limits::NotNegative, "useful travel of the pedal"),
        Parameter::new("pedal_ratio", "", Limits::Positive, "travel of the pedal over travel of the rod"),
        Parameter::new("master_bore", "mm", Limits::Positive, "of the master cylinder"),
        Parameter::new(
            "slave_bore",
            "mm",
            Limits::Positive,
            "of the slave cylinder; for a ring-shaped one, that of a plain piston of its area",
        ),
    ],
    outcome: Outcome { unit: "mm", meaning: "travel of the slave" },
    formula: "travel = pedal_travel / pedal_ratio × master_bore² / slave_bore²",
    sources: &[Source::definition("volume kept between two pistons")],
    assumes: &["Stiff hose, no air, free play already taken off."],
    example: "slave_travel(130 mm, 5.2, 15.87 mm, 20.64 mm) = 14.78 mm",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::LENGTH, |v| v[0] / v[1] * (v[2] / v[3]).powi(2))?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    #[test]
    fn by_hand() {
        let made = figure_of("slave_travel", &["120 mm", "6", "20 mm", "10 mm"], "mm");
        assert!((made - 80.0).abs() < 1e-9);
    }
}

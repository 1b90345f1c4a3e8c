//! Distance between the shafts of two meshing spur gears of one module, such as a starter's pinion
//! and its ring gear.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "gear_centres",
    title: "Centre distance of two spur gears",
    section: "fit",
    parameters: &[
        Parameter::new("module", "mm", Limits::Positive, "pitch diameter over teeth"),
        Parameter::new("pinion_teeth", "", Limits::Whole(5.0, 500.0), "teeth of the pinion"),
        Parameter::new("wheel_teeth", "", Limits::Whole(5.0, 500.0), "teeth of the wheel"),
    ],
    outcome: Outcome { unit: "mm", meaning: "distance between the shafts" },
    formula: "centres = module × (pinion_teeth + wheel_teeth) / 2",
    sources: &[Source::definition("pitch circles of unshifted spur gears touch")],
    assumes: &["No profile shift; starters add backlash."],
    example: "gear_centres(2.5 mm, 10, 130) = 175 mm",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::LENGTH, |v| v[0] * (v[1] + v[2]) / 2.0)?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    #[test]
    fn by_hand() {
        assert!((figure_of("gear_centres", &["2 mm", "20", "40"], "mm") - 60.0).abs() < 1e-9);
    }
}

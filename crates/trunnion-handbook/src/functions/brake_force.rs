//! Force at the road that a disc brake gives at a line pressure, for one wheel. Both wheels of an axle
//! together, over those of both axles, are its share of the braking.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "brake_force",
    title: "Braking force of a wheel",
    section: "brake",
    parameters: &[
        Parameter::new("pressure", "bar", Limits::NotNegative, "in the line"),
        Parameter::new("piston_area", "mm²", Limits::Positive, "of the pistons on one side of the disc"),
        Parameter::new(
            "friction",
            "",
            Limits::Between(0.0, 0.8),
            "coefficient of friction of the pads; 0.35 to 0.45, common practice",
        ),
        Parameter::new("effective_radius", "mm", Limits::Positive, "from the axis to the middle of the pads"),
        Parameter::new("rolling_radius", "mm", Limits::Positive, "rolling circumference / 2π"),
    ],
    outcome: Outcome { unit: "N", meaning: "force at the road" },
    formula: "force = 2 × pressure × piston_area × friction × effective_radius / rolling_radius",
    sources: &[Source::definition("statics of a disc brake: two rubbing faces")],
    assumes: &[
        "Brakes decide lives: clear on paper is not permission; proven only on \
             the tester, by a licensed person.",
        "A sliding caliper has pistons on one side only and the same force on both.",
        "Drums multiply by themselves and are not worked out here.",
    ],
    example: "brake_force(80 bar, 2290 mm², 0.4, 120 mm, 326 mm) = 5395 N",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::FORCE, |v| 2.0 * v[0] * v[1] * v[2] * v[3] / v[4])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// 100 bar on 1000 mm² are 10 kN, on two faces at 0.4 are 8 kN, at a quarter of the radius 2 kN.
    #[test]
    fn by_hand() {
        let made = figure_of("brake_force", &["100 bar", "1000 mm²", "0.4", "100 mm", "400 mm"], "N");
        let wanted: f64 = 2000.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("brake_force", &["100 bar", "1000 mm²", "0.4", "100 mm", "0 mm"]).is_err());
    }
}

//! What is left between a caliper and the inside of the wheel, measured from the axis.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "caliper_room",
    title: "Room between caliper and wheel",
    section: "fit",
    parameters: &[
        Parameter::new(
            "rim_inside",
            "mm",
            Limits::Positive,
            "least inner diameter of the wheel over the caliper",
        ),
        Parameter::new(
            "caliper_reach",
            "mm",
            Limits::Positive,
            "greatest distance of the caliper from the axis",
        ),
    ],
    outcome: Outcome { unit: "mm", meaning: "room; below zero they touch" },
    formula: "room = rim_inside / 2 − caliper_reach",
    sources: &[
        Source::definition("radii about one axis"),
        Source::common_practice("3 mm and more, for balance weights and stones"),
    ],
    assumes: &["Wheels and hubs decide lives: check clearance at full lock and travel, \
             and the local rules."],
    example: "caliper_room(370 mm, 179 mm) = 6 mm",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::LENGTH, |v| v[0] / 2.0 - v[1])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    #[test]
    fn by_hand() {
        let made = figure_of("caliper_room", &["380 mm", "185 mm"], "mm");
        let wanted: f64 = 5.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("caliper_room", &["360 mm", "185 mm"], "mm");
        let wanted: f64 = -5.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
    }
}

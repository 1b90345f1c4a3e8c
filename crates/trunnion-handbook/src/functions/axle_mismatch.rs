//! How much faster the front propshaft must turn than the rear one on a straight road; zero where the two
//! axles agree. Without a centre differential the tyres must make up the difference by slip.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "axle_mismatch",
    title: "Mismatch of two driven axles",
    section: "drive",
    parameters: &[
        Parameter::new("front_ratio", "", Limits::Positive, "ratio of the front axle"),
        Parameter::new("rear_ratio", "", Limits::Positive, "ratio of the rear axle"),
        Parameter::new("front_circumference", "mm", Limits::Positive, "rolling circumference in front"),
        Parameter::new("rear_circumference", "mm", Limits::Positive, "rolling circumference at the rear"),
    ],
    outcome: Outcome { unit: "%", meaning: "difference as a share of the rear" },
    formula: "mismatch = front_ratio / front_circumference × rear_circumference / rear_ratio − 1",
    sources: &[
        Source::definition("gears and wheels in series"),
        Source::common_practice("at most 1 to 2 % with a locked transfer box on a dry road"),
    ],
    assumes: &["On a straight road; a bend adds its own difference."],
    example: "axle_mismatch(3.73, 3.69, 2050 mm, 2050 mm) = 1.084 %",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::NONE, |v| v[0] / v[2] * v[3] / v[1] - 1.0)?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("axle_mismatch", &["4.1", "4", "2 m", "2 m"], "%");
        let wanted: f64 = 2.5;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("axle_mismatch", &["4", "4", "2 m", "2.2 m"], "%");
        let wanted: f64 = 10.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("axle_mismatch", &["4", "4", "0 m", "2 m"]).is_err());
    }
}

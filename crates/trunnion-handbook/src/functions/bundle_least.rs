//! No round hole narrower than this takes the bundle: the two widest wires side by side, and the
//! copper and insulation of all.

use crate::bundle::width;
use crate::quantity::{Dimension, Quantity};
use crate::registry::{Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "bundle_least",
    title: "Bundle of mixed wires, least",
    section: "wire",
    parameters: &[
        Parameter::new("diameters", "mm", Limits::Positive, "of each wire over its insulation").repeated()
    ],
    outcome: Outcome { unit: "mm", meaning: "width" },
    formula: "width = larger of the two widest side by side and √(sum of diameters²)",
    sources: &[Source::definition("circles in a circle")],
    assumes: &["Tape or sleeve comes on top."],
    example: "bundle_least(2 mm, 2 mm, 3 mm, 1.6 mm) = 5 mm",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let across = |of: fn(&Quantity) -> f64| {
        let all: Vec<f64> = it.iter().map(of).collect();
        width(&all).map(|it| it.at_least).ok_or(HandbookError::NoAnswer("no such bundle"))
    };
    let ends = [across(Quantity::lo)?, across(Quantity::nominal)?, across(Quantity::hi)?];
    // Another packing may be found for the widest wires; no wider wire needs less room.
    let value = Quantity::si_range(ends[0].min(ends[1]), ends[1], ends[2].max(ends[1]), Dimension::LENGTH)?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn two_wires_side_by_side() {
        assert!((figure_of("bundle_least", &["2 mm", "3 mm"], "mm") - 5.0).abs() < 1e-9);
        assert!((figure_of("bundle_least", &["1 mm"; 7], "mm") - 7f64.sqrt()).abs() < 1e-9);
        assert!(call("bundle_least", &[]).is_err());
    }
}

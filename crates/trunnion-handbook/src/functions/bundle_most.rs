//! A round hole this wide takes the bundle, laid with care: a packing that is worked out and shown to hold.

use crate::bundle::width;
use crate::quantity::{Dimension, Quantity};
use crate::registry::{Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "bundle_most",
    title: "Bundle of mixed wires, most",
    section: "wire",
    parameters: &[
        Parameter::new("diameters", "mm", Limits::Positive, "of each wire over its insulation").repeated()
    ],
    outcome: Outcome { unit: "mm", meaning: "width" },
    formula: "width = circle around a packing of diameters",
    sources: &[Source::definition("circles in a circle")],
    assumes: &["Tape or sleeve comes on top."],
    example: "bundle_most(2 mm, 2 mm, 3 mm, 1.6 mm) = 5.377 mm",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let across = |of: fn(&Quantity) -> f64| {
        let all: Vec<f64> = it.iter().map(of).collect();
        width(&all).map(|it| it.at_most).ok_or(HandbookError::NoAnswer("no such bundle"))
    };
    let ends = [across(Quantity::lo)?, across(Quantity::nominal)?, across(Quantity::hi)?];
    // Another packing may be found for the widest wires; no wider wire needs less room.
    let value = Quantity::si_range(ends[0].min(ends[1]), ends[1], ends[2].max(ends[1]), Dimension::LENGTH)?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// Between the published packing of equal circles and a sixth more (see the module on bundles).
    #[test]
    fn holds_the_published_packing() {
        for count in [2usize, 3, 4, 7, 12, 19] {
            let best = figure_of("bundle_diameter", &[&count.to_string(), "1 mm"], "mm");
            let made = figure_of("bundle_most", &vec!["1 mm"; count], "mm");
            assert!(made >= best - 0.002 && made <= best * 1.16, "{count}: {made}");
        }
        assert!(call("bundle_most", &["-1 mm"]).is_err());
    }
}

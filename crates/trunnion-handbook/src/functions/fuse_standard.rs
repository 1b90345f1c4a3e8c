//! The smallest standard rating that is not below a current.

use crate::fuse::smallest_for;
use crate::quantity::{Dimension, Quantity};
use crate::registry::{Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "fuse_standard",
    title: "Next standard blade fuse",
    section: "wire",
    parameters: &[Parameter::new("least", "A", Limits::NotNegative, "least rating: see fuse_least")],
    outcome: Outcome { unit: "A", meaning: "standard rating" },
    formula: "rating = smallest of ISO 8820-3 not below least",
    sources: &[Source::from_memory("ISO 8820-3", "2015", "rated currents of the medium size (type C)")],
    assumes: &["It must also protect the wire."],
    example: "fuse_standard(14.67 A) = 15 A",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let rating = |least: fn(&Quantity) -> f64| smallest_for(least(&it[0]));
    let ends = [rating(Quantity::lo)?, rating(Quantity::nominal)?, rating(Quantity::hi)?];
    FUNCTION.worked(it, Quantity::si_range(ends[0], ends[1], ends[2], Dimension::CURRENT)?)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn ratings_of_the_standard() {
        let made = figure_of("fuse_standard", &["14.67 A"], "A");
        let wanted: f64 = 15.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("fuse_standard", &["7.5 A"], "A");
        let wanted: f64 = 7.5;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("fuse_standard", &["31 A"], "A");
        let wanted: f64 = 40.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("fuse_standard", &["0 A"], "A");
        let wanted: f64 = 1.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("fuse_standard", &["41 A"]).is_err());
        assert!(call("fuse_standard", &["-1 A"]).is_err());
    }
}

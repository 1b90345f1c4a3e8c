//! From the points that the standard tests; between them the slower one counts. Below 1.35 times
//! its rating it may hold for ever.

use crate::fuse::latest_opening;
use crate::quantity::{Dimension, Quantity};
use crate::registry::{Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "fuse_opens_by",
    title: "When a blade fuse has surely opened",
    section: "wire",
    parameters: &[
        Parameter::new("current", "A", Limits::Positive, "through the fuse"),
        Parameter::new("rating", "A", Limits::Positive, "of the fuse"),
    ],
    outcome: Outcome { unit: "s", meaning: "latest time" },
    formula: "time = ISO 8820-3 limit at current / rating",
    sources: &[Source::from_memory("ISO 8820-3", "2015", "operating times of the medium size (type C)")],
    assumes: &["The maker's curve is nearer."],
    example: "fuse_opens_by(20 A, 10 A) = 5 s",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let time = |current: f64, rating: f64| latest_opening(current / rating);
    let (current, rating) = (&it[0], &it[1]);
    // More current never takes longer.
    let ends = [
        time(current.hi(), rating.lo())?,
        time(current.nominal(), rating.nominal())?,
        time(current.lo(), rating.hi())?,
    ];
    FUNCTION.worked(it, Quantity::si_range(ends[0], ends[1], ends[2], Dimension::TIME)?)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn points_of_the_standard() {
        let made = figure_of("fuse_opens_by", &["20 A", "10 A"], "s");
        let wanted: f64 = 5.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("fuse_opens_by", &["35 A", "10 A"], "s");
        let wanted: f64 = 0.5;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("fuse_opens_by", &["30 A", "10 A"], "s");
        let wanted: f64 = 5.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("fuse_opens_by", &["16 A", "10 A"], "s");
        let wanted: f64 = 50.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("fuse_opens_by", &["11 A", "10 A"]).is_err());
    }
}

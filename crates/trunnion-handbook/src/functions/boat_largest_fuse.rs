//! The largest rating of a fuse or breaker for a wire, by the United States' rule for boats.
//!
//! Below 50 V, 150 % of the wire's allowable current; from 50 V, the current itself (the next larger
//! standard size may be used up to 150 %, which this does not assume). The device sits at the source,
//! within 7 in of it, or within 40 in when sheathed all the way.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "boat_largest_fuse",
    title: "Largest fuse of a wire by 33 CFR 183.455",
    section: "wire",
    parameters: &[
        Parameter::new(
            "allowable",
            "A",
            Limits::Positive,
            "allowable current of the wire: see boat_allowable_current",
        ),
        Parameter::new("voltage", "V", Limits::NotNegative, "of the circuit"),
    ],
    outcome: Outcome { unit: "A", meaning: "largest rating" },
    formula: "rating = allowable × 150 % below 50 V, else allowable, at voltage",
    sources: &[Source::published("33 CFR 183.455", "2024", "(b) and (c)")],
    assumes: &["A rule for boats.", "The fuse must also carry the load, derated for its own heat."],
    example: "boat_largest_fuse(25 A, 12 V) = 37.5 A",
    eval: Eval::Figures(eval),
};

/// Volts below which the easier rule holds.
const LOW: f64 = 50.0;

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    if it[1].lo() < LOW && it[1].hi() >= LOW {
        return Err(HandbookError::NoAnswer("the voltage may lie on either side of 50 V"));
    }
    let share = if it[1].hi() < LOW { 1.5 } else { 1.0 };
    let value = worst_case(&it[..1], Dimension::CURRENT, |v| v[0] * share)?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn as_the_rule_reads() {
        assert!((figure_of("boat_largest_fuse", &["20 A", "12 V"], "A") - 30.0).abs() < 1e-9);
        assert!((figure_of("boat_largest_fuse", &["20 A", "50 V"], "A") - 20.0).abs() < 1e-9);
        assert!(call("boat_largest_fuse", &["20 A", "48 to 52 V"]).is_err());
    }
}

//! Least way through air between two live parts, or a live part and the body, for basic insulation.
//!
//! By the impulse voltage that may come, next row of the table up; an inhomogeneous field, and up to 2000 m
//! above the sea. Reinforced insulation takes the next higher impulse voltage.

use crate::data::CLEARANCE;
use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, OutOfTable, Outcome, Parameter, Source,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "clearance_least",
    title: "Least clearance through air",
    section: "volt",
    parameters: &[
        Parameter::new("impulse", "kV", Limits::Between(0.0, 12.0), "highest impulse voltage"),
        Parameter::choice("pollution", &["2", "3"], "pollution degree where the part sits"),
    ],
    outcome: Outcome { unit: "mm", meaning: "least clearance" },
    formula: "distance = IEC 60664-1 Table F.2 at impulse, pollution",
    sources: &[Source::published("IEC 60664-1", "2007", "Table F.2")],
    assumes: &[
        "High voltage is licensed work; clear on paper is not permission.",
        "Rows below 1.5 kV are left out: less than 1.5 kV asks as much as 1.5 kV.",
    ],
    example: "clearance_least(2.5 kV, 2) = 1.5 mm",
    eval: Eval::Mixed(eval),
};

fn eval(it: &[Quantity], words: &[&str]) -> Result<Evaluation, HandbookError> {
    let none = || OutOfTable::new("IEC 60664-1 Table F.2", it[0].display(), "up to 12 kV");
    let at = |volts: f64| CLEARANCE.table().row_from(volts / 1000.0)?.figure(words[0]);
    let ends = [at(it[0].lo()), at(it[0].nominal()), at(it[0].hi())];
    let [Some(lo), Some(nominal), Some(hi)] = ends.map(|it| it.map(|millimetres| millimetres / 1000.0))
    else {
        return Err(none().into());
    };
    FUNCTION.worked_with(it, words, Quantity::si_range(lo, nominal, hi, Dimension::LENGTH)?)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// IEC 60664-1, Table F.2: 1.5 to 6 kV as a railway's rules reprint it, 8 and 12 kV as a maker of
    /// terminals does.
    #[test]
    fn printed_rows() {
        for (impulse, pollution, distance) in [
            ("1.5 kV", "2", 0.5),
            ("1.5 kV", "3", 0.8),
            ("2500 V", "2", 1.5),
            ("4 kV", "2", 3.0),
            ("6 kV", "3", 5.5),
            ("8 kV", "2", 8.0),
            ("12 kV", "2", 14.0),
            ("4.1 kV", "2", 5.5),
            ("100 V", "2", 0.5),
        ] {
            let made = figure_of("clearance_least", &[impulse, pollution], "mm");
            assert!((made - distance).abs() < 1e-9, "{impulse} {pollution}: {made}");
        }
        assert!(call("clearance_least", &["12.1 kV", "2"]).is_err());
        assert!(call("clearance_least", &["4 kV", "4"]).is_err());
    }
}

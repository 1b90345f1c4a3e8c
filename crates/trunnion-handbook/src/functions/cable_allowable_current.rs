//! Current that a fixed cable may carry, by the rule for buildings: another basis to select, for copper
//! with 90 °C insulation such as cross-linked polyethylene.
//!
//! `A` is in a wall with heat insulation, `B` in conduit or trunking, `C` fixed to a surface in the open.
//! Between two rows of ambient or of circuits the next row up counts. Smaller wire than 1 mm² is open.

use crate::data::{CABLE_CURRENT, CABLE_CURRENT_AMBIENT, CABLE_CURRENT_GROUP};
use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, OutOfTable, Outcome, Parameter, Source,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "cable_allowable_current",
    title: "Allowable current of a cable by BS 7671",
    section: "wire",
    parameters: &[
        Parameter::new(
            "size",
            "mm²",
            Limits::OneOf(&[1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0, 50.0, 70.0, 95.0]),
            "cross-section",
        ),
        Parameter::choice("method", &["A", "B", "C"], "how it is laid"),
        Parameter::new("ambient", "°C", Limits::Between(-50.0, 85.0), "air around it"),
        Parameter::new("circuits", "", Limits::Whole(1.0, 20.0), "circuits bunched together"),
    ],
    outcome: Outcome { unit: "A", meaning: "allowable current" },
    formula: "current = Table 4E1A of (size, method) × Table 4B1 of ambient × Table 4C1 of circuits",
    sources: &[Source::published("BS 7671", "2008", "Tables 4E1A, 4B1 and 4C1")],
    assumes: &[
        "Circuits of two single-core cables with direct current, all loaded alike.",
        "A rule for buildings, not for road vehicles: the maker's data sheet is nearer.",
    ],
    example: "cable_allowable_current(2.5 mm², B, 50 °C, 3) = 17.79 A",
    eval: Eval::Mixed(eval),
};

fn eval(it: &[Quantity], words: &[&str]) -> Result<Evaluation, HandbookError> {
    let none = || OutOfTable::new("BS 7671 Tables 4E1A, 4B1 and 4C1", it[0].display(), "1 mm² to 95 mm²");
    let celsius = |kelvin: f64| kelvin - 273.15;
    let at = |ambient: f64, circuits: f64| {
        let row = CABLE_CURRENT.table().row_at(it[0].nominal() * 1e6)?;
        let warm = CABLE_CURRENT_AMBIENT.table().row_from(ambient)?;
        let group = CABLE_CURRENT_GROUP.table().row_from(circuits)?;
        Some(row.figure(words[0])? * warm.figure("factor")? * group.figure("factor")?)
    };
    // Warmer and more together carry less.
    let ends = [
        at(celsius(it[1].hi()), it[2].hi()),
        at(celsius(it[1].nominal()), it[2].nominal()),
        at(celsius(it[1].lo()), it[2].lo()),
    ];
    let [Some(lo), Some(nominal), Some(hi)] = ends else {
        return Err(none().into());
    };
    FUNCTION.worked_with(it, words, Quantity::si_range(lo, nominal, hi, Dimension::CURRENT)?)
}

#[cfg(test)]
mod tests {
    use crate::data::CABLE_CURRENT;
    use crate::registry::{call, figure_of};

    /// BS 7671:2008, Table 4E1A (two cables), as a supplier of cable prints it; Tables 4B1 and 4C1 as
    /// guides to the 17th edition print them.
    #[test]
    fn printed_values() {
        for (size, method, ambient, circuits, current) in [
            ("2.5 mm²", "B", "30 °C", "1", 31.0),
            ("2.5 mm²", "C", "30 °C", "1", 34.0),
            ("16 mm²", "A", "30 °C", "1", 81.0),
            ("95 mm²", "C", "30 °C", "1", 355.0),
            ("10 mm²", "B", "50 °C", "1", 75.0 * 0.82),
            ("10 mm²", "B", "51 °C", "1", 75.0 * 0.76),
            ("10 mm²", "B", "30 °C", "10", 75.0 * 0.45),
            ("10 mm²", "B", "-10 °C", "1", 75.0 * 1.02),
        ] {
            let made = figure_of("cable_allowable_current", &[size, method, ambient, circuits], "A");
            assert!((made - current).abs() < 1e-9 * current, "{size} {method}: {made}");
        }
    }

    /// 4B1 is the square root of the rise that is left, to its two decimals.
    #[test]
    fn factors_follow_the_rise() {
        for ambient in [35.0, 40.0, 50.0, 60.0, 70.0, 80.0_f64] {
            let text = format!("{ambient} °C");
            let made = figure_of("cable_allowable_current", &["10 mm²", "B", &text, "1"], "A") / 75.0;
            assert!((made - ((90.0 - ambient) / 60.0).sqrt()).abs() < 0.006, "{ambient}: {made}");
        }
    }

    #[test]
    fn nothing_beyond_the_tables() {
        for given in [
            ["0.5 mm²", "B", "30 °C", "1"],
            ["3 mm²", "B", "30 °C", "1"],
            ["120 mm²", "B", "30 °C", "1"],
            ["2.5 mm²", "D", "30 °C", "1"],
            ["2.5 mm²", "B", "86 °C", "1"],
            ["2.5 mm²", "B", "30 °C", "21"],
        ] {
            assert!(call("cable_allowable_current", &given).is_err(), "{given:?}");
        }
    }

    #[test]
    fn more_copper_and_freer_air_carry_more() {
        let rows: Vec<_> = CABLE_CURRENT.table().all().collect();
        for pair in rows.windows(2) {
            assert!((0..4).all(|at| pair[0].at(at) < pair[1].at(at)));
        }
        assert!(rows.iter().all(|row| row.at(1) < row.at(2) && row.at(2) < row.at(3)));
    }
}

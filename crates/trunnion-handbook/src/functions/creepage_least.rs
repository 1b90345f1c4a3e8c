//! Least way along a surface between two live parts, or a live part and the body, for basic insulation.
//!
//! By the working voltage, next row of the table up; pollution degree 2 is dry and closed, 3 has
//! dust and dew; the material's group goes with its tracking index: I from 600, II from 400, III
//! below. Reinforced insulation takes twice as much.

use crate::data::CREEPAGE;
use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, OutOfTable, Outcome, Parameter, Source,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "creepage_least",
    title: "Least creepage distance",
    section: "volt",
    parameters: &[
        Parameter::new(
            "voltage",
            "V",
            Limits::Between(0.0, 1000.0),
            "working voltage, root mean square or direct",
        ),
        Parameter::choice("pollution", &["2", "3"], "pollution degree where the part sits"),
        Parameter::choice("material", &["I", "II", "III"], "group of the insulating material"),
    ],
    outcome: Outcome { unit: "mm", meaning: "least creepage distance" },
    formula: "distance = IEC 60664-1 Table F.5 at voltage, pollution, material",
    sources: &[Source::published("IEC 60664-1", "2020", "Table F.5")],
    assumes: &[
        "High voltage is licensed work; clear on paper is not permission.",
        "Clearance through air is another table: `clearance_least`.",
    ],
    example: "creepage_least(400 V, 2, II) = 2.8 mm",
    eval: Eval::Mixed(eval),
};

fn eval(it: &[Quantity], words: &[&str]) -> Result<Evaluation, HandbookError> {
    let column = format!("{} {}", words[0], words[1]);
    let none = || OutOfTable::new("IEC 60664-1 Table F.5", it[0].display(), "up to 1000 V");
    let at = |volts: f64| CREEPAGE.table().row_from(volts)?.figure(&column);
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

    use crate::data::CREEPAGE;

    /// IEC 60664-1:2020, Table F.5; rows up to 32 V and 250 to 800 V as trade catalogues reprint them.
    #[test]
    fn printed_rows() {
        for (voltage, pollution, material, distance) in [
            ("12.5 V", "2", "I", 0.42),
            ("32 V", "3", "III", 1.3),
            ("250 V", "2", "III", 2.5),
            ("320 V", "2", "III", 3.2),
            ("400 V", "2", "III", 4.0),
            ("500 V", "2", "III", 5.0),
            ("630 V", "2", "III", 6.3),
            ("800 V", "2", "III", 8.0),
            ("401 V", "3", "I", 6.3),
        ] {
            let made = figure_of("creepage_least", &[voltage, pollution, material], "mm");
            assert!((made - distance).abs() < 1e-9, "{voltage} {pollution} {material}: {made}");
        }
        assert!(call("creepage_least", &["1001 V", "2", "I"]).is_err());
        assert!(call("creepage_least", &["400 V", "4", "I"]).is_err());
    }

    /// More voltage, dirt or tracking never needs less.
    #[test]
    fn the_table_rises() {
        let rows: Vec<Vec<f64>> =
            CREEPAGE.table().all().map(|row| (0..7).filter_map(|at| row.at(at)).collect()).collect();
        assert!(rows.iter().all(|row| row.len() == 7));
        for pair in rows.windows(2) {
            assert!(pair[0].iter().zip(&pair[1]).all(|(one, other)| one <= other));
        }
        assert!(
            rows.iter()
                .all(|row| row[1] <= row[2] && row[2] <= row[3] && row[4] <= row[5] && row[5] <= row[6])
        );
        assert!(rows.iter().all(|row| (1..=3).all(|at| row[at] < row[at + 3])));
    }
}

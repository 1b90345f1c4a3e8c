//! Current that a wire may carry, by the United States' rule for boats.
//!
//! A boat rule, not one for road vehicles: a basis to select, never a silent default. Table 5 holds
//! gauges 18 to 4/0; smaller wire is open, not extrapolated. The engine space of note 1 is 50 °C; a hot
//! engine bay is hotter. The bundle factors of note 2 bind from 50 V; below it they are good sense.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{Eval, Evaluation, Function, HandbookError, Limits, OutOfTable, Outcome, Parameter, Source};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "boat_allowable_current",
    title: "Allowable current of a wire by 33 CFR 183.425",
    section: "wire",
    parameters: &[
        Parameter::new(
            "size",
            "AWG",
            Limits::OneOf(&[
                18.0, 16.0, 14.0, 12.0, 10.0, 8.0, 6.0, 4.0, 3.0, 2.0, 1.0, 0.0, -1.0, -2.0, -3.0,
            ]),
            "gauge; 2/0 is -1 AWG, 4/0 is -3 AWG",
        ),
        Parameter::new(
            "insulation",
            "°C",
            Limits::OneOf(&[60.0, 75.0, 80.0, 90.0, 105.0, 125.0, 200.0]),
            "temperature rating of the insulation",
        ),
        Parameter::new(
            "engine_space",
            "",
            Limits::OneOf(&[0.0, 1.0]),
            "1 when the wire runs through the engine space",
        ),
        Parameter::new("bundled", "", Limits::Whole(1.0, 200.0), "current-carrying wires in the bundle"),
    ],
    outcome: Outcome { unit: "A", meaning: "allowable current" },
    formula: "current = Table 5 of (size, insulation) × note 1 for engine_space × note 2 for bundled",
    sources: &[
        Source::published("33 CFR 183.425", "2001 and later", "Table 5, column of 105 °C, and its note 2"),
        Source::from_memory(
            "33 CFR 183.425",
            "2001 and later",
            "Table 5, the other columns, and its note 1 apart from 105 °C",
        ),
    ],
    assumes: &[
        "A rule for boats.",
        "Note 2 binds at 50 V and more.",
        "Where wiring can start a fire, a person who knows the local rules must agree.",
    ],
    example: "boat_allowable_current(14 AWG, 105 °C, 1, 1) = 29.75 A",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let (base, hot) = table(it)?;
    let space = if it[2].nominal() > 0.5 { hot } else { 1.0 };
    let bundle = bundle_factor(it[3])?;
    let value = Quantity::si(base * space * bundle, Dimension::CURRENT)?;
    let note = format!("Table 5 gives {base} A, note 1 {space}, note 2 {bundle}");
    Ok(FUNCTION.worked(it, value)?.noting(&note))
}

/// The columns of Table 5: insulation rating in °C, factor of note 1 for engine spaces.
const COLUMNS: [(f64, f64); 7] =
    [(60.0, 0.58), (75.0, 0.75), (80.0, 0.78), (90.0, 0.82), (105.0, 0.85), (125.0, 0.89), (200.0, 1.0)];

/// Table 5: gauge, then amperes in the order of the columns.
const TABLE: [(f64, [u16; 7]); 15] = [
    (18.0, [10, 10, 15, 20, 20, 25, 25]),
    (16.0, [15, 15, 20, 25, 25, 30, 35]),
    (14.0, [20, 20, 25, 30, 35, 40, 45]),
    (12.0, [25, 25, 35, 40, 45, 50, 55]),
    (10.0, [40, 40, 50, 55, 60, 70, 70]),
    (8.0, [55, 65, 70, 70, 80, 90, 100]),
    (6.0, [80, 95, 100, 100, 120, 125, 135]),
    (4.0, [105, 125, 130, 135, 160, 170, 180]),
    (3.0, [120, 145, 150, 155, 180, 195, 210]),
    (2.0, [140, 170, 175, 180, 210, 225, 240]),
    (1.0, [165, 195, 210, 210, 245, 265, 280]),
    (0.0, [195, 230, 245, 245, 285, 305, 325]),
    (-1.0, [225, 265, 285, 285, 330, 355, 370]),
    (-2.0, [260, 310, 330, 330, 385, 410, 430]),
    (-3.0, [300, 360, 385, 385, 445, 475, 510]),
];

fn table(it: &[Quantity]) -> Result<(f64, f64), HandbookError> {
    let none = || {
        let wanted = format!("{} at {}", it[0], it[1]);
        OutOfTable::new("33 CFR 183.425 Table 5", wanted, "18 to 4/0 AWG, 60 to 200 °C")
    };
    let gauge = it[0].in_unit("AWG").ok_or_else(none)?;
    let rating = it[1].in_unit("°C").ok_or_else(none)?;
    let near = |one: f64, other: f64| (one - other).abs() < 1e-6;
    let (_, row) = TABLE.iter().find(|(it, _)| near(*it, gauge)).ok_or_else(none)?;
    let at = COLUMNS.iter().position(|(it, _)| near(*it, rating)).ok_or_else(none)?;
    Ok((f64::from(row[at]), COLUMNS[at].1))
}

/// Note 2, by the number of current-carrying conductors.
fn bundle_factor(bundled: Quantity) -> Result<f64, HandbookError> {
    let factor = |count: f64| match count.round() {
        it if it < 3.0 => Some(1.0),
        it if it < 4.0 => Some(0.7),
        it if it < 7.0 => Some(0.6),
        it if it < 25.0 => Some(0.5),
        _ => None,
    };
    // More wires never carry more: the largest count of a range decides.
    factor(bundled.hi()).ok_or_else(|| {
        OutOfTable::new("33 CFR 183.425 note 2", format!("{bundled} wires"), "up to 24 wires").into()
    })
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn cells_of_the_verified_column() {
        for (gauge, insulation, amperes) in [
            ("18 AWG", "105 °C", 20.0),
            ("12 AWG", "105 °C", 45.0),
            ("6 AWG", "105 °C", 120.0),
            ("-3 AWG", "105 °C", 445.0),
        ] {
            let made = figure_of("boat_allowable_current", &[gauge, insulation, "0", "1"], "A");
            assert!((made - amperes).abs() < 1e-9, "{gauge} {insulation}");
        }
    }

    #[test]
    fn notes_as_printed() {
        let made =
            |space, bundled| figure_of("boat_allowable_current", &["16 AWG", "105 °C", space, bundled], "A");
        assert!((made("1", "1") - 25.0 * 0.85).abs() < 1e-9);
        for (bundled, factor) in [("2", 1.0), ("3", 0.7), ("4", 0.6), ("6", 0.6), ("7", 0.5), ("24", 0.5)] {
            assert!((made("0", bundled) - 25.0 * factor).abs() < 1e-9, "{bundled}");
        }
    }

    #[test]
    fn nothing_outside_the_table() {
        for gauge in ["20 AWG", "22 AWG", "9 AWG", "2.5 mm²"] {
            assert!(call("boat_allowable_current", &[gauge, "105 °C", "0", "1"]).is_err(), "{gauge}");
        }
        assert!(call("boat_allowable_current", &["16 AWG", "100 °C", "0", "1"]).is_err());
        assert!(call("boat_allowable_current", &["16 AWG", "105 °C", "0", "0"]).is_err());
    }

    #[test]
    fn thicker_and_hotter_carry_no_less() {
        for rows in TABLE.windows(2) {
            assert!(rows[0].1.iter().zip(rows[1].1).all(|(thin, thick)| *thin <= thick));
        }
        assert!(TABLE.iter().all(|(_, row)| row.windows(2).all(|it| it[0] <= it[1])));
    }

    use super::TABLE;
}

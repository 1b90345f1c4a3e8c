//! Current that a wire may carry, by the United States' rule for boats.
//!
//! A boat rule, not one for road vehicles: a basis to select, never a silent default. Table 5 holds
//! gauges 18 to 4/0; smaller wire is open, not extrapolated. The engine space of note 1 is 50 °C; a hot
//! engine bay is hotter. The bundle factors of note 2 bind from 50 V; below it they are good sense.

use crate::data::{BOAT_CURRENT, BOAT_CURRENT_BUNDLE, BOAT_CURRENT_ENGINE};
use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, OutOfTable, Outcome, Parameter, Source,
};

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
    formula: "current = Table 5 of (size, insulation) × note 1 for engine_space × note \
             2 for bundled",
    sources: &[Source::published("33 CFR 183.425", "2001 and later", "Table 5 with its notes 1 and 2")],
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

/// The cell of Table 5 and the factor of note 1.
fn table(it: &[Quantity]) -> Result<(f64, f64), HandbookError> {
    let none = || {
        let wanted = format!("{} at {}", it[0], it[1]);
        OutOfTable::new("33 CFR 183.425 Table 5", wanted, "18 to 4/0 AWG, 60 to 200 °C")
    };
    let (gauge, rating) = (it[0].in_unit("AWG"), it[1].in_unit("°C"));
    let gauge = gauge.filter(|it| (it - it.round()).abs() < 1e-6).ok_or_else(none)?.round();
    // One of the listed ratings, by its limits.
    let rating = rating.ok_or_else(none)?.round().to_string();
    let row = BOAT_CURRENT.table().row_at(gauge).ok_or_else(none)?;
    let hot = BOAT_CURRENT_ENGINE.table().row(&rating).and_then(|it| it.at(1)).ok_or_else(none)?;
    Ok((row.figure(&rating).ok_or_else(none)?, hot))
}

/// Note 2, by the number of current-carrying conductors.
fn bundle_factor(bundled: Quantity) -> Result<f64, HandbookError> {
    // More wires never carry more: the largest count of a range decides.
    let count = bundled.hi().round();
    let row = BOAT_CURRENT_BUNDLE.table().all().find(|row| row.at(1).is_some_and(|to| count <= to));
    row.and_then(|row| row.figure("factor")).ok_or_else(|| {
        OutOfTable::new("33 CFR 183.425 note 2", format!("{bundled} wires"), "1 to 200 wires").into()
    })
}

#[cfg(test)]
mod tests {
    use crate::data::BOAT_CURRENT;
    use crate::registry::{call, figure_of};

    /// Cells and factors as 33 CFR 183.425 prints them (2024 edition); the whole table was held
    /// against it.
    #[test]
    fn printed_cells() {
        for (gauge, insulation, amperes) in [
            ("18 AWG", "60 °C", 10.0),
            ("16 AWG", "200 °C", 35.0),
            ("14 AWG", "90 °C", 30.0),
            ("12 AWG", "105 °C", 45.0),
            ("10 AWG", "80 °C", 50.0),
            ("6 AWG", "125 °C", 125.0),
            ("3 AWG", "75 °C", 145.0),
            ("0 AWG", "90 °C", 245.0),
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
        for (bundled, factor) in
            [("2", 1.0), ("3", 0.7), ("4", 0.6), ("6", 0.6), ("7", 0.5), ("24", 0.5), ("25", 0.4)]
        {
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
        let rows: Vec<Vec<f64>> =
            BOAT_CURRENT.table().all().map(|row| (1..=7).filter_map(|at| row.at(at)).collect()).collect();
        assert_eq!((rows.len(), rows[0].len()), (15, 7));
        for pair in rows.windows(2) {
            assert!(pair[0].iter().zip(&pair[1]).all(|(thin, thick)| thin <= thick));
        }
        assert!(rows.iter().all(|row| row.windows(2).all(|it| it[0] <= it[1])));
    }
}

//! What a wire may carry, by the basis that was chosen, where it lies.

use trunnion_handbook::quantity::Quantity;
use trunnion_handbook::registry::{self, HandbookError};

use super::told::is_gauge;
use crate::sum::Sum;

/// The bases that are known.
const BASES: &str = "cfr_183_425 (a rule for boats; none for road vehicles is in the handbook)";

/// Ambient of the table, and of its note 1 for the engine space: 33 CFR 183.425, Table 5.
const TABLE_AMBIENT: f64 = 30.0;
const SPACE_AMBIENT: f64 = 50.0;

/// Voltage from which note 2 binds: 33 CFR 183.425, Table 5.
const BUNDLES_BIND: f64 = 50.0;

/// The gauges of Table 5, thinnest first.
const GAUGES: [i32; 15] = [18, 16, 14, 12, 10, 8, 6, 4, 3, 2, 1, 0, -1, -2, -3];

/// How a wire lies.
#[derive(Clone, Copy)]
pub struct Lies {
    /// Temperature rating of its insulation.
    pub insulation: Quantity,
    /// The hottest place along its way.
    pub ambient: Quantity,
    /// How many wires of its run carry current, where the rule counts them; else 1.
    pub bundled: usize,
}

/// What a wire may carry.
pub struct Allowed {
    /// The current.
    pub amps: Quantity,
    /// The size it was taken for, as it is shown: "14 AWG".
    pub counted: String,
    formulas: Vec<String>,
    sources: Vec<String>,
}

/// How wires lie, from the `basis`; `bundled` counts those that share a run, where the rule counts them; none, and the sum ends open, where that is not stated.
pub fn lies(sum: &mut Sum<'_, '_>, volts: Option<Quantity>, bundled: impl FnOnce() -> usize) -> Option<Lies> {
    let word = sum.basis_word("current", BASES)?;
    if word != "cfr_183_425" {
        sum.refuse(format!("the handbook has no basis {word} for the current; it has {BASES}"));
        return None;
    }
    let insulation = sum.basis("insulation", "60, 75, 80, 90, 105, 125 or 200 °C, as printed on the wire");
    let ambient = sum.basis("ambient", "the hottest place along the way, measured after a long climb");
    let high = volts.is_some_and(|it| it.ends_in("V").is_some_and(|[_, _, most]| most >= BUNDLES_BIND));
    Some(Lies {
        insulation: insulation?,
        ambient: ambient?,
        bundled: if high { bundled().max(1) } else { 1 },
    })
}

/// The gauge of the table that a size counts as: the thickest that is not above it.
fn counted(size: &Quantity) -> Option<i32> {
    let area = size.in_unit("mm²")?;
    let of = |gauge: &&i32| Quantity::exact(f64::from(**gauge), "AWG").ok()?.in_unit("mm²");
    GAUGES.iter().rev().find(|it| of(it).is_some_and(|it| it <= area * 1.001)).copied()
}

fn gauge_shown(gauge: i32) -> String {
    match gauge {
        -3..=-1 => format!("{}/0 AWG", 1 - gauge),
        0 => "1/0 AWG".to_owned(),
        _ => format!("{gauge} AWG"),
    }
}

/// What a size may carry as it lies; else why there is no answer.
pub fn allowed(size: &Quantity, lies: &Lies) -> Result<Allowed, String> {
    let Some(gauge) = counted(size) else {
        return Err(format!(
            "Table 5 of 33 CFR 183.425 begins at 18 AWG (0.82 mm²) and is not extrapolated to {}",
            size.display()
        ));
    };
    let worst = |it: HandbookError| it.to_string();
    let hottest = lies.ambient.ends_in("°C").map_or(f64::INFINITY, |[_, _, most]| most);
    let space = hottest > TABLE_AMBIENT && hottest <= SPACE_AMBIENT;
    let number = |it: f64| Quantity::number(it).map_err(|it| it.to_string());
    let given = [
        Quantity::exact(f64::from(gauge), "AWG").map_err(|it| it.to_string())?,
        lies.insulation,
        number(if space { 1.0 } else { 0.0 })?,
        number(lies.bundled as f64)?,
    ];
    let mut made = Allowed {
        amps: number(0.0)?,
        counted: gauge_shown(gauge),
        formulas: Vec::new(),
        sources: Vec::new(),
    };
    made.call("boat_allowable_current", &given).map_err(worst)?;
    if hottest > SPACE_AMBIENT {
        let table = Quantity::exact(TABLE_AMBIENT, "°C").map_err(|it| it.to_string())?;
        made.call("current_at_ambient", &[made.amps, lies.insulation, table, lies.ambient]).map_err(worst)?;
    }
    Ok(made)
}

impl Allowed {
    fn call(&mut self, name: &str, given: &[Quantity]) -> Result<(), HandbookError> {
        let Some(function) = registry::function(name) else { return Ok(()) };
        let worked = function.call(given)?;
        self.amps = worked.value;
        self.formulas.push(worked.with_numbers);
        self.sources.extend(function.sources.iter().map(ToString::to_string));
        Ok(())
    }

    /// Puts formula and sources into a sum.
    pub fn into_sum(&self, sum: &mut Sum<'_, '_>, size: &Quantity) {
        self.formulas.iter().for_each(|it| sum.formula(it.clone()));
        self.sources.iter().for_each(|it| sum.source(it.clone()));
        sum.note("33 CFR 183.425 is a rule for boats, chosen in the `basis`; local rules for the vehicle go first.");
        if !is_gauge(size) {
            sum.note(format!(
                "{} counts as {}, the thickest gauge of the table that is not above it.",
                size.display(),
                self.counted
            ));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lies(insulation: f64, ambient: f64, bundled: usize) -> Lies {
        let degrees = |it| Quantity::exact(it, "°C").expect("a temperature");
        Lies { insulation: degrees(insulation), ambient: degrees(ambient), bundled }
    }

    fn amps(size: &str, unit: &str, lies: &Lies) -> f64 {
        let size = Quantity::exact(size.parse().expect("a number"), unit).expect("a size");
        allowed(&size, lies).map(|it| it.amps.in_unit("A").expect("a current")).expect("in the table")
    }

    /// 33 CFR 183.425 Table 5: 14 AWG at 105 °C 35 A, note 1 0.85 in the engine space, note 2 0.7 for
    /// three wires.
    #[test]
    fn the_table_and_its_notes() {
        assert!((amps("14", "AWG", &lies(105.0, 30.0, 1)) - 35.0).abs() < 1e-9);
        assert!((amps("14", "AWG", &lies(105.0, 50.0, 1)) - 29.75).abs() < 1e-9);
        assert!((amps("14", "AWG", &lies(105.0, 30.0, 3)) - 24.5).abs() < 1e-9);
    }

    #[test]
    fn metric_sizes_count_as_the_gauge_below() {
        // 2.5 mm² lies between 14 AWG (2.08 mm²) and 12 AWG (3.31 mm²): ASTM B258.
        assert!((amps("2.5", "mm²", &lies(105.0, 30.0, 1)) - 35.0).abs() < 1e-9);
        let thin = Quantity::exact(0.75, "mm²").expect("a size");
        assert!(allowed(&thin, &lies(105.0, 30.0, 1)).is_err_and(|it| it.contains("not extrapolated")));
    }

    #[test]
    fn hotter_than_the_engine_space_carries_less() {
        // 35 A × √((105 − 80) / (105 − 30)).
        assert!((amps("14", "AWG", &lies(105.0, 80.0, 1)) - 20.207).abs() < 1e-3);
    }
}

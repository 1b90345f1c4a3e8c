//! How the stored tables of ISO 286-1:2010 are read: µm over size steps in mm.

use crate::data::{FIT_EDGES, FIT_EDGES_FINE, FIT_GRADES, FIT_J, Table};

/// A hole's or a shaft's letter; the symmetric one is kept apart.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Letter {
    Hole(char),
    Shaft(char),
    Symmetric,
}

impl Letter {
    pub(super) fn read(text: &str) -> Option<Self> {
        let mut letters = text.chars();
        match (text, letters.next(), letters.next()) {
            ("js" | "JS", ..) => Some(Self::Symmetric),
            (_, Some(it), None) if it.is_ascii_uppercase() => Some(Self::Hole(it.to_ascii_lowercase())),
            (_, Some(it), None) if it.is_ascii_lowercase() => Some(Self::Shaft(it)),
            _ => None,
        }
    }
}

/// Where the tolerance zone starts.
pub(super) enum Deviation {
    /// Its lower edge, the rest above it.
    Lower(f64),
    /// Its upper edge, the rest below it.
    Upper(f64),
    /// Half to each side of the nominal size.
    Middle,
}

/// The upper ends of the main size steps.
pub(super) fn steps() -> impl Iterator<Item = f64> {
    FIT_GRADES.table().columns().iter().skip(1).filter_map(|it| it.parse().ok())
}

/// The cell of a row for a nominal size; the columns are named by the upper ends of their steps.
fn cell(table: &Table, row: &str, nominal: f64) -> Option<f64> {
    let upper = |name: &&str| name.parse().is_ok_and(|end: f64| nominal <= end);
    let place = table.columns().iter().skip(1).position(upper)? + 1;
    table.row(row)?.at(place)
}

/// The width of a grade's zone.
pub(super) fn tolerance(nominal: f64, grade: u8) -> Option<f64> {
    cell(FIT_GRADES.table(), &grade.to_string(), nominal)
}

fn near(nominal: f64, letter: char) -> Option<f64> {
    let row = letter.to_string();
    let coarse = cell(FIT_EDGES.table(), &row, nominal);
    coarse.or_else(|| cell(FIT_EDGES_FINE.table(), &row, nominal))
}

/// Where the zone of a letter starts, or `None` where the standard defines no such class.
pub(super) fn fundamental(nominal: f64, letter: Letter, grade: u8) -> Option<Deviation> {
    match letter {
        Letter::Symmetric => Some(Deviation::Middle),
        Letter::Shaft('j') => {
            let row = format!("j{}", grade.max(6));
            cell(FIT_J.table(), &row, nominal).map(|it| Deviation::Lower(-it))
        }
        Letter::Shaft('k') if grade > 7 => Some(Deviation::Lower(0.0)),
        Letter::Shaft(it @ 'c'..='h') => near(nominal, it).map(|it| Deviation::Upper(-it)),
        Letter::Shaft(it) => near(nominal, it).map(Deviation::Lower),
        Letter::Hole('j') => cell(FIT_J.table(), &format!("J{grade}"), nominal).map(Deviation::Upper),
        Letter::Hole(it @ 'c'..='h') => near(nominal, it).map(Deviation::Lower),
        Letter::Hole(it) => above_hole(nominal, it, grade).map(Deviation::Upper),
    }
}

/// Table 2 and 3 for holes K to U: the shaft's value mirrored, shifted by Δ = IT(n) − IT(n−1) in
/// the finer grades, so that a hole-basis and a shaft-basis fit of one name are alike.
fn above_hole(nominal: f64, letter: char, grade: u8) -> Option<f64> {
    let mirrored = -near(nominal, letter)?;
    let small = nominal <= 3.0;
    let delta = match small {
        true => 0.0,
        false => tolerance(nominal, grade)? - tolerance(nominal, grade - 1)?,
    };
    match (letter, grade) {
        // Footnote of Table 2: M6 from 250 to 315 mm is −9, not −11.
        ('m', 6) if nominal > 250.0 && nominal <= 315.0 => Some(-9.0),
        ('k' | 'm' | 'n', ..=8) => Some(mirrored + delta),
        ('k' | 'm', _) => None,
        ('n', _) => Some(if small { mirrored } else { 0.0 }),
        (_, ..=7) => Some(mirrored + delta),
        _ => Some(mirrored),
    }
}

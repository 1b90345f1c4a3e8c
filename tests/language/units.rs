//! What may be written as a unit and what the handbook knows are the same.

use trunnion_handbook::{unit, units};
use trunnion_syntax::parse::parse;
use trunnion_syntax::tree::{AtomKind, Figure};

/// Spellings of the handbook that cannot be written after a number in a specification, with the
/// reason. `trunnion calc` and the handbook's own examples read them.
const NOT_WRITTEN: &[(&str, &str)] = &[
    ("fl. oz", "a dot stands between the words of a path"),
    ("lbf·in", "written `lbf in`"),
    ("in·lbf", "written `lbf in`"),
    ("lb in", "`3 lb in the bay` would be read as a torque"),
    ("us", "written `µs`; `us` is a word"),
    ("ohm/V", "written `Ω/V`"),
    ("ohm/km", "written `Ω/km`"),
    ("mohm/m", "written `mΩ/m`"),
    ("ohm/m", "written `Ω/m`"),
    ("min⁻¹", "print only; written `rpm`"),
    ("revs", "written `rev`"),
    ("turn", "a word of the trade; a count is written `turns`"),
    ("tooth", "as it is shown for one; a count is written `teeth`"),
    ("pulse", "as it is shown for one; a count is written `pulses`"),
    ("pulses/turn", "written `pulses/rev`"),
    ("pulse/rev", "as it is shown for one"),
    ("pulse/km", "as it is shown for one"),
    ("J/(kg·K)", "print only; written `J/kgK`"),
    ("J/kg K", "print only; written `J/kgK`"),
    ("kWh/100 km", "written `kWh/100km`"),
];

/// The unit that a text such as `3 mm` is read with, mended or not.
fn read(text: &str) -> Option<String> {
    let tree = parse(text);
    let [line] = tree.lines.as_slice() else { return None };
    let [clause] = line.clauses.as_slice() else { return None };
    let [atom] = clause.atoms.as_slice() else { return None };
    match &atom.kind {
        AtomKind::Figure(Figure::Exact(it)) => it.unit.as_ref().map(ToString::to_string),
        _ => None,
    }
}

#[test]
fn every_unit_that_may_be_written_is_known_to_the_handbook() {
    let unknown: Vec<String> = trunnion_syntax::unit::all().filter(|it| unit(it).is_none()).collect();
    assert!(unknown.is_empty(), "written, but not in the handbook: {unknown:?}");
    assert!(trunnion_syntax::unit::all().count() > 250, "the list is not empty");
}

#[test]
fn every_unit_that_may_be_written_is_read_as_that_unit() {
    for spelling in trunnion_syntax::unit::all() {
        let found = read(&format!("3 {spelling}"));
        let same =
            found.as_deref().and_then(unit).zip(unit(&spelling)).is_some_and(|(a, b)| a.symbol == b.symbol);
        assert!(same, "`3 {spelling}` is read with the unit {found:?}");
    }
}

#[test]
fn every_unit_of_the_handbook_can_be_written() {
    let mut wrong = Vec::new();
    for known in units() {
        for spelling in known.spellings.iter().chain([&known.symbol, &known.singular]) {
            if NOT_WRITTEN.iter().any(|it| it.0 == *spelling) {
                continue;
            }
            // As it is written, or mended to it.
            let found = read(&format!("3 {spelling}"));
            if found.as_deref().and_then(unit).map(|it| it.symbol) != Some(known.symbol) {
                wrong.push(format!("{spelling} (read as {found:?})"));
            }
        }
    }
    assert!(wrong.is_empty(), "in the handbook, but not to be written: {wrong:?}");
}

#[test]
fn no_exception_is_out_of_date() {
    for (spelling, why) in NOT_WRITTEN {
        let known = unit(spelling).unwrap_or_else(|| panic!("`{spelling}` is no longer in the handbook"));
        let found = read(&format!("3 {spelling}"));
        let written = found.as_deref().and_then(unit).map(|it| it.symbol) == Some(known.symbol);
        assert!(!written, "`{spelling}` can be written by now; take it off the list ({why})");
    }
}

//! Every unit against two outside sources.

use std::collections::HashSet;

use super::{Dimension, Quantity, Scale, unit, units};

/// NIST Special Publication 811 (2008 edition), Appendix B.8, as printed: the row's unit, the
/// SI figure with its seven digits. A row holds when the factor rounds to the printed figure. The
/// rows were set down from memory; the fixture below holds the same factors independently.
const ROWS: &[(&str, f64)] = &[
    ("in", 2.54e-2),
    ("ft", 3.048e-1),
    ("mi", 1.609_344e3),
    ("in²", 6.4516e-4),
    ("fl oz", 2.957_353e-5),
    ("lb", 4.535_924e-1),
    ("oz", 2.834_952e-2),
    ("t", 1.0e3),
    ("lbf", 4.448_222),
    ("kgf", 9.806_65),
    ("lbf ft", 1.355_818),
    ("lbf in", 1.129_848e-1),
    ("bar", 1.0e5),
    ("mbar", 1.0e2),
    ("psi", 6.894_757e3),
    ("inHg", 3.386_389e3),
    ("mmHg", 1.333_224e2),
    ("hp", 7.456_999e2),
    ("PS", 7.354_988e2),
    ("kWh", 3.6e6),
    ("Wh", 3.6e3),
    ("Ah", 3.6e3),
    ("km/h", 2.777_778e-1),
    ("mph", 4.4704e-1),
    ("rpm", 1.047_198e-1),
    ("°", 1.745_329e-2),
    ("arcmin", 2.908_882e-4),
    ("g/cm³", 1.0e3),
    ("l/min", 1.666_667e-5),
    ("min", 6.0e1),
    ("h", 3.6e3),
    ("days", 8.64e4),
];

#[test]
fn factors_round_to_the_printed_rows() {
    for (symbol, printed) in ROWS {
        let factor = unit(symbol).unwrap().factor;
        // Half a unit in the seventh digit.
        let off = (factor - printed).abs() / 10f64.powf(printed.abs().log10().floor() - 6.0);
        assert!(off <= 0.500_001, "{symbol}: {factor} against {printed}");
    }
    // The same source: t/K = (t/°F + 459.67)/1.8, and mile per gallon (US) 4.251 437 E+05 m/m³.
    let mpg = unit("mpg").unwrap().to_si(1.0).unwrap().recip();
    assert!((mpg - 4.251_437e5).abs() < 0.05);
    assert!((unit("°F").unwrap().to_si(451.0).unwrap() - 910.67 / 1.8).abs() < 1e-9);
}

/// ASTM B258-18, Table 1: gauge, diameter in inches to four figures.
#[test]
fn gauges_have_the_printed_diameters() {
    let rows = [
        (-3.0, 0.4600),
        (-2.0, 0.4096),
        (-1.0, 0.3648),
        (0.0, 0.3249),
        (4.0, 0.2043),
        (8.0, 0.1285),
        (10.0, 0.1019),
        (12.0, 0.0808),
        (14.0, 0.0641),
        (16.0, 0.0508),
        (18.0, 0.0403),
        (20.0, 0.0320),
        (22.0, 0.0253),
        (24.0, 0.0201),
        (36.0, 0.0050),
    ];
    for (gauge, inches) in rows {
        let area = Quantity::exact(gauge, "AWG").unwrap();
        let across = (area.nominal() * 4.0 / std::f64::consts::PI).sqrt() / 0.0254;
        assert!((across - inches).abs() <= 0.000_05, "{gauge}: {across}");
    }
}

/// The fixture of `tests/handbook/pint_fixture.py`: unit, dimension, and SI of 0.5, 1 and 7.
const FIXTURE: &str = include_str!("../../../../tests/handbook/units.csv");

fn rows() -> impl Iterator<Item = Vec<&'static str>> {
    FIXTURE.lines().filter(|it| !it.starts_with('#')).map(|it| it.split(',').collect())
}

#[test]
fn every_unit_agrees_with_the_reference_library() {
    for row in rows() {
        let [symbol, figure, si, exponents] = row[..] else { panic!("{row:?}") };
        let unit = unit(symbol).unwrap_or_else(|| panic!("{symbol}"));
        let (figure, si): (f64, f64) = (figure.parse().unwrap(), si.parse().unwrap());
        let ours = unit.to_si(figure).unwrap();
        // Both sides compute in double precision from exact factors.
        assert!((ours - si).abs() <= 1e-9 * si.abs(), "{figure} {symbol}: {ours} against {si}");
        let d = unit.dimension;
        let mine = [d.length, d.mass, d.time, d.current, d.temperature, d.information, d.light];
        let mine = mine.map(|it| it.to_string()).join(" ");
        assert_eq!(mine, exponents, "{symbol}");
    }
}

#[test]
fn no_unit_is_left_out() {
    let covered: Vec<_> = rows().map(|row| unit(row[0]).map(|it| it.symbol)).collect();
    for it in units().iter().filter(|it| it.currency.is_none()) {
        // A level is a logarithm, which has no factor; a gauge is held by the rows above.
        let apart = it.dimension == Dimension::LEVEL || it.scale == Scale::WireGauge;
        assert!(apart || covered.contains(&Some(it.symbol)), "{}", it.symbol);
    }
}

/// The fixture of `tests/handbook/pint_fixture.py`: 7 of every unit in every other one.
const PAIRS: &str = include_str!("../../../../tests/handbook/pairs.csv");

fn pairs() -> impl Iterator<Item = (&'static str, &'static str, f64)> {
    PAIRS.lines().filter(|it| !it.starts_with('#')).map(|row| {
        let fields: Vec<_> = row.split(',').collect();
        let [one, other, figure] = fields[..] else { panic!("{row}") };
        (one, other, figure.parse().unwrap())
    })
}

/// Every pair that the library turns into one another, save where the handbook knows an angle or a
/// temperature on a scale and the library does not: those must be refused.
#[test]
fn every_pair_agrees_with_the_reference_library() {
    let (mut held, mut refused) = (0, 0);
    for (one, other, figure) in pairs() {
        let seven = Quantity::exact(7.0, one).unwrap();
        let wanted = unit(other).unwrap().dimension;
        match seven.in_unit(other) {
            Some(ours) => {
                // Both compute in double precision; a scale's offset costs some digits near its zero.
                let slack = 1e-12 * figure.abs().max(if wanted.point { 300.0 } else { 0.0 });
                assert!((ours - figure).abs() <= slack, "7 {one} in {other}: {ours} against {figure}");
                held += 1;
            }
            None => {
                let own = seven.dimension();
                let apart = own.angle != wanted.angle || own.point != wanted.point;
                assert!(apart, "7 {one} in {other}: {own} against {wanted}");
                refused += 1;
            }
        }
    }
    assert!(held > 600 && refused > 100, "{held} {refused}");
}

#[test]
fn no_pair_is_left_out() {
    let symbol = |it: &str| unit(it).map(|it| it.symbol);
    let held: HashSet<_> = pairs().map(|(one, other, _)| (symbol(one), symbol(other))).collect();
    let factors = || units().iter().filter(|it| it.currency.is_none() && it.scale != Scale::WireGauge);
    for one in factors() {
        // Miles per gallon run against litres per distance: held apart above.
        let alike = factors().filter(|it| it.dimension == one.dimension && *it != one);
        for other in alike.filter(|it| it.scale != Scale::Reciprocal && one.scale != Scale::Reciprocal) {
            assert!(
                held.contains(&(Some(one.symbol), Some(other.symbol))),
                "{} to {}",
                one.symbol,
                other.symbol
            );
        }
    }
}

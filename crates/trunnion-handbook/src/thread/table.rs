//! The lists of threads. Sources are named in the module above.

/// A metric size: coarse pitch, fine pitches from coarse to fine (ISO 261), clearance holes fine,
/// medium, coarse (ISO 273), all in mm.
pub(super) struct Metric {
    pub size: f64,
    pub coarse: Option<f64>,
    pub fine: &'static [f64],
    pub holes: Option<[f64; 3]>,
}

const fn first(size: f64, coarse: f64, fine: &'static [f64], holes: [f64; 3]) -> Metric {
    Metric { size, coarse: Some(coarse), fine, holes: Some(holes) }
}

const fn third(size: f64, coarse: Option<f64>, fine: &'static [f64]) -> Metric {
    Metric { size, coarse, fine, holes: None }
}

pub(super) const METRIC: &[Metric] = &[
    first(3.0, 0.5, &[0.35], [3.2, 3.4, 3.6]),
    first(3.5, 0.6, &[0.35], [3.7, 3.9, 4.2]),
    first(4.0, 0.7, &[0.5], [4.3, 4.5, 4.8]),
    first(5.0, 0.8, &[0.5], [5.3, 5.5, 5.8]),
    first(6.0, 1.0, &[0.75], [6.4, 6.6, 7.0]),
    first(7.0, 1.0, &[0.75], [7.4, 7.6, 8.0]),
    first(8.0, 1.25, &[1.0, 0.75], [8.4, 9.0, 10.0]),
    third(9.0, Some(1.25), &[1.0, 0.75]),
    first(10.0, 1.5, &[1.25, 1.0, 0.75], [10.5, 11.0, 12.0]),
    third(11.0, Some(1.5), &[1.0, 0.75]),
    first(12.0, 1.75, &[1.5, 1.25, 1.0], [13.0, 13.5, 14.5]),
    first(14.0, 2.0, &[1.5, 1.25, 1.0], [15.0, 15.5, 16.5]),
    third(15.0, None, &[1.5, 1.0]),
    first(16.0, 2.0, &[1.5, 1.0], [17.0, 17.5, 18.5]),
    third(17.0, None, &[1.5, 1.0]),
    first(18.0, 2.5, &[2.0, 1.5, 1.0], [19.0, 20.0, 21.0]),
    first(20.0, 2.5, &[2.0, 1.5, 1.0], [21.0, 22.0, 24.0]),
    first(22.0, 2.5, &[2.0, 1.5, 1.0], [23.0, 24.0, 26.0]),
    first(24.0, 3.0, &[2.0, 1.5, 1.0], [25.0, 26.0, 28.0]),
    third(25.0, None, &[2.0, 1.5, 1.0]),
    third(26.0, None, &[1.5]),
    first(27.0, 3.0, &[2.0, 1.5, 1.0], [28.0, 30.0, 32.0]),
    third(28.0, None, &[2.0, 1.5, 1.0]),
    first(30.0, 3.5, &[3.0, 2.0, 1.5, 1.0], [31.0, 33.0, 35.0]),
    third(32.0, None, &[2.0, 1.5]),
    first(33.0, 3.5, &[3.0, 2.0, 1.5], [34.0, 36.0, 38.0]),
    third(35.0, None, &[1.5]),
    first(36.0, 4.0, &[3.0, 2.0, 1.5], [37.0, 39.0, 42.0]),
    third(38.0, None, &[1.5]),
    first(39.0, 4.0, &[3.0, 2.0, 1.5], [40.0, 42.0, 45.0]),
    third(40.0, None, &[3.0, 2.0, 1.5]),
    first(42.0, 4.5, &[4.0, 3.0, 2.0, 1.5], [43.0, 45.0, 48.0]),
    first(45.0, 4.5, &[4.0, 3.0, 2.0, 1.5], [46.0, 48.0, 52.0]),
    first(48.0, 5.0, &[4.0, 3.0, 2.0, 1.5], [50.0, 52.0, 56.0]),
    third(50.0, None, &[3.0, 2.0, 1.5]),
    first(52.0, 5.0, &[4.0, 3.0, 2.0, 1.5], [54.0, 56.0, 62.0]),
    third(55.0, None, &[4.0, 3.0, 2.0, 1.5]),
    first(56.0, 5.5, &[4.0, 3.0, 2.0, 1.5], [58.0, 62.0, 66.0]),
    third(58.0, None, &[4.0, 3.0, 2.0, 1.5]),
    first(60.0, 5.5, &[4.0, 3.0, 2.0, 1.5], [62.0, 66.0, 70.0]),
    third(62.0, None, &[4.0, 3.0, 2.0, 1.5]),
    first(64.0, 6.0, &[4.0, 3.0, 2.0, 1.5], [66.0, 70.0, 74.0]),
];

/// ISO 228-1: size, major diameter in mm, threads per inch.
pub(super) const PIPE: &[(&str, f64, f64)] = &[
    ("1/16", 7.723, 28.0),
    ("1/8", 9.728, 28.0),
    ("1/4", 13.157, 19.0),
    ("3/8", 16.662, 19.0),
    ("1/2", 20.955, 14.0),
    ("5/8", 22.911, 14.0),
    ("3/4", 26.441, 14.0),
    ("7/8", 30.201, 14.0),
    ("1", 33.249, 11.0),
    ("1 1/8", 37.897, 11.0),
    ("1 1/4", 41.910, 11.0),
    ("1 1/2", 47.803, 11.0),
    ("1 3/4", 53.746, 11.0),
    ("2", 59.614, 11.0),
];

/// A unified size: major diameter in inches, threads per inch of UNC and UNF.
pub(super) struct Unified {
    pub size: &'static str,
    pub inches: f64,
    pub coarse: u8,
    pub fine: u8,
}

const fn un(size: &'static str, inches: f64, coarse: u8, fine: u8) -> Unified {
    Unified { size, inches, coarse, fine }
}

pub(super) const UNIFIED: &[Unified] = &[
    un("4", 0.112, 40, 48),
    un("5", 0.125, 40, 44),
    un("6", 0.138, 32, 40),
    un("8", 0.164, 32, 36),
    un("10", 0.190, 24, 32),
    un("12", 0.216, 24, 28),
    un("1/4", 0.25, 20, 28),
    un("5/16", 0.3125, 18, 24),
    un("3/8", 0.375, 16, 24),
    un("7/16", 0.4375, 14, 20),
    un("1/2", 0.5, 13, 20),
    un("9/16", 0.5625, 12, 18),
    un("5/8", 0.625, 11, 18),
    un("3/4", 0.75, 10, 16),
    un("7/8", 0.875, 9, 14),
    un("1", 1.0, 8, 12),
];

//! The tables of ISO 286-1:2010, in µm over size steps in mm.

/// Upper ends of the main steps.
pub(super) const STEPS: [f64; 13] =
    [3.0, 6.0, 10.0, 18.0, 30.0, 50.0, 80.0, 120.0, 180.0, 250.0, 315.0, 400.0, 500.0];

/// Table 1, grades IT4 to IT13, one row a grade.
const GRADES: [[u16; 13]; 10] = [
    [3, 4, 4, 5, 6, 7, 8, 10, 12, 14, 16, 18, 20],
    [4, 5, 6, 8, 9, 11, 13, 15, 18, 20, 23, 25, 27],
    [6, 8, 9, 11, 13, 16, 19, 22, 25, 29, 32, 36, 40],
    [10, 12, 15, 18, 21, 25, 30, 35, 40, 46, 52, 57, 63],
    [14, 18, 22, 27, 33, 39, 46, 54, 63, 72, 81, 89, 97],
    [25, 30, 36, 43, 52, 62, 74, 87, 100, 115, 130, 140, 155],
    [40, 48, 58, 70, 84, 100, 120, 140, 160, 185, 210, 230, 250],
    [60, 75, 90, 110, 130, 160, 190, 220, 250, 290, 320, 360, 400],
    [100, 120, 150, 180, 210, 250, 300, 350, 400, 460, 520, 570, 630],
    [140, 180, 220, 270, 330, 390, 460, 540, 630, 720, 810, 890, 970],
];

/// Upper ends of the finer steps, which the outer letters need.
const FINE: [f64; 25] = [
    3.0, 6.0, 10.0, 14.0, 18.0, 24.0, 30.0, 40.0, 50.0, 65.0, 80.0, 100.0, 120.0, 140.0, 160.0, 180.0, 200.0,
    225.0, 250.0, 280.0, 315.0, 355.0, 400.0, 450.0, 500.0,
];

/// The distance of the zone's near edge from the nominal size, one row a shaft letter. Shafts c to
/// h lie below the nominal size by it, k to u above.
const NEAR: [(char, [u16; 13]); 9] = [
    ('d', [20, 30, 40, 50, 65, 80, 100, 120, 145, 170, 190, 210, 230]),
    ('e', [14, 20, 25, 32, 40, 50, 60, 72, 85, 100, 110, 125, 135]),
    ('f', [6, 10, 13, 16, 20, 25, 30, 36, 43, 50, 56, 62, 68]),
    ('g', [2, 4, 5, 6, 7, 9, 10, 12, 14, 15, 17, 18, 20]),
    ('h', [0; 13]),
    ('k', [0, 1, 1, 1, 2, 2, 2, 3, 3, 4, 4, 4, 5]),
    ('m', [2, 4, 6, 7, 8, 9, 11, 13, 15, 17, 20, 21, 23]),
    ('n', [4, 8, 10, 12, 15, 17, 20, 23, 27, 31, 34, 37, 40]),
    ('p', [6, 12, 15, 18, 22, 26, 32, 37, 43, 50, 56, 62, 68]),
];

/// The same over the finer steps.
const NEAR_FINE: [(char, [u16; 25]); 4] = [
    (
        'c',
        [
            60, 70, 80, 95, 95, 110, 110, 120, 130, 140, 150, 170, 180, 200, 210, 230, 240, 260, 280, 300,
            330, 360, 400, 440, 480,
        ],
    ),
    (
        'r',
        [
            10, 15, 19, 23, 23, 28, 28, 34, 34, 41, 43, 51, 54, 63, 65, 68, 77, 80, 84, 94, 98, 108, 114,
            126, 132,
        ],
    ),
    (
        's',
        [
            14, 19, 23, 28, 28, 35, 35, 43, 43, 53, 59, 71, 79, 92, 100, 108, 122, 130, 140, 158, 170, 190,
            208, 232, 252,
        ],
    ),
    (
        'u',
        [
            18, 23, 28, 33, 33, 41, 48, 60, 70, 87, 102, 124, 144, 170, 190, 210, 236, 258, 284, 315, 350,
            390, 435, 490, 540,
        ],
    ),
];

/// Table 3, shaft j: how far the zone reaches below the nominal size, grades 5 and 6, and 7.
const SMALL_J: [[u16; 13]; 2] =
    [[2, 2, 2, 3, 4, 5, 7, 9, 11, 13, 16, 18, 20], [4, 4, 5, 6, 8, 10, 12, 15, 18, 21, 26, 28, 32]];

/// Table 2, hole J: how far the zone reaches above the nominal size, grades 6, 7, 8.
const LARGE_J: [[u16; 13]; 3] = [
    [2, 5, 5, 6, 8, 10, 13, 16, 18, 22, 25, 29, 33],
    [4, 6, 8, 10, 12, 14, 18, 22, 26, 30, 36, 39, 43],
    [6, 10, 12, 15, 20, 24, 28, 34, 41, 47, 55, 60, 66],
];

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

fn step(nominal: f64) -> Option<usize> {
    STEPS.iter().position(|&end| nominal <= end)
}

/// The width of a grade's zone.
pub(super) fn tolerance(nominal: f64, grade: u8) -> Option<f64> {
    let row = GRADES.get(usize::from(grade.checked_sub(4)?))?;
    row.get(step(nominal)?).map(|&it| f64::from(it))
}

fn near(nominal: f64, letter: char) -> Option<f64> {
    let coarse = NEAR.iter().find(|(it, _)| *it == letter);
    let value = match coarse {
        Some((_, row)) => row.get(step(nominal)?),
        None => {
            let (_, row) = NEAR_FINE.iter().find(|(it, _)| *it == letter)?;
            row.get(FINE.iter().position(|&end| nominal <= end)?)
        }
    };
    value.map(|&it| f64::from(it))
}

fn in_row<const N: usize>(table: &[[u16; 13]; N], first_grade: u8, grade: u8, nominal: f64) -> Option<f64> {
    let row = table.get(usize::from(grade.checked_sub(first_grade)?))?;
    row.get(step(nominal)?).map(|&it| f64::from(it))
}

/// Where the zone of a letter starts, or `None` where the standard defines no such class.
pub(super) fn fundamental(nominal: f64, letter: Letter, grade: u8) -> Option<Deviation> {
    match letter {
        Letter::Symmetric => Some(Deviation::Middle),
        Letter::Shaft('j') => {
            let row = if grade == 5 { 6 } else { grade };
            in_row(&SMALL_J, 6, row, nominal).map(|it| Deviation::Lower(-it))
        }
        Letter::Shaft('k') if grade > 7 => Some(Deviation::Lower(0.0)),
        Letter::Shaft(it @ 'c'..='h') => near(nominal, it).map(|it| Deviation::Upper(-it)),
        Letter::Shaft(it) => near(nominal, it).map(Deviation::Lower),
        Letter::Hole('j') => in_row(&LARGE_J, 6, grade, nominal).map(Deviation::Upper),
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

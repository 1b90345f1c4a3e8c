//! Tyres by their marking: size, load index, speed symbol.

use std::fmt;

use crate::registry::{OutOfTable, Source};

/// What the tables rest on.
pub const SOURCES: &[Source] = &[
    Source::published(
        "UN Regulation No. 30",
        "02 series of amendments",
        "load capacity indices 68 to 123, speed category symbols L to Y",
    ),
    Source::from_memory(
        "UN Regulation No. 30 and No. 54",
        "02 and 00 series of amendments",
        "load capacity indices to 67 and from 124, speed category symbols F to K",
    ),
    Source::from_memory(
        "UN Regulation No. 30",
        "02 series of amendments",
        "6.1.2.1, outer diameter D = d + 2H",
    ),
];

/// How the carcass is built.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Carcass {
    /// R.
    Radial,
    /// D or a dash.
    Diagonal,
    /// B.
    BiasBelted,
}

/// A tyre as marked.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub struct Tyre {
    /// Nominal section width in mm.
    pub width_mm: u16,
    /// Section height as a share of the width, in per cent; `None` where the marking has none
    /// (then the size comes from a table, not from a formula).
    pub aspect: Option<u16>,
    /// How it is built.
    pub carcass: Carcass,
    /// Rim diameter in tenths of an inch, so that 16.5 is kept exactly.
    pub rim_tenths: u16,
    /// Marked C: for commercial vehicles.
    pub commercial: bool,
    /// Load index in single fitment.
    pub load: Option<u8>,
    /// Load index in twin fitment.
    pub load_twin: Option<u8>,
    /// Speed symbol.
    pub speed: Option<char>,
}

/// UN R30 Annex 4 / R54 Annex 4: kg for load indices 50 to 150.
const LOADS: [u16; 101] = [
    190, 195, 200, 206, 212, 218, 224, 230, 236, 243, 250, 257, 265, 272, 280, 290, 300, 307, 315, 325, 335,
    345, 355, 365, 375, 387, 400, 412, 425, 437, 450, 462, 475, 487, 500, 515, 530, 545, 560, 580, 600, 615,
    630, 650, 670, 690, 710, 730, 750, 775, 800, 825, 850, 875, 900, 925, 950, 975, 1000, 1030, 1060, 1090,
    1120, 1150, 1180, 1215, 1250, 1285, 1320, 1360, 1400, 1450, 1500, 1550, 1600, 1650, 1700, 1750, 1800,
    1850, 1900, 1950, 2000, 2060, 2120, 2180, 2240, 2300, 2360, 2430, 2500, 2575, 2650, 2725, 2800, 2900,
    3000, 3075, 3150, 3250, 3350,
];

/// Speed symbols with km/h.
const SPEEDS: [(char, u16); 17] = [
    ('F', 80),
    ('G', 90),
    ('J', 100),
    ('K', 110),
    ('L', 120),
    ('M', 130),
    ('N', 140),
    ('P', 150),
    ('Q', 160),
    ('R', 170),
    ('S', 180),
    ('T', 190),
    ('U', 200),
    ('H', 210),
    ('V', 240),
    ('W', 270),
    ('Y', 300),
];

/// The load in kg that an index stands for, 50 to 150.
///
/// # Errors
/// An index outside the table.
pub fn load_kg(index: u8) -> Result<u16, OutOfTable> {
    let at = usize::from(index).checked_sub(50);
    let none = || OutOfTable::new("the table of load indices", index.to_string(), "50 to 150");
    at.and_then(|at| LOADS.get(at)).copied().ok_or_else(none)
}

/// The speed in km/h that a symbol stands for.
///
/// # Errors
/// A letter that is no speed symbol.
pub fn speed_kmh(symbol: char) -> Result<u16, OutOfTable> {
    let none = || OutOfTable::new("the table of speed symbols", symbol.to_string(), "F to Y");
    SPEEDS.iter().find(|(it, _)| *it == symbol).map(|&(_, kmh)| kmh).ok_or_else(none)
}

impl Tyre {
    /// Reads `205/65 R16 107/105T`, `205/65R16C`, `195 R14 C 106/104 Q`, `205/55 ZR16 (91W)`.
    ///
    /// # Errors
    /// Not such a marking, or an index or symbol that does not exist.
    pub fn parse(text: &str) -> Result<Self, OutOfTable> {
        let none = || {
            let holds = "markings such as `205/65 R16 107/105T`";
            OutOfTable::new("the form of tyre markings", format!("`{text}`"), holds)
        };
        let mut rest = Rest(text.trim());
        rest.skip_letter('P');
        let width_mm = rest.number().filter(|it| (100..=450).contains(it)).ok_or_else(none)?;
        let aspect = match rest.skip_letter('/') {
            true => Some(rest.number().filter(|it| (20..=100).contains(it)).ok_or_else(none)?),
            false => None,
        };
        let carcass = rest.carcass().ok_or_else(none)?;
        let whole = rest.number().filter(|it| (8..=30).contains(it)).ok_or_else(none)?;
        let half = match rest.skip_letter('.') {
            true => rest.number().filter(|it| *it == 5).ok_or_else(none)?,
            false => 0,
        };
        let commercial = rest.skip_letter('C') && !rest.0.starts_with(char::is_alphabetic);
        rest.skip_letter('(');
        let load = rest.index().map_err(|()| none())?;
        let load_twin = match load.is_some() && rest.skip_letter('/') {
            true => Some(rest.index().ok().flatten().ok_or_else(none)?),
            false => None,
        };
        let speed = rest.letter();
        rest.skip_letter(')');
        if !rest.0.is_empty() || (speed.is_some() && load.is_none()) {
            return Err(none());
        }
        for index in load.into_iter().chain(load_twin) {
            load_kg(index)?;
        }
        speed.map(speed_kmh).transpose()?;
        let rim_tenths = whole * 10 + half;
        Ok(Self { width_mm, aspect, carcass, rim_tenths, commercial, load, load_twin, speed })
    }

    /// Design outer diameter in mm, on the measuring rim and without load: D = d + 2H, both the
    /// rim diameter d = 25.4 × code and the section height H = width × aspect rounded to a
    /// millimetre. `None` where the marking has no aspect. Source: UN Regulation 30, 6.1.2.1.
    pub fn outer_diameter_mm(&self) -> Option<f64> {
        let height = (f64::from(self.width_mm) * f64::from(self.aspect?) / 100.0).round();
        Some((f64::from(self.rim_tenths) * 2.54).round() + 2.0 * height)
    }

    /// What the single tyre carries, in kg. `None` where no index is marked.
    pub fn load_kg(&self) -> Option<u16> {
        load_kg(self.load?).ok()
    }

    /// How fast it may turn, in km/h. `None` where no symbol is marked.
    pub fn speed_kmh(&self) -> Option<u16> {
        speed_kmh(self.speed?).ok()
    }
}

/// What of a marking is still unread.
struct Rest<'a>(&'a str);

impl Rest<'_> {
    fn skip_letter(&mut self, letter: char) -> bool {
        match self.0.strip_prefix(letter) {
            Some(rest) => {
                self.0 = rest.trim_start();
                true
            }
            None => false,
        }
    }

    fn number(&mut self) -> Option<u16> {
        let end = self.0.find(|it: char| !it.is_ascii_digit()).unwrap_or(self.0.len());
        let (digits, rest) = self.0.split_at(end);
        self.0 = rest.trim_start();
        digits.parse().ok()
    }

    /// A load index, or none here; an error when the figure is too large for one.
    fn index(&mut self) -> Result<Option<u8>, ()> {
        if !self.0.starts_with(|it: char| it.is_ascii_digit()) {
            return Ok(None);
        }
        let number = self.number().and_then(|it| u8::try_from(it).ok());
        number.map(Some).ok_or(())
    }

    fn letter(&mut self) -> Option<char> {
        let letter = self.0.chars().next().filter(char::is_ascii_uppercase)?;
        self.skip_letter(letter);
        Some(letter)
    }

    fn carcass(&mut self) -> Option<Carcass> {
        self.skip_letter('Z');
        let known = [
            ('R', Carcass::Radial),
            ('D', Carcass::Diagonal),
            ('-', Carcass::Diagonal),
            ('B', Carcass::BiasBelted),
        ];
        known.into_iter().find(|(letter, _)| self.skip_letter(*letter)).map(|(_, it)| it)
    }
}

impl fmt::Display for Tyre {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.width_mm)?;
        if let Some(aspect) = self.aspect {
            write!(f, "/{aspect}")?;
        }
        let carcass = match self.carcass {
            Carcass::Radial => 'R',
            Carcass::Diagonal => 'D',
            Carcass::BiasBelted => 'B',
        };
        write!(f, " {carcass}{}", f64::from(self.rim_tenths) / 10.0)?;
        if self.commercial {
            f.write_str("C")?;
        }
        if let Some(load) = self.load {
            write!(f, " {load}")?;
        }
        if let Some(twin) = self.load_twin {
            write!(f, "/{twin}")?;
        }
        self.speed.map_or(Ok(()), |it| write!(f, "{it}"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn markings_are_read_and_shown() {
        for (text, shown) in [
            ("205/65 R16", "205/65 R16"),
            ("205/65R16", "205/65 R16"),
            ("205/65 R16 C 107/105T", "205/65 R16C 107/105T"),
            ("205/65 R16C 107/105 T", "205/65 R16C 107/105T"),
            ("195 R14 C 106/104 Q", "195 R14C 106/104Q"),
            ("205/55 ZR16 (91W)", "205/55 R16 91W"),
            ("P235/75 R15 105S", "235/75 R15 105S"),
            ("235/80 D16", "235/80 D16"),
            ("225/75 R16.5", "225/75 R16.5"),
        ] {
            assert_eq!(Tyre::parse(text).unwrap().to_string(), shown);
        }
    }

    #[test]
    fn what_is_no_marking_is_refused() {
        for text in [
            "",
            "205",
            "205/65",
            "205/65 16",
            "205/65 R",
            "205/65 R99",
            "20/65 R16",
            "205/65 R16 300T",
            "205/65 R16 91X",
            "205/65 R16 T",
            "205/65 R16 91W extra",
            "99999999/65 R16",
            "205/65 R16 91/W",
            "é",
        ] {
            assert!(Tyre::parse(text).is_err(), "{text}");
        }
    }

    /// Design diameters as the tyre trade's tables print them by the formula of UN R30, 6.1.2.1.
    #[test]
    fn outer_diameters() {
        for (text, mm) in [("205/65 R16", 672.0), ("205/55 R16", 632.0), ("195/65 R15", 635.0)] {
            assert_eq!(Tyre::parse(text).unwrap().outer_diameter_mm(), Some(mm), "{text}");
        }
        assert_eq!(Tyre::parse("195 R14").unwrap().outer_diameter_mm(), None);
    }

    #[test]
    fn indices_and_symbols() {
        assert_eq!(load_kg(91), Ok(615));
        assert_eq!(load_kg(107), Ok(975));
        assert!(load_kg(49).is_err() && load_kg(151).is_err());
        assert_eq!(speed_kmh('T'), Ok(190));
        assert_eq!(speed_kmh('H'), Ok(210));
        assert!(speed_kmh('X').is_err());
        let it = Tyre::parse("205/65 R16C 107/105T").unwrap();
        assert_eq!((it.load_kg(), it.speed_kmh()), (Some(975), Some(190)));
    }

    /// The indices are a series of preferred numbers: eighty steps are a factor of ten, so each
    /// figure is the one eighty further on, without its last digit. This catches a slip in either.
    #[test]
    fn the_series_repeats_after_eighty() {
        for (one, tenfold) in LOADS.iter().zip(&LOADS[80..]) {
            assert_eq!(*one, tenfold / 10);
        }
        assert!(LOADS.windows(2).all(|it| it[0] < it[1]));
    }
}

//! Tyres by their marking: size, load index, speed symbol.

use std::fmt;

use crate::data::{LOAD_INDEX, SPEED_SYMBOL};
use crate::registry::{OutOfTable, Source};

/// What the reading of a marking rests on; the tables name their own sources.
pub const SOURCES: &[Source] = &[Source::from_memory(
    "UN Regulation No. 30",
    "02 series of amendments",
    "6.1.2.1: D = d + 2H, each rounded to 1 mm",
)];

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

/// The load in kg that an index stands for, 0 to 150.
///
/// # Errors
/// An index outside the table.
pub fn load_kg(index: u8) -> Result<f64, OutOfTable> {
    let none = || OutOfTable::new("the table of load indices", index.to_string(), "0 to 150");
    LOAD_INDEX.table().row_at(index.into()).and_then(|row| row.at(1)).ok_or_else(none)
}

/// The speed in km/h that a symbol stands for.
///
/// # Errors
/// A letter that is no speed symbol.
pub fn speed_kmh(symbol: char) -> Result<f64, OutOfTable> {
    let none = || OutOfTable::new("the table of speed symbols", symbol.to_string(), "F to Y");
    SPEED_SYMBOL.table().row(&symbol.to_string()).and_then(|row| row.at(1)).ok_or_else(none)
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
    pub fn load_kg(&self) -> Option<f64> {
        load_kg(self.load?).ok()
    }

    /// How fast it may turn, in km/h. `None` where no symbol is marked.
    pub fn speed_kmh(&self) -> Option<f64> {
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
        assert_eq!(load_kg(91), Ok(615.0));
        assert_eq!(load_kg(107), Ok(975.0));
        assert!(load_kg(255).is_err() && load_kg(151).is_err());
        assert_eq!(speed_kmh('T'), Ok(190.0));
        assert_eq!(speed_kmh('H'), Ok(210.0));
        assert!(speed_kmh('X').is_err());
        let it = Tyre::parse("205/65 R16C 107/105T").unwrap();
        assert_eq!((it.load_kg(), it.speed_kmh()), (Some(975.0), Some(190.0)));
    }

    /// The indices are a series of preferred numbers: eighty steps are a factor of ten, so each
    /// figure is the one eighty further on, without its last digit; below 46 kg per step the standard
    /// keeps a half. This catches a slip in either.
    #[test]
    fn the_series_repeats_after_eighty() {
        let loads: Vec<f64> = LOAD_INDEX.table().all().filter_map(|row| row.at(1)).collect();
        assert_eq!(loads.len(), 151);
        for (one, tenfold) in loads.iter().zip(&loads[80..]) {
            // 206 kg goes with 2060 kg, 46.2 kg with 462 kg; 48.7 kg with 487 kg.
            assert!((one - tenfold / 10.0).abs() <= 0.5, "{one} {tenfold}");
        }
        assert!(loads.windows(2).all(|it| it[0] < it[1]));
    }
}

//! Screw threads: how they are written, their sizes, and which go together.

mod table;

use std::f64::consts::PI;
use std::fmt;

use crate::registry::{OutOfTable, Source};
use table::{holes, metric, pipe, unified};

/// What the formulas rest on; the tables name their own sources.
pub const SOURCES: &[Source] =
    &[Source::published("ISO 724", "1993", "d2 = d − 0.649519 P, d1 = d − 1.082532 P")];

/// The thread system; threads of different systems never go together.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum System {
    /// ISO metric, 60°.
    Metric,
    /// Parallel pipe thread G of ISO 228-1, 55°, sealed elsewhere than in the thread.
    Pipe,
    /// Unified inch, 60°.
    Unified,
}

/// A thread: system, major diameter and pitch, in micrometres so that equal threads are equal.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub struct Thread {
    /// The system.
    pub system: System,
    /// As a mechanic writes it: `M12x1.5`, `G1/4`, `7/16-20 UNF`.
    pub name: Box<str>,
    major_nm: u32,
    pitch_nm: u32,
}

/// Which row of ISO 273.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Series {
    /// Close holes.
    Fine,
    /// The usual holes.
    Medium,
    /// Wide holes.
    Coarse,
}

/// Whether a thread screws into another.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub enum Mating {
    /// Same system, diameter and pitch.
    Mates,
    /// What keeps them apart, in words with figures.
    Differs(String),
}

const MM: f64 = 1e-6;

fn nm(millimetres: f64) -> Option<u32> {
    let it = (millimetres / MM).round();
    // Between one nanometre and four metres, which a `u32` holds exactly.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    (it >= 1.0 && it <= f64::from(u32::MAX)).then_some(it as u32)
}

impl Thread {
    /// Reads `M12x1.5`, `M12 × 1,5`, `M12`, `G1/4`, `G 1 1/4`, `7/16-20 UNF`, `10-32 UNF`,
    /// `1/2-13`. A metric size without pitch is coarse.
    ///
    /// # Errors
    /// Not a form of these, or a size without pitch that the tables do not hold.
    pub fn parse(text: &str) -> Result<Self, OutOfTable> {
        let clean = text.trim().replace(',', ".");
        let none = |holds: &str| OutOfTable::new("the list of threads", format!("`{text}`"), holds);
        if let Some(rest) = clean.strip_prefix(['M', 'm']) {
            return Self::metric(rest).ok_or_else(|| none("M sizes with a coarse pitch, M3 to M64"));
        }
        if let Some(rest) = clean.strip_prefix(['G', 'g']) {
            let size = rest.trim();
            let made = pipe(size).and_then(|(major, per_inch)| {
                Self::new(System::Pipe, format!("G{size}"), major, 25.4 / per_inch)
            });
            return made.ok_or_else(|| none("G1/16 to G2"));
        }
        Self::unified(&clean).ok_or_else(|| none("UNC and UNF sizes from No. 4 to 1 in"))
    }

    fn new(system: System, name: String, major: f64, pitch: f64) -> Option<Self> {
        let (major_nm, pitch_nm) = (nm(major)?, nm(pitch)?);
        (pitch_nm < major_nm).then(|| Self { system, name: name.into(), major_nm, pitch_nm })
    }

    fn metric(rest: &str) -> Option<Self> {
        let (size, pitch) = match rest.split_once(['x', 'X', '×', '*']) {
            Some((size, pitch)) => (size, Some(pitch.trim().parse::<f64>().ok()?)),
            None => (rest, None),
        };
        let size: f64 = size.trim().parse().ok().filter(|it| *it > 0.0)?;
        let coarse = metric().find(|row| row.size == size).and_then(|row| row.coarse);
        let pitch = pitch.or(coarse).filter(|it| *it > 0.0)?;
        let name = if coarse == Some(pitch) { format!("M{size}") } else { format!("M{size}x{pitch}") };
        Self::new(System::Metric, name, size, pitch)
    }

    fn unified(text: &str) -> Option<Self> {
        let (size, rest) = text.split_once('-')?;
        let size = size.trim().trim_start_matches(['#']).trim_start_matches("No.").trim();
        let rest = rest.trim();
        let digits = rest.find(|it: char| !it.is_ascii_digit()).unwrap_or(rest.len());
        let (per_inch, series) = rest.split_at(digits);
        let per_inch: f64 = per_inch.parse().ok()?;
        let (inches, coarse, fine) = unified(size)?;
        let (is_coarse, is_fine) = (coarse == per_inch, fine == per_inch);
        let known = match series.trim() {
            "UNC" => is_coarse,
            "UNF" => is_fine,
            "" | "UN" => is_coarse || is_fine,
            _ => false,
        };
        let series = if is_coarse { "UNC" } else { "UNF" };
        let name = format!("{size}-{per_inch} {series}");
        known.then(|| Self::new(System::Unified, name, inches * 25.4, 25.4 / per_inch)).flatten()
    }

    /// Major diameter in mm.
    pub fn major_mm(&self) -> f64 {
        f64::from(self.major_nm) * MM
    }

    /// Pitch in mm.
    pub fn pitch_mm(&self) -> f64 {
        f64::from(self.pitch_nm) * MM
    }

    /// Whether a published list has it (ISO 261, ISO 228-1, ASME B1.1). A special metric pitch is
    /// read all the same.
    pub fn is_listed(&self) -> bool {
        let near = |it: f64, other: f64| (it - other).abs() < 1e-6;
        self.system != System::Metric
            || metric().any(|row| {
                let mut pitches = row.coarse.into_iter().chain(row.fine);
                near(row.size, self.major_mm()) && pitches.any(|it| near(it, self.pitch_mm()))
            })
    }

    /// Depth of the basic profile from crest to the minor diameter, as a share of the pitch:
    /// ISO 724 (60°), ISO 228-1 (55°).
    fn depth(&self) -> f64 {
        match self.system {
            System::Metric | System::Unified => 0.541_266,
            System::Pipe => 0.640_327,
        }
    }

    /// Pitch diameter in mm: d2 = d − 0.649519 P (ISO 724), d − 0.640327 P for G (ISO 228-1).
    pub fn pitch_diameter_mm(&self) -> f64 {
        let share = match self.system {
            System::Metric | System::Unified => 0.649_519,
            System::Pipe => 0.640_327,
        };
        self.major_mm() - share * self.pitch_mm()
    }

    /// Minor diameter of the nut in mm: D1 = D − 1.082532 P (ISO 724), − 1.280654 P for G.
    pub fn minor_diameter_mm(&self) -> f64 {
        self.major_mm() - 2.0 * self.depth() * self.pitch_mm()
    }

    /// Tensile stress area in mm² of a metric or unified bolt, from the pitch diameter d2 and the
    /// root diameter d3 = d1 − H/6: ISO 898-1:2013, 9.1.6.1. `None` for a pipe thread.
    pub fn stress_area_mm2(&self) -> Option<f64> {
        let root = self.minor_diameter_mm() - 0.866_025_404 / 6.0 * self.pitch_mm();
        let mean = (self.pitch_diameter_mm() + root) / 2.0;
        (self.system != System::Pipe).then(|| PI / 4.0 * mean * mean)
    }

    /// Clearance hole in mm for a metric bolt: ISO 273:1979.
    ///
    /// # Errors
    /// Not metric, or a size that the table does not hold.
    pub fn clearance_hole_mm(&self, series: Series) -> Result<f64, OutOfTable> {
        let metric = self.system == System::Metric;
        let holes = holes(self.major_mm()).filter(|_| metric).ok_or_else(|| {
            OutOfTable::new("ISO 273", format!("hole for {}", self.name), "M3 to M64 of the first choices")
        })?;
        Ok(match series {
            Series::Fine => holes[0],
            Series::Medium => holes[1],
            Series::Coarse => holes[2],
        })
    }
}

impl fmt::Display for Thread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.name)
    }
}

/// Whether a bolt goes into a nut, by system, diameter and pitch. Tolerance classes, length and
/// hand are not looked at.
pub fn mates(bolt: &Thread, nut: &Thread) -> Mating {
    if bolt.system != nut.system {
        return Mating::Differs(format!("{bolt} and {nut} are threads of different systems"));
    }
    if bolt.major_nm != nut.major_nm {
        let (one, other) = (bolt.major_mm(), nut.major_mm());
        return Mating::Differs(format!("{bolt} is {one:.3} mm across, {nut} is {other:.3} mm"));
    }
    if bolt.pitch_nm != nut.pitch_nm {
        let (one, other) = (bolt.pitch_mm(), nut.pitch_mm());
        return Mating::Differs(format!("{bolt} has pitch {one:.3} mm, {nut} has {other:.3} mm"));
    }
    Mating::Mates
}

#[cfg(test)]
mod tests {
    use super::*;

    fn thread(text: &str) -> Thread {
        Thread::parse(text).unwrap_or_else(|error| panic!("{error}"))
    }

    #[test]
    fn written_as_mechanics_write_them() {
        for (text, name, major, pitch) in [
            ("M12x1.5", "M12x1.5", 12.0, 1.5),
            ("M12 x 1.5", "M12x1.5", 12.0, 1.5),
            ("M12 × 1,5", "M12x1.5", 12.0, 1.5),
            ("m12", "M12", 12.0, 1.75),
            ("M12x1.75", "M12", 12.0, 1.75),
            ("G1/4", "G1/4", 13.157, 25.4 / 19.0),
            ("G 1 1/4", "G1 1/4", 41.910, 25.4 / 11.0),
            ("7/16-20 UNF", "7/16-20 UNF", 11.1125, 1.27),
            ("1/2-13", "1/2-13 UNC", 12.7, 25.4 / 13.0),
            ("#10-32 UNF", "10-32 UNF", 4.826, 25.4 / 32.0),
        ] {
            let it = thread(text);
            assert_eq!(&*it.name, name);
            assert!((it.major_mm() - major).abs() < 2e-6 && (it.pitch_mm() - pitch).abs() < 2e-6);
        }
    }

    #[test]
    fn what_is_no_thread_is_refused() {
        for text in [
            "",
            "M",
            "M13",
            "M0",
            "M-5x1",
            "M12x0",
            "M12x20",
            "MNaNx1",
            "Minfx1",
            "G1/3",
            "7/16-21 UNF",
            "7/16-20 UNC",
            "12",
            "M1e300x1",
            "é",
        ] {
            assert!(Thread::parse(text).is_err(), "{text}");
        }
    }

    /// ISO 724:1993, Table 1: pitch diameter and minor diameter in mm.
    #[test]
    fn printed_basic_dimensions() {
        for (text, d2, d1) in [
            ("M3", 2.675, 2.459),
            ("M6", 5.350, 4.917),
            ("M8", 7.188, 6.647),
            ("M10", 9.026, 8.376),
            ("M12", 10.863, 10.106),
            ("M12x1.5", 11.026, 10.376),
            ("M16", 14.701, 13.835),
            ("M20", 18.376, 17.294),
            ("M24", 22.051, 20.752),
            ("M64", 60.103, 57.505),
            // ISO 228-1:2000, Table 1; it rounds the thread depth to a micrometre and doubles it.
            ("G1/4", 12.301, 11.445),
            ("G1/2", 19.793, 18.631),
            ("G1", 31.770, 30.291),
        ] {
            let it = thread(text);
            // Printed to a micrometre.
            assert!((it.pitch_diameter_mm() - d2).abs() <= 0.000_6, "{text}");
            assert!((it.minor_diameter_mm() - d1).abs() <= 0.001, "{text}");
        }
        // ASME B1.1: basic pitch diameters 0.4500 in and 0.4050 in.
        assert!((thread("1/2-13 UNC").pitch_diameter_mm() / 25.4 - 0.4500).abs() < 5e-5);
        assert!((thread("7/16-20 UNF").pitch_diameter_mm() / 25.4 - 0.4050).abs() < 5e-5);
    }

    /// ISO 898-1:2013, Tables 4 and 6: nominal stress area, three figures.
    #[test]
    fn printed_stress_areas() {
        for (text, area) in [
            ("M3", 5.03),
            ("M5", 14.2),
            ("M8", 36.6),
            ("M10", 58.0),
            ("M12", 84.3),
            ("M16", 157.0),
            ("M20", 245.0),
            ("M24", 353.0),
            ("M36", 817.0),
            ("M8x1", 39.2),
            ("M10x1.25", 61.2),
            ("M12x1.5", 88.1),
        ] {
            let made = thread(text).stress_area_mm2().unwrap();
            // Half a unit in the third figure.
            assert!((made - area).abs() / area < 0.005, "{text}: {made}");
        }
        assert_eq!(thread("G1/2").stress_area_mm2(), None);
    }

    #[test]
    fn clearance_holes_as_printed() {
        let hole = |text: &str, series| thread(text).clearance_hole_mm(series);
        assert_eq!(hole("M12x1.5", Series::Medium), Ok(13.5));
        assert_eq!(hole("M8", Series::Fine), Ok(8.4));
        assert_eq!(hole("M64", Series::Coarse), Ok(74.0));
        assert!(hole("G1/4", Series::Fine).is_err());
        for row in metric() {
            let Some([fine, medium, coarse]) = holes(row.size) else {
                continue;
            };
            assert!(row.size < fine && fine < medium && medium < coarse, "M{}", row.size);
        }
    }

    #[test]
    fn pitches_fall_and_are_listed() {
        assert!(thread("M12x1.25").is_listed() && thread("M12").is_listed());
        assert!(!thread("M12x0.75").is_listed());
        for row in metric() {
            let all: Vec<f64> = row.coarse.into_iter().chain(row.fine).collect();
            assert!(!all.is_empty() && all.windows(2).all(|it| it[0] > it[1]), "M{}", row.size);
        }
        let sizes: Vec<_> = metric().map(|row| row.size).collect();
        assert!(sizes.windows(2).all(|it| it[0] < it[1]));
    }

    #[test]
    fn what_goes_together() {
        assert_eq!(mates(&thread("M12"), &thread("M12x1.75")), Mating::Mates);
        let apart = |one, other| match mates(&thread(one), &thread(other)) {
            Mating::Differs(why) => why,
            Mating::Mates => panic!("{one} goes into {other}"),
        };
        assert_eq!(apart("M12", "M12x1.5"), "M12 has pitch 1.750 mm, M12x1.5 has 1.500 mm");
        assert!(apart("M11x1.5", "7/16-20 UNF").contains("different systems"));
        assert!(apart("M10x1", "M8x1").contains("across"));
    }
}

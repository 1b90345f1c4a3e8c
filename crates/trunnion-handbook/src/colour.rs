//! Colour letters of wires.

use crate::registry::Source;

/// What the letters rest on.
pub const SOURCES: &[Source] = &[
    Source::published("IEC 60757", "1983", "letter code for designation of colours"),
    Source::common_practice("two colours joined by a slash, the ground colour first"),
];

/// Letters and colour.
const COLOURS: [(&str, &str); 14] = [
    ("BK", "black"),
    ("BN", "brown"),
    ("RD", "red"),
    ("OG", "orange"),
    ("YE", "yellow"),
    ("GN", "green"),
    ("BU", "blue"),
    ("VT", "violet"),
    ("GY", "grey"),
    ("WH", "white"),
    ("PK", "pink"),
    ("GD", "gold"),
    ("TQ", "turquoise"),
    ("SR", "silver"),
];

/// The colour that two letters stand for, by IEC 60757. Green with yellow, `GNYE`, is one colour
/// there: the protective conductor.
pub fn colour(letters: &str) -> Option<&'static str> {
    if letters == "GNYE" {
        return Some("green and yellow");
    }
    COLOURS.iter().find(|(it, _)| *it == letters).map(|(_, name)| *name)
}

/// The colours of a wire such as `BN` or `YE/GN`, ground first. `None` when one is unknown.
pub fn colours(marking: &str) -> Option<Vec<&'static str>> {
    marking.split('/').map(colour).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_of_the_standard() {
        assert_eq!(colours("YE/GN"), Some(vec!["yellow", "green"]));
        assert_eq!(colour("GNYE"), Some("green and yellow"));
        for bad in ["", "ge", "yellow", "YE/", "BR", "YE-GN"] {
            assert_eq!(colours(bad), None, "{bad}");
        }
        for (at, (letters, _)) in COLOURS.iter().enumerate() {
            assert!(COLOURS[at + 1..].iter().all(|(other, _)| other != letters));
        }
    }
}

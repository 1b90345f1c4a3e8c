//! Colour letters of wires.

use crate::data::COLOURS;
use crate::registry::Source;

/// What the letters rest on.
pub const SOURCES: &[Source] =
    &[Source::common_practice("two colours joined by a slash, the ground colour first")];

/// The colour that two letters stand for, by IEC 60757. Green with yellow, `GNYE`, is one colour
/// there: the protective conductor.
pub fn colour(letters: &str) -> Option<&'static str> {
    COLOURS.table().row(letters)?.text("colour")
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
        let rows = COLOURS.table().rows();
        assert!(rows.iter().enumerate().all(|(at, row)| rows[at + 1..].iter().all(|it| it[0] != row[0])));
    }
}

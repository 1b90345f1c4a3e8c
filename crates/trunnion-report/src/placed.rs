//! Verdicts with their places in files, in the order in which they are shown.

use trunnion_model::db::{Host, Location, Site};
use trunnion_model::verdict::{Fix, Outcome, Verdict};

/// A verdict and where everything it speaks of stands.
pub struct Placed<'a> {
    /// The verdict.
    pub verdict: &'a Verdict,
    /// Where it points first.
    pub at: Location,
    /// The other places and what they are.
    pub related: Vec<(Location, &'a str)>,
    /// The ways out with the places of their edits.
    pub fixes: Vec<PlacedFix<'a>>,
}

/// A way out with the places of its edits.
pub struct PlacedFix<'a> {
    /// What it does.
    pub title: &'a str,
    /// Where what is put.
    pub edits: Vec<(Location, &'a str)>,
}

/// Finds the places of verdicts; clashes first, then by file and place.
pub fn place<'a>(host: &Host, verdicts: &[&'a Verdict]) -> Vec<Placed<'a>> {
    let locate = |site: Site| host.locate(site);
    let mut placed: Vec<Placed<'a>> = verdicts
        .iter()
        .filter_map(|verdict| {
            let related = verdict.related.iter().filter_map(|it| Some((locate(it.site)?, it.note.as_str())));
            Some(Placed {
                at: locate(verdict.site)?,
                related: related.collect(),
                fixes: verdict.fixes.iter().filter_map(|it| fix(host, it)).collect(),
                verdict,
            })
        })
        .collect();
    let rank = |it: &Placed<'_>| match it.verdict.outcome {
        Outcome::Clash => 0,
        Outcome::Open => 1,
        Outcome::Clear(_) => 2,
    };
    placed.sort_by(|a, b| {
        let key = |it: &Placed<'a>| {
            (rank(it), it.at.clone(), it.verdict.check, &it.verdict.subject, &it.verdict.message)
        };
        key(a).cmp(&key(b))
    });
    placed
}

fn fix<'a>(host: &Host, fix: &'a Fix) -> Option<PlacedFix<'a>> {
    let edits = fix.edits.iter().map(|it| Some((host.locate(it.site)?, it.text.as_str())));
    Some(PlacedFix { title: &fix.title, edits: edits.collect::<Option<Vec<_>>>()? })
}

/// Lines and columns of a text, both from 1; columns count Unicode characters.
pub struct Lines<'t> {
    text: &'t str,
    starts: Vec<usize>,
}

impl<'t> Lines<'t> {
    /// Finds the line starts.
    pub fn of(text: &'t str) -> Self {
        let bytes = text.as_bytes();
        let mut starts = vec![0];
        for (at, byte) in bytes.iter().enumerate() {
            let ends = *byte == b'\n' || (*byte == b'\r' && bytes.get(at + 1) != Some(&b'\n'));
            if ends {
                starts.push(at + 1);
            }
        }
        Self { text, starts }
    }

    /// Line and column of an offset.
    pub fn position(&self, offset: u32) -> (u32, u32) {
        let offset = (offset as usize).min(self.text.len());
        let line = self.starts.partition_point(|it| *it <= offset) - 1;
        let column = self.text[self.starts[line]..offset].chars().count();
        (line as u32 + 1, column as u32 + 1)
    }
}

/// File and line of a place: `van.trunnion:12`; empty where it is no longer there.
pub fn file_and_line(host: &Host, site: Site) -> String {
    let Some(at) = host.locate(site) else { return String::new() };
    let (line, _) = Lines::of(host.text(&at.path).map_or("", |it| it)).position(at.span.start);
    format!("{}:{line}", at.path)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn positions_count_from_one_in_characters() {
        let lines = Lines::of("a\r\nµb\rc");
        assert_eq!(lines.position(0), (1, 1));
        assert_eq!(lines.position(5), (2, 2));
        assert_eq!(lines.position(7), (3, 1));
    }
}

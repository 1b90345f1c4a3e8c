//! Which word was meant.

/// The nearest of some words, where one is near enough to be meant: of four letters up to seven,
/// one may be wrong, missing, too many or swapped with its neighbour; of more, two. The first of
/// several as near is taken.
pub fn nearest<'a>(word: &str, words: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let letters: Vec<char> = word.chars().collect();
    let most = match letters.len() {
        0..3 => return None,
        3..8 => 1,
        _ => 2,
    };
    let mut best: Option<(usize, &str)> = None;
    for other in words {
        if other == word || other.chars().count().abs_diff(letters.len()) > most {
            continue;
        }
        let away = distance(&letters, &other.chars().collect::<Vec<_>>());
        if away <= most && best.is_none_or(|(least, _)| away < least) {
            best = Some((away, other));
        }
    }
    best.map(|it| it.1)
}

/// How many single mistakes turn one word into the other.
fn distance(a: &[char], b: &[char]) -> usize {
    let (mut above, mut row) = (vec![0; b.len() + 1], (0..=b.len()).collect::<Vec<usize>>());
    for (i, left) in a.iter().enumerate() {
        let mut next = vec![i + 1; b.len() + 1];
        for (j, right) in b.iter().enumerate() {
            let mut least = (row[j] + usize::from(left != right)).min(row[j + 1] + 1).min(next[j] + 1);
            if i > 0 && j > 0 && *left == b[j - 1] && a[i - 1] == *right {
                least = least.min(above[j - 1] + 1);
            }
            next[j + 1] = least;
        }
        above = std::mem::replace(&mut row, next);
    }
    row[b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn single_mistakes_are_near() {
        let words = ["vehicle", "face", "fitted", "conversion"];
        for (word, meant) in [
            ("vehicel", Some("vehicle")),
            ("vehicl", Some("vehicle")),
            ("facee", Some("face")),
            ("fsce", Some("face")),
            ("convertion", Some("conversion")),
            ("konvertion", Some("conversion")),
            ("fit", None),
            ("fi", None),
            ("face", None),
            ("mount", None),
        ] {
            assert_eq!(nearest(word, words), meant, "{word}");
        }
    }

    #[test]
    fn the_nearer_of_two_is_meant() {
        assert_eq!(nearest("connectr", ["conductor", "connector"]), Some("connector"));
    }
}

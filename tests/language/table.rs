//! The tables of a Markdown page.

/// One row.
pub struct Row {
    /// Its cells, without the blanks around them.
    pub cells: Vec<String>,
    /// Its line, from 1.
    pub line: usize,
}

/// The rows of every table whose heading is this, headings and rules left out. A `|` inside
/// backticks belongs to its cell.
pub fn rows(page: &str, heading: &[&str]) -> Vec<Row> {
    let (mut rows, mut inside) = (Vec::new(), false);
    for (nth, line) in page.lines().enumerate() {
        if !line.starts_with('|') {
            inside = false;
            continue;
        }
        let cells = cells(line);
        if cells == heading {
            inside = true;
        } else if inside && !cells.iter().all(|it| it.chars().all(|it| "-: ".contains(it))) {
            rows.push(Row { cells, line: nth + 1 });
        }
    }
    rows
}

fn cells(line: &str) -> Vec<String> {
    let (mut all, mut quoted) = (vec![String::new()], false);
    for it in line.trim().trim_start_matches('|').chars() {
        quoted ^= it == '`';
        match (it, quoted) {
            ('|', false) => all.push(String::new()),
            _ => all.last_mut().expect("begins with one").push(it),
        }
    }
    all.pop();
    all.iter().map(|it| it.trim().to_owned()).collect()
}

#[test]
fn rows_are_those_below_the_heading() {
    let found = rows("| a | b |\n|---|---|\n| 1 | `x | y` |\n\n| c |\n|---|\n| 2 |\n", &["a", "b"]);
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].cells, ["1", "`x | y`"]);
    assert_eq!(found[0].line, 3);
}

//! Console blocks of the guide against what the program answers.
//!
//! A block begins with `$ trunnion …`; a line `…` leaves something out. What stands between two
//! such lines is held against the answer in one piece.

use trunnion_check::list;
use trunnion_model::verdict::Verdict;
use trunnion_report::summary::Summary;
use trunnion_tests::loaded;

use crate::fences::Fence;

/// The block as it should be, and how many pieces were compared with a real answer.
pub fn compare(fence: &Fence) -> (String, usize) {
    let mut lines = fence.text.lines();
    let command = lines.next().unwrap_or_default();
    let words: Vec<&str> = command.split_whitespace().collect();
    let answer = match words.as_slice() {
        ["$", "trunnion", "next", path] => next(path),
        ["$", "trunnion", "plan", path] => planned(path),
        ["$", "trunnion", "explain", name @ ..] => explain(&name.join(" ")),
        ["$", "trunnion", "check", path] => return checked(fence, path),
        _ => panic!("line {}: `{command}` has no answer that can be compared", fence.line),
    };
    let shown: Vec<&str> = lines.collect();
    let mut real = vec![command.to_owned()];
    let mut pieces = 0;
    let answer: Vec<&str> = answer.lines().collect();
    let mut from = 0;
    for piece in shown.split(|it| it.trim() == "…") {
        if pieces > 0 {
            real.push("…".to_owned());
        }
        pieces += 1;
        let Some(first) = piece.first() else { continue };
        // The first line of a piece is its anchor, or what stands before the dash in it.
        let head = |it: &str| it.split_once(" — ").map(|it| it.0.to_owned());
        let at = answer[from..].iter().position(|it| it == first);
        let at =
            at.or_else(|| answer[from..].iter().position(|it| head(it).is_some() && head(it) == head(first)));
        let at = from + at.unwrap_or_else(|| panic!("line {}: the answer has no line `{first}`", fence.line));
        from = (at + piece.len()).min(answer.len());
        real.extend(answer[at..from].iter().map(|it| (*it).to_owned()));
    }
    (real.join("\n") + "\n", pieces)
}

/// Folder and file of a path into the examples.
fn parts(path: &str) -> (&str, &str) {
    path.rsplit_once('/').unwrap_or_else(|| panic!("`{path}` is in no folder"))
}

fn next(path: &str) -> String {
    let (folder, file) = parts(path);
    let host = loaded::host(&loaded::files(folder));
    trunnion_report::next::pages(&host, &[file.to_owned()]).concat()
}

fn planned(path: &str) -> String {
    // The whole example is loaded, as the program does: its folder is the second of the path.
    let at = path.match_indices('/').nth(1).map_or(path.len(), |it| it.0);
    let (folder, file) = (&path[..at], &path[at + 1..]);
    let mut host = loaded::host(&loaded::files(folder));
    let all = trunnion_plan::conversions(&host, &[file.to_owned()]);
    let mut pages = String::new();
    for id in all {
        let made = trunnion_plan::plan::plan(&mut host, id, None, None, &|_| true).expect("a plan");
        pages.push_str(&trunnion_report::plan::page(&host, &made));
    }
    pages
}

fn explain(name: &str) -> String {
    let page = list::find(name).map(|it| it.page());
    page.or_else(|| trunnion_report::library::page(name))
        .unwrap_or_else(|| panic!("nothing is called `{name}`"))
}

/// The answer of `check` is drawn by the program; its sentences are held against the verdicts.
fn checked(fence: &Fence, path: &str) -> (String, usize) {
    let (folder, file) = parts(path);
    let files = loaded::files(folder);
    let host = loaded::host(&files);
    let verdicts = loaded::verdicts(&host, file);
    let all: Vec<&Verdict> = verdicts.iter().collect();
    let summary = Summary::of(&all);
    let mut of: Option<&Verdict> = None;
    let (mut real, mut count) = (Vec::new(), 0);
    for (nth, line) in fence.text.lines().enumerate() {
        let here = format!("line {}: `{line}`", fence.line + nth);
        // What follows a word in the line, and what should.
        let mut put = |after: &str, wanted: Option<String>| {
            let wanted = wanted.unwrap_or_else(|| panic!("{here}: there is none"));
            let at = line.find(after).map_or(0, |it| it + after.len());
            real.push(format!("{}{wanted}", &line[..at]));
        };
        if let Some((check, message)) = line.strip_prefix('[').and_then(|it| it.split_once("] clash: ")) {
            of = nearest(&verdicts, check, message);
            put("] clash: ", of.map(|it| it.message.clone()));
            count += 1;
        } else if line.contains("arithmetic: ") {
            put("arithmetic: ", of.and_then(|it| it.formula.as_ref()).map(ToString::to_string));
            count += 1;
        } else if line.contains("margin: ") {
            put("margin: ", of.and_then(|it| it.margin.as_ref()).map(ToString::to_string));
        } else if line.contains("rests on: ") {
            put("rests on: ", of.map(|it| it.sources.join("; ")));
        } else if let Some((_, title)) = line.split_once("way out: ") {
            let fixes = of.map(|it| it.fixes.as_slice()).unwrap_or_default();
            let same = fixes.iter().find(|it| it.title == title).or(fixes.first());
            put("way out: ", same.map(|it| it.title.clone()));
        } else if line.contains(" clear") && line.contains("clash") {
            put("", Some(summary.line()));
            count += 1;
        } else if line.starts_with("First: ") {
            put("", Some(summary.first().to_owned()));
        } else {
            real.push(excerpt(line).map_or_else(
                || line.to_owned(),
                |shown| written(&files, shown).unwrap_or_else(|| panic!("{here}: no file has this line")),
            ));
        }
    }
    (real.join("\n") + "\n", count)
}

/// The clash of that check whose message begins most alike.
fn nearest<'v>(verdicts: &'v [Verdict], check: &str, message: &str) -> Option<&'v Verdict> {
    let alike = |other: &str| {
        let pairs = message.chars().zip(other.chars());
        let same = pairs.take_while(|(a, b)| a.to_lowercase().eq(b.to_lowercase())).count();
        (message == other, same)
    };
    let clashes = verdicts.iter().filter(|it| it.check == check && it.outcome.word() == "clash");
    clashes.max_by_key(|it| alike(&it.message))
}

/// ` 11 │ ╭─▶   needs …`: the number of a line of a file, the signs before its text, and the text.
fn excerpt(line: &str) -> Option<(usize, &str, &str)> {
    let (number, rest) = line.split_once('│')?;
    let number = number.trim().parse().ok()?;
    let text = rest.trim_start_matches(['│', '├', '╭', '─', '▶', ' ']);
    Some((number, &rest[..rest.len() - text.len()], text.trim_end()))
}

/// The same with the number and the blanks that the line has in its file.
fn written(files: &[(String, String)], (number, signs, text): (usize, &str, &str)) -> Option<String> {
    let words = |it: &str| it.split_whitespace().map(str::to_owned).collect::<Vec<_>>();
    let all = files.iter().flat_map(|it| it.1.lines().enumerate());
    let same = all.filter(|it| words(it.1) == words(text));
    let (nth, there) = same.min_by_key(|it| (it.0 + 1).abs_diff(number))?;
    Some(format!("{:>3} │{signs}{}", nth + 1, there.trim()))
}

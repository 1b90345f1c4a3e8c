//! Spoiled texts for a while: nothing panics, the layout holds, an edited session says what a
//! fresh one says.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

use trunnion_check::check_workspace;
use trunnion_ide::Session;
use trunnion_model::library;
use trunnion_syntax::layout::tidy;
use trunnion_syntax::parse::parse;
use trunnion_syntax::tree::Span;
use trunnion_tests::loaded;

use crate::mutate::{Dice, edge, spoil};
use crate::shape;

/// A session is made anew after this many edits.
const EDITS: usize = 400;
/// How often an edited session is compared with a fresh one.
const COMPARED_EVERY: usize = 25;
/// A run that takes longer than this hangs.
const LONGEST: Duration = Duration::from_secs(60);

/// Files that belong together, as they were written and as they are now.
struct Group {
    files: Vec<(String, String)>,
    session: Session,
    edits: usize,
}

impl Group {
    fn new(files: Vec<(String, String)>) -> Self {
        let mut group = Self { files, session: Session::new(), edits: 0 };
        group.begin();
        group
    }

    fn begin(&mut self) {
        self.edits = 0;
        self.session = Session::new();
        self.session.load(self.files.clone());
    }

    /// Gives one file this text; now and then compares with a fresh session.
    fn edit(&mut self, path: &str, text: &str, dice: &mut Dice) {
        self.session.edit(path, text.to_owned());
        self.edits += 1;
        let told = self.session.diagnostics(path);
        if self.edits.is_multiple_of(COMPARED_EVERY) {
            let fresh = self.session.afresh();
            assert_eq!(told, fresh.diagnostics(path), "an edited session differs from a fresh one in {path}");
            let (edited, fresh) = (all(&self.session), all(&fresh));
            assert!(edited == fresh, "verdicts of an edited session differ from a fresh one's");
        }
        let at = edge(text, dice) as u32;
        match dice.below(8) {
            0 => drop(self.session.hover(path, at)),
            1 => drop(self.session.complete(path, at)),
            2 => drop(self.session.definition(path, at)),
            3 => drop(self.session.symbols(path)),
            4 => mends_stand_in_the_text(&self.session, path, text),
            5 => {
                let paths: Vec<String> = self.files.iter().map(|it| it.0.clone()).collect();
                trunnion_report::next::pages(self.session.host(), &paths);
            }
            6 => {
                let host = self.session.host();
                let verdicts = check_workspace(host.db(), host.workspace());
                let verdicts: Vec<_> = verdicts.iter().collect();
                let placed = trunnion_report::placed::place(host, &verdicts);
                assert_eq!(placed.len(), verdicts.len(), "a verdict without a place is never shown");
                let summary = trunnion_report::summary::Summary::of(&verdicts);
                trunnion_report::record::record(host, &placed, &summary);
            }
            _ => {}
        }
    }
}

/// Each mend is for a range of the text that it is in.
fn mends_stand_in_the_text(session: &Session, path: &str, text: &str) {
    for action in session.actions(path, Span::new(0, text.len() as u32)) {
        for (path, edits) in &action.edits {
            let text = session.text(path).unwrap_or_default();
            for (span, _) in edits {
                assert!(text.get(span.range()).is_some(), "{}: {span:?} is outside", action.title);
            }
        }
    }
}

/// Check, subject and message of all verdicts, sorted.
fn all(session: &Session) -> Vec<String> {
    let host = session.host();
    let verdicts = check_workspace(host.db(), host.workspace());
    let mut all: Vec<String> = verdicts
        .iter()
        .map(|it| format!("{} {} {:?} {}", it.check, it.subject, it.outcome, it.message))
        .collect();
    all.sort();
    all
}

/// What must hold for one text by itself.
fn alone(text: &str) {
    let tree = parse(text);
    for error in &tree.errors {
        assert!(text.get(error.span.range()).is_some(), "{error:?} points nowhere");
    }
    let once = tidy(text);
    assert_eq!(tidy(&once), once, "laid out twice");
    let after = parse(&once);
    assert_eq!(tree.errors.is_empty(), after.errors.is_empty(), "the layout broke it: {:?}", after.errors);
    assert!(shape::of(&tree) == shape::of(&after), "the layout changed the meaning");
}

/// The same, and the verdicts on it as the only file.
fn alone_checked(text: &str) {
    alone(text);
    let host = loaded::host(&[("one.trunnion".to_owned(), text.to_owned())]);
    check_workspace(host.db(), host.workspace());
}

/// What a panic said.
fn words(panic: &(dyn std::any::Any + Send)) -> String {
    let text = panic.downcast_ref::<String>().map(String::as_str);
    text.or_else(|| panic.downcast_ref::<&str>().copied()).unwrap_or("no words").to_owned()
}

/// Leaves out lines as long as it still fails.
fn shrink(text: &str, fails: &dyn Fn(&str) -> bool) -> String {
    let mut lines: Vec<&str> = text.split_inclusive('\n').collect();
    let mut size = lines.len().div_ceil(2).max(1);
    let until = Instant::now() + Duration::from_secs(60);
    loop {
        let mut at = 0;
        while at < lines.len() && Instant::now() < until {
            let mut fewer = lines.clone();
            fewer.drain(at..(at + size).min(lines.len()));
            if fails(&fewer.concat()) {
                lines = fewer;
            } else {
                at += size;
            }
        }
        if size == 1 || Instant::now() >= until {
            return lines.concat();
        }
        size = size.div_ceil(2);
    }
}

/// Whether it fails, without a word.
fn fails(run: impl FnOnce()) -> bool {
    let hook = std::panic::take_hook();
    std::panic::set_hook(Box::new(|_| {}));
    let failed = catch_unwind(AssertUnwindSafe(run)).is_err();
    std::panic::set_hook(hook);
    failed
}

fn number(name: &str, default: u64) -> u64 {
    std::env::var(name).ok().and_then(|it| it.parse().ok()).unwrap_or(default)
}

#[test]
#[ignore = "takes a minute; TRUNNION_FUZZ_SECONDS and TRUNNION_FUZZ_SEED change how long and which"]
fn fuzz_for_a_minute() {
    let seconds = number("TRUNNION_FUZZ_SECONDS", 60);
    let seed = number("TRUNNION_FUZZ_SEED", 1);
    let mut groups: Vec<Group> =
        ["easy_van", "later_engine", "first_evening", "camper_power"].map(example).into_iter().collect();
    let kinds: Vec<String> = library::FILES.iter().map(|it| it.1.to_owned()).collect();
    let examples = groups.iter().flat_map(|it| it.files.iter().map(|it| it.1.clone()));
    let texts: Vec<String> = examples.chain(kinds).collect();
    let mut dictionary: Vec<String> =
        texts.iter().flat_map(|it| it.split_whitespace().map(str::to_owned)).collect();
    dictionary.sort();
    dictionary.dedup();

    let current = Arc::new(Mutex::new((Instant::now(), String::new())));
    watch(current.clone(), seed);
    let mut dice = Dice::new(seed);
    let end = Instant::now() + Duration::from_secs(seconds);
    let (mut runs, mut found) = (0_u64, 0);
    let mut seen: Vec<String> = Vec::new();
    while Instant::now() < end {
        runs += 1;
        let which = dice.below(10);
        let text = match which {
            0..4 => spoil(dice.one_of::<String>(&texts), &dictionary, &mut dice),
            4..6 => spoil(&part_of(dice.one_of::<String>(&texts), &mut dice), &dictionary, &mut dice),
            _ => String::new(),
        };
        if which < 6 {
            *current.lock().unwrap_or_else(|it| it.into_inner()) = (Instant::now(), text.clone());
            let check: fn(&str) = if which < 4 { alone } else { alone_checked };
            if let Err(panic) = catch_unwind(|| check(&text)) {
                tell(&mut seen, &mut found, &words(&*panic), || shrink(&text, &|it| fails(|| check(it))));
            }
            continue;
        }
        let group = dice.below(groups.len());
        let group = &mut groups[group];
        let nth = dice.below(group.files.len());
        let (path, text) = group.files[nth].clone();
        // Half of the edits go on from the text as it is now.
        let now = group.session.text(&path).unwrap_or_default().to_owned();
        let text = if dice.below(2) == 0 && now.len() < 2 * text.len() + 1000 { now } else { text };
        let text = spoil(&text, &dictionary, &mut dice);
        *current.lock().unwrap_or_else(|it| it.into_inner()) = (Instant::now(), text.clone());
        if let Err(panic) = catch_unwind(AssertUnwindSafe(|| group.edit(&path, &text, &mut dice))) {
            let files = group.files.clone();
            let fails = |it: &str| {
                fails(|| {
                    let mut fresh = Group::new(files.clone());
                    fresh.session.edit(&path, it.to_owned());
                    fresh.session.diagnostics(&path);
                    all(&fresh.session);
                })
            };
            tell(&mut seen, &mut found, &format!("{path}: {}", words(&*panic)), || {
                if fails(&text) { shrink(&text, &fails) } else { format!("(only after edits)\n{text}") }
            });
            group.begin();
        } else if group.edits >= EDITS {
            group.begin();
        }
    }
    println!("{runs} runs in {seconds} s with seed {seed}; {found} failed");
    assert_eq!(found, 0, "see above");
}

fn example(name: &str) -> Group {
    Group::new(loaded::files(&format!("examples/{name}")))
}

/// Some lines of a text that follow each other.
fn part_of(text: &str, dice: &mut Dice) -> String {
    let lines: Vec<&str> = text.split_inclusive('\n').collect();
    let from = dice.below(lines.len());
    let to = from + 1 + dice.below((lines.len() - from).min(60));
    lines[from..to.min(lines.len())].concat()
}

/// Prints a failure that was not seen before, with its text made small.
fn tell(seen: &mut Vec<String>, found: &mut usize, words: &str, small: impl FnOnce() -> String) {
    *found += 1;
    let start: String = words.chars().take(60).collect();
    if seen.contains(&start) {
        return;
    }
    seen.push(start);
    println!("FAILED: {words}\n--- text:\n{}\n---", small());
}

/// Ends the program when one run takes too long, after printing its text.
fn watch(current: Arc<Mutex<(Instant, String)>>, seed: u64) {
    std::thread::spawn(move || {
        loop {
            std::thread::sleep(Duration::from_secs(1));
            let held = current.lock().unwrap_or_else(|it| it.into_inner());
            if held.0.elapsed() > LONGEST && !held.1.is_empty() {
                println!("HANGS with seed {seed}:\n{}", held.1);
                std::process::abort();
            }
        }
    });
}

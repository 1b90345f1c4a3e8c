//! Finds the workspace and reads its files.
//!
//! The workspace is the folder of the path, or the nearest one above it that
//! holds `.git` or a file `trunnion.root`. Every `*.trunnion` file below it is
//! read, so that `use` finds it; verdicts are shown for the paths that were
//! asked for.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use trunnion_model::db::Host;
use trunnion_model::name::seen;
use trunnion_model::verdict::{Problem, Verdict};
use trunnion_syntax::tree::Span;

use crate::Failure;

/// The largest file that is read, in bytes.
const LARGEST: u64 = 100 << 20;

/// What was loaded.
pub struct Loaded {
    /// The files, held for queries.
    pub host: Host,
    /// The folder that paths are counted from.
    root: PathBuf,
    /// The files that were asked for, by path from the root.
    pub asked: Vec<String>,
    /// Where each file lies.
    files: BTreeMap<String, PathBuf>,
    /// What was wrong with files that could not be read as they are.
    unreadable: BTreeMap<String, Problem>,
}

impl Loaded {
    /// Where a file lies, by its path from the root.
    pub fn file(&self, name: &str) -> PathBuf {
        self.files.get(name).cloned().unwrap_or_else(|| self.root.join(name))
    }

    /// Whether the file could be read as it is.
    pub fn is_readable(&self, name: &str) -> bool {
        !self.unreadable.contains_key(name)
    }

    /// What is to be said of files that could not be read as they are, among those that were
    /// asked for and those that these use.
    pub fn unreadable(&self) -> Vec<Verdict> {
        let (db, workspace) = (self.host.db(), self.host.workspace());
        let asked = self.asked.iter().filter_map(|it| self.host.file(it));
        let concerned: BTreeSet<_> =
            asked.flat_map(|it| seen(db, workspace, it)).map(|it| it.path(db)).collect();
        let unreadable = self.unreadable.iter().filter(|(path, _)| concerned.contains(path.as_str()));
        unreadable
            .filter_map(|(path, problem)| {
                let (item, start) = self.host.item_at(path, problem.span.start)?;
                let span = Span::new(start, start + problem.span.end - problem.span.start);
                Some(Problem { span, ..problem.clone() }.verdict(item))
            })
            .collect()
    }
}

/// Loads the workspace around some paths; the current folder where none is given.
pub fn load(paths: &[PathBuf]) -> Result<Loaded, Failure> {
    let here = [PathBuf::from(".")];
    let paths = if paths.is_empty() { &here[..] } else { paths };
    let mut absolute = Vec::with_capacity(paths.len());
    for path in paths {
        let found = fs::canonicalize(path)
            .map_err(|error| Failure(format!("cannot find `{}`: {error}", path.display())))?;
        absolute.push(found);
    }
    let root = root_of(&absolute);
    let mut loaded = Loaded {
        host: Host::new(),
        root,
        asked: Vec::new(),
        files: BTreeMap::new(),
        unreadable: BTreeMap::new(),
    };
    let files = files_below(&loaded.root, &absolute);
    let mut texts = Vec::with_capacity(files.len());
    for file in &files {
        let name = relative(&loaded.root, file);
        if absolute.iter().any(|it| file.starts_with(it)) {
            loaded.asked.push(name.clone());
        }
        let (text, problem) = read(file);
        loaded.unreadable.extend(problem.map(|it| (name.clone(), it)));
        loaded.files.insert(name.clone(), file.clone());
        texts.push((name, text));
    }
    if loaded.asked.is_empty() {
        let shown = paths.iter().map(|it| it.display().to_string()).collect::<Vec<_>>().join(", ");
        return Err(Failure(format!(
            "no `.trunnion` file in {shown}; `trunnion new DIR` writes a small one to start from"
        )));
    }
    loaded.host.set_files(texts.iter().map(|(name, text)| (name.as_str(), text.as_str())));
    Ok(loaded)
}

/// The nearest folder at or above all paths that is marked as a root, else the folder that
/// holds them all.
fn root_of(paths: &[PathBuf]) -> PathBuf {
    let folder = |path: &PathBuf| {
        if path.is_dir() { path.clone() } else { path.parent().unwrap_or(path).to_path_buf() }
    };
    let mut shared = paths.first().map(folder).unwrap_or_default();
    for path in paths {
        while !path.starts_with(&shared) {
            if !shared.pop() {
                break;
            }
        }
    }
    let marked = |it: &&Path| it.join("trunnion.root").is_file() || it.join(".git").exists();
    let root = shared.ancestors().find(marked);
    root.map_or(shared.clone(), Path::to_path_buf)
}

/// All specification files below the root in order of path; links are not followed, so
/// that nothing leads out of it.
fn files_below(root: &Path, asked: &[PathBuf]) -> Vec<PathBuf> {
    let walk = ignore::WalkBuilder::new(root).follow_links(false).require_git(false).build();
    let mut files: Vec<PathBuf> = walk
        .filter_map(Result::ok)
        .filter(|it| it.file_type().is_some_and(|it| it.is_file()))
        .map(ignore::DirEntry::into_path)
        .filter(|it| it.extension().is_some_and(|it| it == "trunnion"))
        .collect();
    files.extend(asked.iter().filter(|it| it.is_file()).cloned());
    files.sort();
    files.dedup();
    files
}

fn relative(root: &Path, file: &Path) -> String {
    let below = file.strip_prefix(root).unwrap_or(file);
    let parts = below.components().map(|it| it.as_os_str().to_string_lossy());
    parts.collect::<Vec<_>>().join("/")
}

/// The text of a file, as far as it can be read, and what is wrong with it.
fn read(file: &Path) -> (String, Option<Problem>) {
    let nothing = |name, message| (String::new(), Some(Problem::new(name, Span::default(), message)));
    let bytes = match fs::metadata(file).map(|it| it.len()) {
        Ok(size) if size > LARGEST => {
            let (size, largest) = (size >> 20, LARGEST >> 20);
            return nothing(
                "file/size",
                format!("This file has {size} MB; files over {largest} MB are not read."),
            );
        }
        Ok(_) => fs::read(file),
        Err(error) => Err(error),
    };
    match bytes.map(String::from_utf8) {
        Ok(Ok(text)) => (text, None),
        Ok(Err(error)) if is_utf16(error.as_bytes()) => {
            nothing("file/encoding", "This file is saved as UTF-16; save it as UTF-8.".to_owned())
        }
        Ok(Err(error)) => {
            let start = error.utf8_error().valid_up_to() as u32;
            let text = lossy(error.as_bytes());
            let message = "Bytes that are not UTF-8 stand here; save the file as UTF-8.";
            (text, Some(Problem::new("file/encoding", Span::new(start, start + 1), message)))
        }
        Err(error) => nothing("file/reading", format!("This file cannot be read: {error}.")),
    }
}

/// Whether a file begins with the mark of UTF-16, in either order of bytes. Source: The Unicode
/// Standard, section 23.8, byte order mark.
fn is_utf16(bytes: &[u8]) -> bool {
    matches!(bytes, [0xff, 0xfe, ..] | [0xfe, 0xff, ..])
}

/// What cannot be read becomes blanks of the same length, so that places stay right.
fn lossy(bytes: &[u8]) -> String {
    let mut text = String::with_capacity(bytes.len());
    for chunk in bytes.utf8_chunks() {
        text.push_str(chunk.valid());
        text.extend(std::iter::repeat_n(' ', chunk.invalid().len()));
    }
    text
}

/// The text of a file as the editor's session reads it; none where it cannot be read.
pub fn text(file: &Path) -> Option<String> {
    let (text, problem) = read(file);
    // Places stay right where only some bytes cannot be read.
    (problem.is_none() || !text.is_empty()).then_some(text)
}

/// All specification files below a folder: path from it, and text.
pub fn texts_below(root: &Path) -> Vec<(String, String)> {
    let files = files_below(root, &[]);
    files.iter().filter_map(|it| Some((relative(root, it), text(it)?))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_cannot_be_read_is_said_and_keeps_its_place() {
        assert_eq!(lossy(b"a\xff\xfeb \xc3"), "a  b  ");
        let (text, problem) = read(Path::new(env!("CARGO_MANIFEST_DIR")));
        assert_eq!(text, "");
        let problem = problem.expect("a folder is no file");
        assert_eq!(problem.name, "file/reading");
        assert!(problem.message.starts_with("This file cannot be read: "), "{}", problem.message);
    }
}

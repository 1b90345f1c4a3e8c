//! Finds the workspace and reads its files.
//!
//! The workspace is the folder of the path, or the nearest one above it that
//! holds `.git` or a file `trunnion.root`. Every `*.trunnion` file below it is
//! read, so that `use` finds it; verdicts are shown for the paths that were
//! asked for.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use trunnion_model::db::Host;

use crate::Failure;

/// The largest file that is read, in bytes.
const LARGEST: u64 = 100 << 20;

/// What was loaded.
pub struct Loaded {
    /// The files, held for queries.
    pub host: Host,
    /// The folder that paths are counted from.
    pub root: PathBuf,
    /// The files that were asked for, by path from the root.
    pub asked: Vec<String>,
    /// Files that could not be read as they are: path, offset, why.
    pub unreadable: BTreeMap<String, Unreadable>,
}

/// Why a file could not be read as it is.
pub struct Unreadable {
    /// The stable name: `file/…`.
    pub name: &'static str,
    /// Where, in bytes.
    pub offset: u32,
    /// A sentence.
    pub message: String,
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
    let mut loaded = Loaded { host: Host::new(), root, asked: Vec::new(), unreadable: BTreeMap::new() };
    let files = files_below(&loaded.root, &absolute);
    let mut texts = Vec::with_capacity(files.len());
    for file in &files {
        let name = relative(&loaded.root, file);
        if absolute.iter().any(|it| file.starts_with(it)) {
            loaded.asked.push(name.clone());
        }
        let text = read(file, &name, &mut loaded.unreadable)?;
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

fn read(file: &Path, name: &str, unreadable: &mut BTreeMap<String, Unreadable>) -> Result<String, Failure> {
    let why = |error: std::io::Error| Failure(format!("cannot read `{}`: {error}", file.display()));
    let size = fs::metadata(file).map_err(why)?.len();
    if size > LARGEST {
        let message =
            format!("This file has {} MB; files over {} MB are not read.", size >> 20, LARGEST >> 20);
        unreadable.insert(name.to_owned(), Unreadable { name: "file/size", offset: 0, message });
        return Ok(String::new());
    }
    let bytes = fs::read(file).map_err(why)?;
    match String::from_utf8(bytes) {
        Ok(text) => Ok(text),
        Err(error) => {
            let offset = error.utf8_error().valid_up_to() as u32;
            let message = "Bytes that are not UTF-8 stand here; save the file as UTF-8.".to_owned();
            unreadable.insert(name.to_owned(), Unreadable { name: "file/encoding", offset, message });
            // What cannot be read becomes blanks of the same length, so that places stay right.
            Ok(lossy(error.as_bytes()))
        }
    }
}

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
    let small = fs::metadata(file).ok()?.len() <= LARGEST;
    let bytes = fs::read(file).ok().filter(|_| small)?;
    Some(match String::from_utf8(bytes) {
        Ok(text) => text,
        Err(error) => lossy(error.as_bytes()),
    })
}

/// All specification files below a folder: path from it, and text.
pub fn texts_below(root: &Path) -> Vec<(String, String)> {
    let files = files_below(root, &[]);
    files.iter().filter_map(|it| Some((relative(root, it), text(it)?))).collect()
}

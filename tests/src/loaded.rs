//! Loads files of the repository for tests.

use std::fs;
use std::path::{Path, PathBuf};

use trunnion_check::run::verdicts_of;
use trunnion_model::db::Host;
use trunnion_model::verdict::{Outcome, Verdict};

/// The root of the repository.
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// All specification files below a folder of the repository: path from it, and text.
pub fn files(folder: &str) -> Vec<(String, String)> {
    let base = root().join(folder);
    let mut found = Vec::new();
    let mut folders = vec![base.clone()];
    while let Some(at) = folders.pop() {
        let entries = fs::read_dir(&at).unwrap_or_else(|error| panic!("{}: {error}", at.display()));
        for entry in entries {
            let path = entry.expect("readable").path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|it| it == "trunnion") {
                let name = path.strip_prefix(&base).expect("below").to_string_lossy().replace('\\', "/");
                found.push((name, fs::read_to_string(&path).expect("readable")));
            }
        }
    }
    found.sort();
    found
}

/// Every file of the examples that declares a conversion: folder and path in it.
pub fn examples() -> Vec<(String, String)> {
    let mut all = Vec::new();
    let folders = fs::read_dir(root().join("examples")).expect("there");
    let mut folders: Vec<PathBuf> = folders.map(|it| it.expect("readable").path()).collect();
    folders.retain(|it| it.is_dir());
    folders.sort();
    for folder in folders {
        let name = folder.file_name().map(|it| it.to_string_lossy().into_owned()).unwrap_or_default();
        let folder = format!("examples/{name}");
        let with = |it: &(String, String)| it.1.lines().any(|line| line.starts_with("conversion "));
        all.extend(files(&folder).into_iter().filter(with).map(|it| (folder.clone(), it.0)));
    }
    all
}

/// A host with these files.
pub fn host(files: &[(String, String)]) -> Host {
    let mut host = Host::new();
    host.set_files(files.iter().map(|(path, text)| (path.as_str(), text.as_str())));
    host
}

/// The verdicts on one file.
pub fn verdicts(host: &Host, path: &str) -> Vec<Verdict> {
    let file = host.file(path).unwrap_or_else(|| panic!("no file {path}"));
    verdicts_of(host.db(), host.workspace(), file).clone()
}

/// Check and subject of all verdicts with that outcome, sorted.
pub fn named(verdicts: &[Verdict], outcome: &str) -> Vec<String> {
    let mut all: Vec<String> = verdicts
        .iter()
        .filter(|it| it.outcome.word() == outcome && it.accepted.is_none())
        .map(|it| format!("{} {}", it.check, it.subject))
        .collect();
    all.sort();
    all.dedup();
    all
}

/// The messages of all clashes, for when there should be none.
pub fn clashes(verdicts: &[Verdict]) -> String {
    let all = verdicts.iter().filter(|it| it.outcome == Outcome::Clash);
    all.map(|it| format!("{} {}: {}", it.check, it.subject, it.message)).collect::<Vec<_>>().join("\n")
}

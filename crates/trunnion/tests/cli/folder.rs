//! A folder of its own for each test, and the program run in it.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

/// A folder that is gone when the test is over.
pub struct Folder {
    path: PathBuf,
}

impl Folder {
    /// Makes it, empty. It is marked as a root, so that nothing above it counts.
    pub fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("trunnion-cli-{name}-{}", std::process::id()));
        let _ = fs::remove_dir_all(&path);
        let folder = Self { path };
        folder.write("trunnion.root", "");
        folder
    }

    /// Where a path below it lies.
    pub fn at(&self, path: &str) -> PathBuf {
        self.path.join(path)
    }

    /// Writes a file, and the folders above it.
    pub fn write(&self, path: &str, text: impl AsRef<[u8]>) {
        let at = self.at(path);
        fs::create_dir_all(at.parent().expect("below the folder")).expect("made");
        fs::write(at, text).expect("written");
    }

    /// What stands in a file.
    pub fn read(&self, path: &str) -> String {
        fs::read_to_string(self.at(path)).expect("readable")
    }

    /// The program, to be run in the folder with these arguments and no setting for colour.
    pub fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_trunnion"));
        command.args(arguments).current_dir(&self.path).stdin(Stdio::null());
        for setting in ["NO_COLOR", "CLICOLOR", "CLICOLOR_FORCE", "TERM"] {
            command.env_remove(setting);
        }
        command
    }

    /// Runs the program.
    pub fn run(&self, arguments: &[&str]) -> Ran {
        Ran::from(self.command(arguments).output().expect("the program starts"))
    }

    /// Every file and folder below it: path, what stands in it, when it was written.
    pub fn listing(&self) -> Vec<(PathBuf, Vec<u8>, std::time::SystemTime)> {
        let mut all = Vec::new();
        list(&self.path, &mut all);
        all.sort();
        all
    }
}

fn list(folder: &Path, all: &mut Vec<(PathBuf, Vec<u8>, std::time::SystemTime)>) {
    for entry in fs::read_dir(folder).expect("readable") {
        let path = entry.expect("readable").path();
        let meta = fs::symlink_metadata(&path).expect("there");
        let held = if meta.is_file() { fs::read(&path).expect("readable") } else { Vec::new() };
        if meta.is_dir() {
            list(&path, all);
        }
        all.push((path, held, meta.modified().expect("kept by the file system")));
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.path);
    }
}

/// How a run ended.
#[derive(Debug, PartialEq)]
pub struct Ran {
    /// The exit status.
    pub code: i32,
    /// What it printed.
    pub out: String,
    /// What it said beside that.
    pub err: String,
}

impl From<Output> for Ran {
    fn from(output: Output) -> Self {
        let text = |bytes| String::from_utf8(bytes).expect("it prints UTF-8");
        Self {
            code: output.status.code().expect("it ends by itself"),
            out: text(output.stdout),
            err: text(output.stderr),
        }
    }
}

impl Ran {
    /// The verdicts of an answer in JSON.
    pub fn json(&self) -> serde_json::Value {
        serde_json::from_str(&self.out).unwrap_or_else(|error| panic!("{error}: {self:?}"))
    }

    /// Check, line and column of the first place, and message of each verdict of an answer in JSON.
    pub fn told(&self) -> Vec<(String, String, String)> {
        let json = self.json();
        let verdicts = json["verdicts"].as_array().expect("a list");
        let told = verdicts.iter().map(|it| {
            let place = &it["places"][0];
            let file = place["file"].as_str().expect("text");
            let at = format!("{file}:{}:{}", place["line"], place["column"]);
            let text = |name: &str| it[name].as_str().expect("text").to_owned();
            (text("check"), at, text("message"))
        });
        told.collect()
    }

    /// Whether a verdict of that check stands there with these words in its message.
    #[track_caller]
    pub fn tells(&self, check: &str, at: &str, words: &str) {
        let told = self.told();
        let found = told.iter().any(|it| it.0 == check && it.1 == at && it.2.contains(words));
        assert!(found, "no {check} at {at} with `{words}` in {told:#?}");
    }

    /// It ended with this status and without a panic.
    #[track_caller]
    pub fn ended(&self, code: i32) -> &Self {
        assert_eq!(self.code, code, "{self:?}");
        assert!(!self.err.contains("panicked"), "{self:?}");
        self
    }
}

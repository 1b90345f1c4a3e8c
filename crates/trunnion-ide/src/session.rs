//! The texts, open and on disk, and what is asked of them.

use std::collections::BTreeMap;

use trunnion_model::db::Host;

use crate::plan::Snapshot;

/// The workspace as the editor sees it: unsaved texts win over those on disk.
#[derive(Default)]
pub struct Session {
    host: Host,
    disk: BTreeMap<String, String>,
    open: BTreeMap<String, String>,
}

impl Session {
    /// A session without files.
    pub fn new() -> Self {
        Self::default()
    }

    /// The files, held for queries.
    pub fn host(&self) -> &Host {
        &self.host
    }

    /// Files as they are on disk; those that are open keep the editor's text.
    pub fn load(&mut self, files: impl IntoIterator<Item = (String, String)>) {
        self.disk.extend(files);
        let closed = self.disk.iter().filter(|(path, _)| !self.open.contains_key(*path));
        self.host.set_files(closed.map(|(path, text)| (path.as_str(), text.as_str())));
    }

    /// A file changed on disk, or is gone.
    pub fn disk_changed(&mut self, path: &str, text: Option<String>) {
        let open = self.open.contains_key(path);
        match text {
            Some(text) => {
                if !open {
                    self.host.set_file(path, &text);
                }
                self.disk.insert(path.to_owned(), text);
            }
            None => {
                self.disk.remove(path);
                if !open {
                    self.host.remove_file(path);
                }
            }
        }
    }

    /// The editor opened a file or changed its text.
    pub fn edit(&mut self, path: &str, text: String) {
        self.host.set_file(path, &text);
        self.open.insert(path.to_owned(), text);
    }

    /// The editor closed a file: what is on disk holds again.
    pub fn close(&mut self, path: &str) {
        self.open.remove(path);
        match self.disk.get(path) {
            Some(text) => self.host.set_file(path, text),
            None => self.host.remove_file(path),
        }
    }

    /// The text of a file, the editor's where it is open.
    pub fn text(&self, path: &str) -> Option<&str> {
        self.host.text(path).map(|it| &**it)
    }

    /// The paths of all open files.
    pub fn opened(&self) -> impl Iterator<Item = &str> {
        self.open.keys().map(String::as_str)
    }

    /// The texts as they are now, to be worked on elsewhere.
    pub fn snapshot(&self) -> Snapshot {
        Snapshot::of(
            self.host.files().filter_map(|(path, _)| Some((path.clone(), self.host.text(path)?.clone()))),
        )
    }

    /// A session with the same texts, computed anew.
    pub fn afresh(&self) -> Self {
        let mut fresh = Self::new();
        fresh.load(self.disk.clone());
        for (path, text) in &self.open {
            fresh.edit(path, text.clone());
        }
        fresh
    }

    /// The file in the one layout.
    pub fn format(&self, path: &str) -> Option<String> {
        self.text(path).map(trunnion_syntax::layout::tidy)
    }
}

//! The inputs of every computation, and who holds them.
//!
//! A file is cut into *items*, its top-level statements. Each item is an input
//! of its own, with places counted from its own start. So an edit inside one
//! item touches neither the others nor their places: what was computed from
//! them stays.

#![allow(missing_docs, reason = "the methods that salsa makes have none; all written here do")]

use std::collections::BTreeMap;
use std::sync::Arc;

use salsa::{Durability, Setter};
use trunnion_syntax::chunk;
use trunnion_syntax::tree::Span;

use crate::library;

/// What every query reads from.
#[salsa::db]
pub trait Db: salsa::Database {}

/// The storage.
#[salsa::db]
#[derive(Clone, Default)]
pub struct Storage {
    storage: salsa::Storage<Self>,
}

#[salsa::db]
impl salsa::Database for Storage {}

#[salsa::db]
impl Db for Storage {}

/// One file of the workspace or of the shipped library.
#[salsa::input(debug)]
pub struct SourceFile {
    /// Path from the workspace root, with `/`; library files begin with `library:`.
    #[returns(clone)]
    pub path: Arc<str>,
    /// Its top-level statements in order.
    #[returns(clone)]
    pub items: Arc<[Item]>,
}

/// One top-level statement, with the comments above it.
#[salsa::input(debug)]
pub struct Item {
    /// The file it stands in.
    #[returns(copy)]
    pub file: SourceFile,
    /// Its text.
    #[returns(clone)]
    pub text: Arc<str>,
}

/// All files.
#[salsa::input(debug)]
pub struct Workspace {
    /// The user's files, by path.
    #[returns(clone)]
    pub files: Arc<BTreeMap<Arc<str>, SourceFile>>,
    /// The files shipped with the tool.
    #[returns(clone)]
    pub library: Arc<[SourceFile]>,
}

/// A place in an item, counted from the item's start.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Site {
    /// The item.
    pub item: Item,
    /// The range in its text.
    pub span: Span,
}

/// A place in a file.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Location {
    /// Path from the workspace root.
    pub path: Arc<str>,
    /// The range in the file's text.
    pub span: Span,
}

/// What nobody is typing in changes seldom: only an item that was edited is looked at again
/// with every keystroke.
const AT_REST: Durability = Durability::MEDIUM;

struct Held {
    file: SourceFile,
    text: Arc<str>,
    /// Where each item starts, in step with the file's items.
    starts: Vec<u32>,
}

/// Holds the storage and the files, and maps places in items to places in files.
pub struct Host {
    db: Storage,
    workspace: Workspace,
    held: BTreeMap<Arc<str>, Held>,
    /// Where each item stands: path and index.
    index: std::collections::HashMap<Item, (Arc<str>, u32)>,
}

impl Default for Host {
    fn default() -> Self {
        Self::new()
    }
}

impl Host {
    /// A workspace without files, with the shipped library.
    pub fn new() -> Self {
        let db = Storage::default();
        let workspace = Workspace::new(&db, Arc::default(), Arc::from([]));
        let mut host = Self { db, workspace, held: BTreeMap::new(), index: Default::default() };
        let library: Vec<SourceFile> = library::FILES
            .iter()
            .map(|(path, text)| host.hold(Arc::from(*path), Arc::from(*text), Durability::HIGH))
            .collect();
        host.workspace.set_library(&mut host.db).with_durability(Durability::HIGH).to(library.into());
        host
    }

    /// The database to ask queries of.
    pub fn db(&self) -> &dyn Db {
        &self.db
    }

    /// The workspace input.
    pub fn workspace(&self) -> Workspace {
        self.workspace
    }

    /// The user's files, by path.
    pub fn files(&self) -> impl Iterator<Item = (&Arc<str>, SourceFile)> {
        self.held.iter().filter(|(path, _)| !library::is_library(path)).map(|(path, held)| (path, held.file))
    }

    /// The file at that path.
    pub fn file(&self, path: &str) -> Option<SourceFile> {
        self.held.get(path).map(|held| held.file)
    }

    /// The text of the file at that path, the library's included.
    pub fn text(&self, path: &str) -> Option<&Arc<str>> {
        self.held.get(path).map(|held| &held.text)
    }

    /// Adds a file or changes its text; only the items that differ change.
    pub fn set_file(&mut self, path: &str, text: &str) {
        if self.held.contains_key(path) {
            self.change(path, text);
            return;
        }
        let path: Arc<str> = Arc::from(path);
        let file = self.hold(path.clone(), Arc::from(text), AT_REST);
        let mut files = (*self.workspace.files(&self.db)).clone();
        files.insert(path, file);
        self.workspace.set_files(&mut self.db).to(Arc::new(files));
    }

    /// Adds many files at once.
    pub fn set_files<'a>(&mut self, added: impl IntoIterator<Item = (&'a str, &'a str)>) {
        let mut files = (*self.workspace.files(&self.db)).clone();
        for (path, text) in added {
            if self.held.contains_key(path) {
                self.change(path, text);
            } else {
                let path: Arc<str> = Arc::from(path);
                let file = self.hold(path.clone(), Arc::from(text), AT_REST);
                files.insert(path, file);
            }
        }
        self.workspace.set_files(&mut self.db).to(Arc::new(files));
    }

    /// Takes a file out.
    pub fn remove_file(&mut self, path: &str) {
        let Some(held) = self.held.remove(path) else { return };
        for item in held.file.items(&self.db).iter() {
            self.index.remove(item);
        }
        let mut files = (*self.workspace.files(&self.db)).clone();
        files.remove(path);
        self.workspace.set_files(&mut self.db).to(Arc::new(files));
    }

    /// Where a site is in its file. None when the item is no longer there.
    pub fn locate(&self, site: Site) -> Option<Location> {
        let (path, index) = self.index.get(&site.item)?;
        let start = *self.held.get(path)?.starts.get(*index as usize)?;
        Some(Location { path: path.clone(), span: Span::new(site.span.start + start, site.span.end + start) })
    }

    /// The item at an offset of a file, and the offset counted from its start.
    pub fn item_at(&self, path: &str, offset: u32) -> Option<(Item, u32)> {
        let held = self.held.get(path)?;
        let index = held.starts.partition_point(|start| *start <= offset).checked_sub(1)?;
        let item = *held.file.items(&self.db).get(index)?;
        Some((item, offset - held.starts[index]))
    }

    fn hold(&mut self, path: Arc<str>, text: Arc<str>, durability: Durability) -> SourceFile {
        let chunks = chunk::chunks(&text);
        let file = SourceFile::builder(path.clone(), Arc::from([])).durability(durability).new(&self.db);
        let items: Arc<[Item]> = chunks
            .iter()
            .map(|it| self.new_item(file, &text[it.start as usize..it.end as usize], durability))
            .collect();
        let starts = chunks.iter().map(|it| it.start).collect();
        self.number(&path, &items, 0);
        file.set_items(&mut self.db).with_durability(durability).to(items);
        self.held.insert(path, Held { file, text, starts });
        file
    }

    fn new_item(&self, file: SourceFile, text: &str, durability: Durability) -> Item {
        Item::builder(file, Arc::from(text)).durability(durability).new(&self.db)
    }

    fn number(&mut self, path: &Arc<str>, items: &[Item], from: usize) {
        for (index, item) in items.iter().enumerate().skip(from) {
            self.index.insert(*item, (path.clone(), index as u32));
        }
    }

    /// Keeps the items before and after the edit; changes or replaces those in it.
    fn change(&mut self, path: &str, text: &str) {
        let Some(held) = self.held.get_mut(path) else { return };
        if &*held.text == text {
            return;
        }
        let file = held.file;
        let old = file.items(&self.db);
        let chunks = chunk::chunks(text);
        let same =
            |item: &Item, at: &chunk::Chunk| *item.text(&self.db) == text[at.start as usize..at.end as usize];
        let front = old.iter().zip(&chunks).take_while(|(item, at)| same(item, at)).count();
        let most = old.len().min(chunks.len()) - front;
        let back = old
            .iter()
            .rev()
            .zip(chunks.iter().rev())
            .take(most)
            .take_while(|(item, at)| same(item, at))
            .count();
        held.text = Arc::from(text);
        held.starts = chunks.iter().map(|it| it.start).collect();
        let slice = |at: &chunk::Chunk| -> Arc<str> { Arc::from(&text[at.start as usize..at.end as usize]) };
        let middle = &chunks[front..chunks.len() - back];
        let old_middle = &old[front..old.len() - back];
        if middle.len() == old_middle.len() {
            for (item, at) in old_middle.iter().zip(middle) {
                item.set_text(&mut self.db).with_durability(Durability::LOW).to(slice(at));
            }
            return;
        }
        let mut items = old[..front].to_vec();
        for (index, at) in middle.iter().enumerate() {
            let text = slice(at);
            match old_middle.get(index) {
                Some(item) => {
                    if *item.text(&self.db) != *text {
                        item.set_text(&mut self.db).with_durability(Durability::LOW).to(text);
                    }
                    items.push(*item);
                }
                None => items.push(self.new_item(file, &text, Durability::LOW)),
            }
        }
        for gone in old_middle.iter().skip(middle.len()) {
            self.index.remove(gone);
        }
        items.extend_from_slice(&old[old.len() - back..]);
        let path = file.path(&self.db);
        self.number(&path, &items, front);
        file.set_items(&mut self.db).to(items.into());
    }
}

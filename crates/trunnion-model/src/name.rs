//! Names: which declaration a name means, and what was meant by a misspelt one.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use smol_str::SmolStr;
use trunnion_syntax::tree::{Name, Span};

use crate::db::{Db, Item, Site, SourceFile, Workspace};
use crate::decl::{Body, Decl};
use crate::library;
use crate::lower::lowered;
use crate::verdict::Problem;

/// What sort of thing a name stands for. A name is found once in each.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[allow(missing_docs)]
pub enum Space {
    Source,
    Family,
    Kind,
    Measure,
    Medium,
    Pattern,
    Terminal,
    Connector,
    Part,
    Line,
    Loom,
    Feed,
    Work,
    Rule,
    Vehicle,
    Person,
    Conversion,
}

impl Space {
    /// The trade's word for one of it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Source => "source",
            Self::Family => "family",
            Self::Kind => "kind",
            Self::Measure => "measure",
            Self::Medium => "medium",
            Self::Pattern => "pattern",
            Self::Terminal => "terminal",
            Self::Connector => "connector",
            Self::Part => "part",
            Self::Line => "line",
            Self::Loom => "loom",
            Self::Feed => "feed",
            Self::Work => "work or service",
            Self::Rule => "rule",
            Self::Vehicle => "vehicle",
            Self::Person => "person",
            Self::Conversion => "conversion",
        }
    }

    /// The space of a declaration; none for those without a name.
    pub fn of(body: &Body) -> Option<Self> {
        Some(match body {
            Body::Source(_) => Self::Source,
            Body::Family(_) => Self::Family,
            Body::Kind(_) => Self::Kind,
            Body::Measure(_) => Self::Measure,
            Body::Medium => Self::Medium,
            Body::Pattern(_) => Self::Pattern,
            Body::Terminal(_) => Self::Terminal,
            Body::Connector(_) => Self::Connector,
            Body::Part(_) => Self::Part,
            Body::Line(_) => Self::Line,
            Body::Loom(_) => Self::Loom,
            Body::Feed(_) => Self::Feed,
            Body::Work(_) => Self::Work,
            Body::Rule(_) => Self::Rule,
            Body::Vehicle(_) => Self::Vehicle,
            Body::Person(_) => Self::Person,
            Body::Conversion(_) => Self::Conversion,
            Body::Use(_) | Body::Private | Body::Basis(_) | Body::Exchange(..) | Body::Log(_) => return None,
        })
    }
}

/// One declaration: the item it stands in and which of the item's it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Id {
    /// The item.
    pub item: Item,
    /// Which declaration of it, from 0; items with more than one are rare.
    pub nth: u32,
}

impl Id {
    /// The declaration.
    pub fn decl(self, db: &dyn Db) -> Option<&Decl> {
        lowered(db, self.item).decls.get(self.nth as usize)
    }

    /// A place in it.
    pub fn site(self, span: Span) -> Site {
        Site { item: self.item, span }
    }

    /// The place of its name, or of the whole statement.
    pub fn name_site(self, db: &dyn Db) -> Site {
        let span =
            self.decl(db).map(|it| it.name.as_ref().map_or(it.span, |name| name.span)).unwrap_or_default();
        self.site(span)
    }

    /// Its name.
    pub fn name(self, db: &dyn Db) -> Name {
        self.decl(db).and_then(|it| it.name.as_ref()).map(|it| it.value.clone()).unwrap_or_default()
    }

    /// Its display name, or its name with blanks for underscores.
    pub fn shown(self, db: &dyn Db) -> String {
        match self.decl(db) {
            Some(Decl { title: Some(title), .. }) => title.to_string(),
            _ => self.name(db).replace('_', " "),
        }
    }

    /// The path of the file it stands in.
    pub fn path(self, db: &dyn Db) -> Arc<str> {
        self.item.file(db).path(db)
    }
}

/// What an item gives to others by name; changes less often than its text.
#[salsa::tracked(returns(ref))]
fn heads(db: &dyn Db, item: Item) -> Vec<(Option<Space>, Name, u32)> {
    let lowered = lowered(db, item);
    let decls = lowered.decls.iter().enumerate();
    decls
        .map(|(nth, decl)| {
            let name = decl.name.as_ref().map(|it| it.value.clone()).unwrap_or_default();
            (Space::of(&decl.body), name, nth as u32)
        })
        .collect()
}

/// The paths a file brings in with `use`: place, as written, resolved (or why not).
#[salsa::tracked(returns(ref))]
fn item_uses(db: &dyn Db, item: Item) -> Vec<(Span, SmolStr)> {
    let decls = &lowered(db, item).decls;
    decls
        .iter()
        .filter_map(|decl| match &decl.body {
            Body::Use(path) => Some((path.span, path.value.clone())),
            _ => None,
        })
        .collect()
}

/// What a `use` leads to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Used {
    /// The file.
    File(SourceFile),
    /// There is no such file; the nearest path there is.
    Missing(String, Option<String>),
    /// It leaves the workspace root.
    Outside,
}

/// The files a file uses, with the place of each `use`.
#[salsa::tracked(returns(ref))]
pub fn uses(db: &dyn Db, workspace: Workspace, file: SourceFile) -> Vec<(Site, Used)> {
    let files = workspace.files(db);
    let own = file.path(db);
    let mut used = Vec::new();
    for item in file.items(db).iter() {
        for (span, written) in item_uses(db, *item) {
            let outcome = match join(&own, written) {
                None => Used::Outside,
                Some(path) => match files.get(path.as_str()) {
                    Some(file) => Used::File(*file),
                    None => {
                        let near = nearest(&path, files.keys().map(|it| &**it));
                        Used::Missing(path.clone(), near.map(|it| relative(&own, &it)))
                    }
                },
            };
            used.push((Site { item: *item, span: *span }, outcome));
        }
    }
    used
}

/// Joins a `use` path to that of the file it stands in. None when it leaves the root.
pub fn join(own: &str, written: &str) -> Option<String> {
    let written = written.replace('\\', "/");
    if written.starts_with('/') || written.contains(':') || written.contains('\0') {
        return None;
    }
    let mut parts: Vec<&str> = own.split('/').collect();
    parts.pop();
    for part in written.split('/') {
        match part {
            "" | "." => {}
            ".." => {
                parts.pop()?;
            }
            part => parts.push(part),
        }
    }
    let mut path = parts.join("/");
    if !path.ends_with(".trunnion") {
        path.push_str(".trunnion");
    }
    Some(path)
}

/// The path from one file to another as a `use` writes it.
pub fn relative(own: &str, other: &str) -> String {
    let mut from: Vec<&str> = own.split('/').collect();
    from.pop();
    let to: Vec<&str> = other.split('/').collect();
    let shared = from.iter().zip(&to).take_while(|(a, b)| a == b).count();
    let mut parts = vec![".."; from.len() - shared];
    parts.extend(&to[shared..]);
    parts.join("/").trim_end_matches(".trunnion").to_owned()
}

/// Whether the file says that it is private.
#[salsa::tracked(returns(copy))]
pub fn is_private(db: &dyn Db, file: SourceFile) -> bool {
    file.items(db)
        .iter()
        .flat_map(|item| &lowered(db, *item).decls)
        .any(|decl| matches!(decl.body, Body::Private))
}

/// All that is declared in some files, by name.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Scope {
    named: BTreeMap<(Space, Name), Vec<Id>>,
    nameless: Vec<Id>,
}

impl Scope {
    /// The declaration of that name.
    pub fn find(&self, space: Space, name: &str) -> Option<Id> {
        self.named.get(&(space, SmolStr::new(name)))?.first().copied()
    }

    /// All declarations of that name; more than one is a mistake.
    pub fn all(&self, space: Space, name: &str) -> &[Id] {
        self.named.get(&(space, SmolStr::new(name))).map_or(&[], Vec::as_slice)
    }

    /// Every declaration in a space, by name.
    pub fn each(&self, space: Space) -> impl Iterator<Item = (&Name, Id)> {
        self.named
            .range((space, Name::default())..)
            .take_while(move |((it, _), _)| *it == space)
            .filter_map(|((_, name), ids)| Some((name, *ids.first()?)))
    }

    /// Every declaration, with a name or without.
    pub fn every(&self) -> Vec<Id> {
        self.named.values().flatten().chain(&self.nameless).copied().collect()
    }

    /// Declarations without a name: logs, bases, exchanges.
    pub fn nameless(&self) -> &[Id] {
        &self.nameless
    }

    /// The nearest name in a space, for a misspelt one.
    pub fn suggest(&self, space: Space, name: &str) -> Option<String> {
        nearest(name, self.each(space).map(|(it, _)| it.as_str()))
    }

    fn extend(&mut self, other: &Self) {
        for (key, ids) in &other.named {
            let into = self.named.entry(key.clone()).or_default();
            for id in ids {
                if !into.contains(id) {
                    into.push(*id);
                }
            }
        }
        self.nameless.extend(&other.nameless);
    }
}

/// What one file declares.
#[salsa::tracked(returns(ref))]
pub fn declared(db: &dyn Db, file: SourceFile) -> Scope {
    let mut scope = Scope::default();
    for item in file.items(db).iter() {
        for (space, name, nth) in heads(db, *item) {
            let id = Id { item: *item, nth: *nth };
            match space {
                Some(space) => scope.named.entry((*space, name.clone())).or_default().push(id),
                None => scope.nameless.push(id),
            }
        }
    }
    scope
}

#[salsa::tracked(returns(ref))]
fn library_scope(db: &dyn Db, workspace: Workspace) -> Scope {
    let mut scope = Scope::default();
    for file in workspace.library(db).iter() {
        scope.extend(declared(db, *file));
    }
    scope
}

/// The files seen from a file: itself and all it uses, directly or not.
#[salsa::tracked(returns(ref))]
pub fn seen(db: &dyn Db, workspace: Workspace, file: SourceFile) -> Vec<SourceFile> {
    let mut seen = vec![file];
    let mut next = 0;
    while let Some(file) = seen.get(next).copied() {
        next += 1;
        for (_, used) in uses(db, workspace, file) {
            if let Used::File(other) = used
                && !seen.contains(other)
            {
                seen.push(*other);
            }
        }
    }
    seen
}

/// The names a file can use: its own, those of the files it uses, the library's.
/// An own name hides one of the library.
#[salsa::tracked(returns(ref))]
pub fn scope(db: &dyn Db, workspace: Workspace, file: SourceFile) -> Scope {
    let mut scope = Scope::default();
    if library::is_library(&file.path(db)) {
        return library_scope(db, workspace).clone();
    }
    for file in seen(db, workspace, file) {
        scope.extend(declared(db, *file));
    }
    scope.extend(library_scope(db, workspace));
    scope
}

/// The `use` lines that lead back to their own file, with the way round.
#[salsa::tracked(returns(ref))]
pub fn cycles(db: &dyn Db, workspace: Workspace, file: SourceFile) -> Vec<(Site, Vec<Arc<str>>)> {
    let mut found = Vec::new();
    for (site, used) in uses(db, workspace, file) {
        let Used::File(start) = used else { continue };
        let mut way: BTreeMap<Arc<str>, Option<Arc<str>>> = BTreeMap::new();
        way.insert(start.path(db), None);
        let mut queue = std::collections::VecDeque::from([*start]);
        while let Some(at) = queue.pop_front() {
            if at == file {
                let mut round = vec![at.path(db)];
                while let Some(Some(from)) = round.last().and_then(|it| way.get(it)) {
                    round.push(from.clone());
                }
                round.reverse();
                found.push((*site, round));
                break;
            }
            for (_, used) in uses(db, workspace, at) {
                if let Used::File(other) = used
                    && !way.contains_key(&other.path(db))
                {
                    way.insert(other.path(db), Some(at.path(db)));
                    queue.push_back(*other);
                }
            }
        }
    }
    found
}

/// What is wrong with a file's `use` lines and with names declared twice.
#[salsa::tracked(returns(ref))]
pub fn use_problems(db: &dyn Db, workspace: Workspace, file: SourceFile) -> Vec<(Item, Problem)> {
    let mut problems = Vec::new();
    for (site, used) in uses(db, workspace, file) {
        let problem = match used {
            Used::File(_) => continue,
            Used::Outside => Problem::new(
                "use/outside",
                site.span,
                "This path leaves the workspace; only files inside it can be used.",
            ),
            Used::Missing(path, near) => {
                let problem = Problem::new(
                    "use/missing",
                    site.span,
                    format!("There is no file `{path}` in the workspace."),
                );
                match near {
                    Some(near) => {
                        problem.with_mend(format!("use \"{near}\""), site.span, format!("\"{near}\""))
                    }
                    None => problem,
                }
            }
        };
        problems.push((site.item, problem));
    }
    for (site, round) in cycles(db, workspace, file) {
        let way = round.iter().map(|it| format!("`{it}`")).collect::<Vec<_>>().join(", which uses ");
        let message = format!("This goes round in a circle: it uses {way}, which is this file.");
        let message = if round.len() == 1 { "This file uses itself.".to_owned() } else { message };
        problems.push((site.item, Problem::new("use/circle", site.span, message)));
    }
    let own = declared(db, file);
    let scope = scope(db, workspace, file);
    let twice: BTreeSet<_> = own.named.keys().collect();
    for (space, name) in twice {
        if name.is_empty() {
            continue;
        }
        let all: Vec<Id> =
            scope.all(*space, name).iter().copied().filter(|it| !library::is_library(&it.path(db))).collect();
        for id in own.all(*space, name) {
            let Some(first) = all.iter().find(|it| *it != id) else { continue };
            let site = id.name_site(db);
            let message = format!(
                "The {} `{name}` is declared here and in `{}`; a name is declared once.",
                space.word(),
                first.path(db),
            );
            problems.push((id.item, Problem::new("name/twice", site.span, message)));
        }
    }
    problems
}

/// The nearest of some words by edit distance, where one is near enough to be meant.
pub fn nearest<'a>(word: &str, words: impl Iterator<Item = &'a str>) -> Option<String> {
    let most = (word.chars().count() / 3).clamp(1, 3);
    words
        .map(|it| (distance(word, it), it))
        .filter(|(far, _)| *far <= most)
        .min()
        .map(|(_, it)| it.to_owned())
}

/// Edit distance with neighbours swapped counted as one.
fn distance(a: &str, b: &str) -> usize {
    let (a, b): (Vec<char>, Vec<char>) = (a.chars().collect(), b.chars().collect());
    if a.len().abs_diff(b.len()) > 3 {
        return usize::MAX;
    }
    let mut rows = vec![(0..=b.len()).collect::<Vec<_>>()];
    for i in 1..=a.len() {
        let mut row = vec![i; b.len() + 1];
        for j in 1..=b.len() {
            let change = rows[i - 1][j - 1] + usize::from(a[i - 1] != b[j - 1]);
            row[j] = change.min(rows[i - 1][j] + 1).min(row[j - 1] + 1);
            if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                row[j] = row[j].min(rows[i - 2][j - 2] + 1);
            }
        }
        rows.push(row);
    }
    rows[a.len()][b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn use_paths_stay_inside() {
        assert_eq!(join("a/b.trunnion", "../c").as_deref(), Some("c.trunnion"));
        assert_eq!(join("a/b.trunnion", "./d.trunnion").as_deref(), Some("a/d.trunnion"));
        assert_eq!(join("a/b.trunnion", "../../c"), None);
        assert_eq!(join("a/b.trunnion", "/etc/passwd"), None);
        assert_eq!(relative("a/b.trunnion", "c/d.trunnion"), "../c/d");
    }

    #[test]
    fn a_near_word_is_found_and_a_far_one_is_not() {
        let words = ["final_drive", "propshaft", "gearbox"];
        assert_eq!(nearest("gaerbox", words.into_iter()).as_deref(), Some("gearbox"));
        assert_eq!(nearest("finaldrive", words.into_iter()).as_deref(), Some("final_drive"));
        assert_eq!(nearest("radiator", words.into_iter()), None);
    }
}

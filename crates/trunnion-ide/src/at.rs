//! What stands at an offset: the item, the statement's context, the word, what it names.

use smol_str::SmolStr;
use trunnion_model::built::scope_of;
use trunnion_model::db::{Db, Item, Location, Workspace};
use trunnion_model::decl::Body;
use trunnion_model::lower::tree;
use trunnion_model::name::{Id, Scope, Space, Used, uses};
use trunnion_syntax::form;
use trunnion_syntax::tree::{Atom, AtomKind, Clause, Line, Span};

use crate::Session;

/// A word in a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WordAt {
    /// The item it stands in.
    pub item: Item,
    /// The words of its path up to it; the last is the word itself.
    pub path: Vec<SmolStr>,
    /// The word's range, counted from the item's start.
    pub span: Span,
    /// The word before its path in the clause.
    pub before: Option<SmolStr>,
    /// Whether it leads its statement.
    pub leads: bool,
    /// Whether values in brackets follow directly: it calls a handbook function.
    pub calls: bool,
    /// The context of its statement: `file`, `part`, …
    pub context: &'static str,
}

impl Session {
    /// The word at an offset.
    pub fn word_at(&self, path: &str, offset: u32) -> Option<WordAt> {
        let (item, inner) = self.host().item_at(path, offset)?;
        let tree = tree(self.host().db(), item);
        find(item, "file", &tree.lines, inner)
    }

    /// The context that a statement at an offset would stand in.
    pub fn context_at(&self, path: &str, offset: u32) -> &'static str {
        let Some((item, inner)) = self.host().item_at(path, offset) else { return "file" };
        context(&tree(self.host().db(), item).lines, inner)
    }

    /// Where the thing at an offset is declared.
    pub fn definition(&self, path: &str, offset: u32) -> Vec<Location> {
        let host = self.host();
        let (db, workspace) = (host.db(), host.workspace());
        if let Some(file) = self.used_at(path, offset) {
            return vec![Location { path: file, span: Span::new(0, 0) }];
        }
        let Some(word) = self.word_at(path, offset) else { return Vec::new() };
        let sites = declared(db, workspace, &word).into_iter().map(|it| it.name_site(db));
        let mut found: Vec<Location> = sites.filter_map(|it| host.locate(it)).collect();
        found.extend(self.places(&word));
        found.dedup();
        found
    }

    /// The file that a `use` at an offset brings in.
    fn used_at(&self, path: &str, offset: u32) -> Option<std::sync::Arc<str>> {
        let host = self.host();
        let file = host.file(path)?;
        let (item, inner) = host.item_at(path, offset)?;
        let used = uses(host.db(), host.workspace(), file).iter();
        let here = used.filter(|(site, _)| site.item == item && site.span.touches(inner));
        here.filter_map(|(_, used)| match used {
            Used::File(file) => Some(file.path(host.db())),
            _ => None,
        })
        .next()
    }

    /// The declarations of a place of that name in the families seen from here.
    fn places(&self, word: &WordAt) -> Vec<Location> {
        let host = self.host();
        let (db, workspace) = (host.db(), host.workspace());
        let Some(name) = word.path.first() else { return Vec::new() };
        let scope = scope(db, workspace, word.item);
        let mut found = Vec::new();
        for (_, id) in scope.each(Space::Family) {
            let Some(Body::Family(family)) = id.decl(db).map(|it| &it.body) else { continue };
            let places = family.places.iter().filter(|it| it.name.value == *name);
            let own = !trunnion_model::library::is_library(&id.path(db));
            found.extend(places.filter(|_| own).filter_map(|it| host.locate(id.site(it.name.span))));
        }
        found
    }
}

fn scope(db: &dyn Db, workspace: Workspace, item: Item) -> &Scope {
    scope_of(db, workspace, Id { item, nth: 0 })
}

/// The declarations a word may mean: by the word before it, else by any name.
pub fn declared(db: &dyn Db, workspace: Workspace, word: &WordAt) -> Vec<Id> {
    let scope = scope(db, workspace, word.item);
    let Some(name) = word.path.last() else { return Vec::new() };
    let one = |spaces: &[Space]| -> Vec<Id> {
        spaces.iter().filter_map(|space| scope.find(*space, name)).collect()
    };
    let likely: &[Space] = match word.before.as_deref() {
        Some("per") => &[Space::Source],
        Some("is") => &[Space::Kind, Space::Pattern, Space::Connector, Space::Family],
        Some("of") => &[Space::Family, Space::Vehicle],
        Some("from" | "recipient" | "donor") => &[Space::Vehicle, Space::Part],
        Some("with" | "fit" | "make") => &[Space::Part],
        Some("terminal") => &[Space::Terminal],
        Some("mates") => &[Space::Connector],
        Some("carrying") => &[Space::Medium],
        Some("fills") => &[],
        _ => &[],
    };
    let found = one(likely);
    if !found.is_empty() {
        return found.into_iter().take(1).collect();
    }
    let any = [
        Space::Part,
        Space::Vehicle,
        Space::Conversion,
        Space::Source,
        Space::Pattern,
        Space::Connector,
        Space::Terminal,
        Space::Kind,
        Space::Family,
        Space::Line,
        Space::Loom,
        Space::Feed,
        Space::Work,
        Space::Rule,
        Space::Measure,
        Space::Medium,
        Space::Person,
    ];
    one(&any).into_iter().take(1).collect()
}

fn find(item: Item, context: &'static str, lines: &[Line], offset: u32) -> Option<WordAt> {
    let line = lines.iter().find(|it| it.span.touches(offset))?;
    for clause in line.clauses.iter().filter(|it| it.span.touches(offset)) {
        if let Some(found) = among(item, context, &clause.atoms, offset) {
            return Some(found);
        }
    }
    let (inner, lines) = blocks(context, lines).into_iter().find(|(_, block)| block.0.touches(offset))?;
    find(item, inner, lines.1, offset)
}

/// The word at an offset among the atoms of a clause, also inside round brackets.
fn among(item: Item, context: &'static str, atoms: &[Atom], offset: u32) -> Option<WordAt> {
    for (nth, atom) in atoms.iter().enumerate().filter(|it| it.1.span.touches(offset)) {
        match &atom.kind {
            AtomKind::Path(path) => {
                let upto = path.parts.iter().position(|it| it.span.touches(offset)).unwrap_or(0);
                let group =
                    |it: &Atom| matches!(it.kind, AtomKind::Group(_)) && it.span.start == atom.span.end;
                return Some(WordAt {
                    item,
                    path: path.parts[..=upto].iter().map(|it| it.value.clone()).collect(),
                    span: path.parts[upto].span,
                    before: nth.checked_sub(1).and_then(|it| word(&atoms[it])),
                    leads: nth == 0 && upto == 0,
                    calls: path.word().is_some() && atoms.get(nth + 1).is_some_and(group),
                    context,
                });
            }
            AtomKind::Group(clauses) => {
                let inner = clauses.iter().filter(|it| it.span.touches(offset));
                let inside = |it: &Clause| among(item, context, &it.atoms, offset);
                if let Some(found) = inner.filter_map(inside).next() {
                    return Some(WordAt { leads: false, ..found });
                }
            }
            _ => {}
        }
    }
    None
}

fn word(atom: &Atom) -> Option<SmolStr> {
    match &atom.kind {
        AtomKind::Path(path) => path.word().cloned(),
        _ => None,
    }
}

type Inside<'t> = (&'static str, (Span, &'t [Line]));

/// The blocks of the statements in some lines, with their contexts.
fn blocks<'t>(context: &'static str, lines: &'t [Line]) -> Vec<Inside<'t>> {
    let statements = form::statements(context, lines, &mut Vec::new());
    statements
        .into_iter()
        .filter_map(|it| {
            let block = it.block?;
            Some((it.form.block?, (block.span, block.lines.as_slice())))
        })
        .collect()
}

fn context(lines: &[Line], offset: u32) -> &'static str {
    let (mut context, mut lines) = ("file", lines);
    loop {
        let inside = blocks(context, lines)
            .into_iter()
            .find(|(_, block)| block.0.start < offset && offset <= block.0.end);
        match inside {
            Some((inner, block)) => (context, lines) = (inner, block.1),
            None => return context,
        }
    }
}

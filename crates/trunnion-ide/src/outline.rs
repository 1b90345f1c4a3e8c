//! The declarations of a file.

use trunnion_model::lower::{lowered, tree};
use trunnion_model::name::Space;
use trunnion_syntax::form;
use trunnion_syntax::tree::{Line, Span};

use crate::Session;

/// One entry of the outline.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Symbol {
    /// Its name.
    pub name: String,
    /// Its display name and what it is.
    pub detail: String,
    /// The leading word of its statement.
    pub lead: String,
    /// The whole statement.
    pub span: Span,
    /// Its name.
    pub name_span: Span,
    /// What stands in it.
    pub children: Vec<Symbol>,
}

impl Session {
    /// The outline of a file.
    pub fn symbols(&self, path: &str) -> Vec<Symbol> {
        let host = self.host();
        let db = host.db();
        let Some(file) = host.file(path) else { return Vec::new() };
        let mut symbols = Vec::new();
        for item in file.items(db).iter() {
            let whole = trunnion_model::db::Site { item: *item, span: Span::new(0, 0) };
            let Some(start) = host.locate(whole).map(|it| it.span.start) else { continue };
            let inner = inside("file", &tree(db, *item).lines, start);
            for (decl, own) in lowered(db, *item).decls.iter().zip(&inner) {
                let Some(name) = &decl.name else { continue };
                let word = Space::of(&decl.body).map_or("", Space::word);
                let title = decl.title.as_ref().map(|it| format!(" {it}")).unwrap_or_default();
                symbols.push(Symbol {
                    name: name.value.to_string(),
                    detail: format!("{word}{title}"),
                    ..own.clone()
                });
            }
        }
        symbols
    }
}

fn moved(span: Span, by: u32) -> Span {
    Span::new(span.start + by, span.end + by)
}

/// The named statements of some lines, with those in their blocks.
fn inside(context: &str, lines: &[Line], start: u32) -> Vec<Symbol> {
    let statements = form::statements(context, lines, &mut Vec::new());
    statements
        .iter()
        .filter_map(|it| {
            let names = it.names("names");
            let named = it.word("name").or_else(|| names.first().cloned());
            let name = match (named, context) {
                (Some(name), _) => name,
                // Declarations without a name keep the numbers in step.
                (None, "file") => {
                    trunnion_syntax::tree::At { value: it.form.key.as_str().into(), span: it.span }
                }
                (None, _) => return None,
            };
            let children = match (it.block, it.form.block) {
                (Some(block), Some(inner)) => inside(inner, &block.lines, start),
                _ => Vec::new(),
            };
            let lead = it.form.lead().unwrap_or_default().to_owned();
            Some(Symbol {
                name: name.value.to_string(),
                detail: lead.clone(),
                lead,
                span: moved(it.span, start),
                name_span: moved(name.span, start),
                children,
            })
        })
        .collect()
}

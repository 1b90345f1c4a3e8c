//! Between offsets and positions, between plain data and the protocol's.

use tower_lsp::lsp_types::{
    CodeAction, CodeActionKind, CodeLens, Command, CompletionItem, CompletionItemKind, Diagnostic,
    DiagnosticRelatedInformation, DiagnosticSeverity, DocumentChanges, DocumentSymbol, Location,
    NumberOrString, OneOf, OptionalVersionedTextDocumentIdentifier, Position, PositionEncodingKind, Range,
    SymbolKind, TextDocumentEdit, TextEdit, Url, WorkspaceEdit,
};
use trunnion_ide::completion::{Proposal, Sort};
use trunnion_ide::conversions::{By, Conversion};
use trunnion_ide::diagnostics::{Action, Severity};
use trunnion_ide::outline::Symbol;
use trunnion_ide::plan::{Offer, Wish};
use trunnion_syntax::tree::Span;

use super::planning::COMMAND;
use super::worker::State;

/// How positions count.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Encoding {
    /// Bytes.
    Utf8,
    /// UTF-16 code units: what every client knows.
    Utf16,
    /// Characters.
    Utf32,
}

impl Encoding {
    /// The best of those that a client offers.
    pub fn among(offered: Option<&Vec<PositionEncodingKind>>) -> Self {
        let has = |kind: PositionEncodingKind| offered.is_some_and(|it| it.contains(&kind));
        if has(PositionEncodingKind::UTF8) {
            Self::Utf8
        } else if has(PositionEncodingKind::UTF32) {
            Self::Utf32
        } else {
            Self::Utf16
        }
    }

    /// Its name in the protocol.
    pub fn kind(self) -> PositionEncodingKind {
        match self {
            Self::Utf8 => PositionEncodingKind::UTF8,
            Self::Utf16 => PositionEncodingKind::UTF16,
            Self::Utf32 => PositionEncodingKind::UTF32,
        }
    }

    fn width(self, it: char) -> usize {
        match self {
            Self::Utf8 => it.len_utf8(),
            Self::Utf16 => it.len_utf16(),
            Self::Utf32 => 1,
        }
    }
}

/// The lines of a text: where each starts.
pub struct Index<'t> {
    text: &'t str,
    starts: Vec<usize>,
    encoding: Encoding,
}

impl<'t> Index<'t> {
    /// Finds the line starts: after LF, CRLF and lone CR, as the protocol says.
    pub fn of(text: &'t str, encoding: Encoding) -> Self {
        let bytes = text.as_bytes();
        let mut starts = vec![0];
        for (at, byte) in bytes.iter().enumerate() {
            if *byte == b'\n' || (*byte == b'\r' && bytes.get(at + 1) != Some(&b'\n')) {
                starts.push(at + 1);
            }
        }
        Self { text, starts, encoding }
    }

    /// The position of an offset.
    pub fn position(&self, offset: u32) -> Position {
        let offset = (offset as usize).min(self.text.len());
        let line = self.starts.partition_point(|it| *it <= offset) - 1;
        let before = self.text.get(self.starts[line]..offset).unwrap_or_default();
        let column: usize = before.chars().map(|it| self.encoding.width(it)).sum();
        Position::new(line as u32, column as u32)
    }

    /// The offset of a position; one past the end of its line is the end of its line.
    pub fn offset(&self, position: Position) -> u32 {
        let Some(start) = self.starts.get(position.line as usize).copied() else {
            return self.text.len() as u32;
        };
        let end = self.starts.get(position.line as usize + 1).copied().unwrap_or(self.text.len());
        let line = self.text[start..end].trim_end_matches(['\n', '\r']);
        let mut left = position.character as usize;
        for (at, it) in line.char_indices() {
            let width = self.encoding.width(it);
            if left < width {
                return (start + at) as u32;
            }
            left -= width;
        }
        (start + line.len()) as u32
    }

    /// The range of a span.
    pub fn range(&self, span: Span) -> Range {
        Range::new(self.position(span.start), self.position(span.end))
    }

    /// The span of a range.
    pub fn span(&self, range: Range) -> Span {
        let (start, end) = (self.offset(range.start), self.offset(range.end));
        Span::new(start.min(end), start.max(end))
    }
}

/// The range of a span in a file, and the file's address.
pub fn location(state: &State, path: &str, span: Span) -> Option<Location> {
    let url = state.url_of(path)?;
    let text = state.session.text(path)?;
    Some(Location::new(url, Index::of(text, state.encoding).range(span)))
}

/// The diagnostics of a file.
pub fn diagnostics(state: &State, path: &str) -> Vec<Diagnostic> {
    let Some(text) = state.session.text(path) else { return Vec::new() };
    let index = Index::of(text, state.encoding);
    let all = state.session.diagnostics(path).into_iter();
    all.map(|it| {
        let related = it.related.iter().filter_map(|(at, note)| {
            let location = location(state, &at.path, at.span)?;
            Some(DiagnosticRelatedInformation { location, message: note.clone() })
        });
        let related: Vec<_> = related.collect();
        Diagnostic {
            range: index.range(it.span),
            severity: Some(match it.severity {
                Severity::Error => DiagnosticSeverity::ERROR,
                Severity::Information => DiagnosticSeverity::INFORMATION,
            }),
            code: Some(NumberOrString::String(it.code)),
            source: Some("trunnion".to_owned()),
            message: it.message,
            related_information: (!related.is_empty()).then_some(related),
            ..Diagnostic::default()
        }
    })
    .collect()
}

/// A way out, with the diagnostics it mends.
pub fn action(state: &State, action: Action, diagnostics: &[Diagnostic]) -> CodeAction {
    let mut changes = std::collections::HashMap::<Url, Vec<TextEdit>>::new();
    for (path, edits) in &action.edits {
        let (Some(url), Some(text)) = (state.url_of(path), state.session.text(path)) else { continue };
        let index = Index::of(text, state.encoding);
        let edits = edits.iter().map(|(span, text)| TextEdit::new(index.range(*span), text.clone()));
        changes.insert(url, edits.collect());
    }
    let code = NumberOrString::String(action.code);
    let mended =
        |it: &&Diagnostic| it.code.as_ref() == Some(&code) && Some(&it.message) == action.message.as_ref();
    let mends: Vec<Diagnostic> = diagnostics.iter().filter(mended).cloned().collect();
    CodeAction {
        title: action.title,
        kind: Some(CodeActionKind::QUICKFIX),
        diagnostics: (!mends.is_empty()).then_some(mends),
        edit: Some(WorkspaceEdit::new(changes)),
        ..CodeAction::default()
    }
}

/// The command that plans a conversion by a way.
fn command(title: String, url: &Url, it: &Conversion, by: &By) -> Command {
    let arguments = vec![url.as_str().into(), it.name.as_str().into(), by.way.as_deref().into()];
    Command { title, command: COMMAND.to_owned(), arguments: Some(arguments) }
}

/// How a conversion stands by each of its ways, above it; each entry plans that way.
pub fn lenses(index: &Index<'_>, url: &Url, it: &Conversion) -> Vec<CodeLens> {
    let range = index.range(it.name_span);
    let each = it.by.iter().map(|by| {
        let title = format!("{} · plan", by.shown());
        CodeLens { range, command: Some(command(title, url, it, by)), data: None }
    });
    each.collect()
}

/// The plans of a conversion, as actions.
pub fn plans(path: &str, url: &Url, it: &Conversion) -> Vec<CodeAction> {
    let each = it.by.iter().map(|by| {
        let wish = Wish { path: path.to_owned(), conversion: it.name.clone(), way: by.way.clone() };
        let title = format!("plan: {}", wish.shown());
        CodeAction {
            title: title.clone(),
            kind: Some(CodeActionKind::REFACTOR_REWRITE),
            command: Some(command(title, url, it, by)),
            ..CodeAction::default()
        }
    });
    each.collect()
}

/// Whether a client that asks for some kinds of actions wants this one. A kind holds those below it.
pub fn wanted(only: Option<&Vec<CodeActionKind>>, kind: &CodeActionKind) -> bool {
    let holds = |outer: &CodeActionKind| {
        let rest = kind.as_str().strip_prefix(outer.as_str());
        outer.as_str().is_empty() || rest.is_some_and(|it| it.is_empty() || it.starts_with('.'))
    };
    only.is_none_or(|it| it.iter().any(holds))
}

/// The edits of a plan, for the version that is open now.
pub fn plan(state: &State, offer: &Offer) -> Option<WorkspaceEdit> {
    let url = state.url_of(&offer.path)?;
    let index = Index::of(&offer.text, state.encoding);
    let edits = offer.edits.iter().map(|(span, text)| TextEdit::new(index.range(*span), text.clone()));
    if !state.offered.versions {
        return Some(WorkspaceEdit::new([(url, edits.collect())].into()));
    }
    let version = state.open.get(&offer.path).map(|it| it.1);
    let edit = TextDocumentEdit {
        text_document: OptionalVersionedTextDocumentIdentifier { uri: url, version },
        edits: edits.map(OneOf::Left).collect(),
    };
    Some(WorkspaceEdit { document_changes: Some(DocumentChanges::Edits(vec![edit])), ..Default::default() })
}

/// An entry of the outline.
pub fn symbol(index: &Index<'_>, it: &Symbol) -> DocumentSymbol {
    let children: Vec<DocumentSymbol> = it.children.iter().map(|it| symbol(index, it)).collect();
    let kind = match it.lead.as_str() {
        "part" | "module" => SymbolKind::CLASS,
        "family" | "scheme" | "kind" => SymbolKind::INTERFACE,
        "vehicle" | "person" => SymbolKind::OBJECT,
        "conversion" | "way" => SymbolKind::PACKAGE,
        "place" | "option" | "zone" => SymbolKind::PROPERTY,
        "face" | "plug" | "port" | "mount" | "link" | "opening" => SymbolKind::FIELD,
        "source" => SymbolKind::FILE,
        "rule" => SymbolKind::EVENT,
        _ => SymbolKind::VARIABLE,
    };
    #[allow(deprecated, reason = "the type demands the old field beside the new one")]
    DocumentSymbol {
        name: it.name.clone(),
        detail: Some(it.detail.clone()),
        kind,
        tags: None,
        deprecated: None,
        range: index.range(it.span),
        selection_range: index.range(it.name_span),
        children: (!children.is_empty()).then_some(children),
    }
}

/// A proposal.
pub fn completion(it: Proposal) -> CompletionItem {
    CompletionItem {
        label: it.text,
        detail: (!it.detail.is_empty()).then_some(it.detail),
        kind: Some(match it.sort {
            Sort::Word => CompletionItemKind::KEYWORD,
            Sort::Name => CompletionItemKind::REFERENCE,
            Sort::Place => CompletionItemKind::PROPERTY,
            Sort::Unit => CompletionItemKind::UNIT,
            Sort::Function => CompletionItemKind::FUNCTION,
        }),
        ..CompletionItem::default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn offsets_and_positions_go_both_ways_in_each_encoding() {
        let text = "a µ𝄞b\r\nc\rd";
        for encoding in [Encoding::Utf8, Encoding::Utf16, Encoding::Utf32] {
            let index = Index::of(text, encoding);
            for (offset, it) in text.char_indices().filter(|(_, it)| !it.is_control()) {
                let position = index.position(offset as u32);
                assert_eq!(index.offset(position), offset as u32, "{it} in {encoding:?}");
            }
        }
        let index = Index::of(text, Encoding::Utf16);
        assert_eq!(index.position(8), Position::new(0, 5));
        assert_eq!(index.offset(Position::new(0, 99)), 9);
        assert_eq!(index.offset(Position::new(99, 0)), text.len() as u32);
    }

    #[test]
    fn a_kind_holds_those_below_it() {
        let kind = CodeActionKind::REFACTOR_REWRITE;
        let wanted = |only: &[CodeActionKind]| wanted(Some(&only.to_vec()), &kind);
        assert!(super::wanted(None, &kind) && wanted(&[CodeActionKind::EMPTY]));
        assert!(
            wanted(&[CodeActionKind::QUICKFIX, CodeActionKind::REFACTOR])
                && wanted(std::slice::from_ref(&kind))
        );
        assert!(
            !wanted(&[]) && !wanted(&[CodeActionKind::QUICKFIX]) && !wanted(&[CodeActionKind::new("refac")])
        );
    }
}

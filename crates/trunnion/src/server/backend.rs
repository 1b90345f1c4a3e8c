//! The handlers. Each puts a job in the queue; requests wait for its answer.

use std::path::PathBuf;
use std::sync::mpsc::Sender;

use tokio::sync::oneshot;
use tower_lsp::jsonrpc::{Error, ErrorCode, Result};
use tower_lsp::lsp_types::*;
use tower_lsp::{Client, LanguageServer, async_trait};

use trunnion_ide::plan::Wish;

use super::convert::{self, Encoding, Index};
use super::planning::{self, COMMAND, Offered};
use super::worker::{Job, State, start};

/// The server: the end of the queue.
pub struct Backend {
    client: Client,
    queue: Sender<Job>,
}

impl Backend {
    /// Starts the thread that owns the session.
    pub fn new(client: Client) -> Self {
        Self { queue: start(client.clone()), client }
    }

    /// The user stops work that shows its progress.
    pub async fn cancel(&self, params: WorkDoneProgressCancelParams) {
        self.tell(move |state| planning::cancel(state, &params.token));
    }

    /// Puts a job in the queue; called before a handler first waits.
    fn tell(&self, job: impl FnOnce(&mut State) + Send + 'static) {
        // The thread is gone only when the program is ending.
        let _ = self.queue.send(Box::new(job));
    }

    /// Puts a job in the queue and waits for its answer.
    async fn ask<T: Send + 'static>(&self, job: impl FnOnce(&mut State) -> T + Send + 'static) -> Result<T> {
        let (sender, answer) = oneshot::channel();
        self.tell(move |state| {
            let _ = sender.send(job(state));
        });
        answer.await.map_err(|_| Error {
            code: ErrorCode::InternalError,
            message: "This could not be answered; the texts are kept.".into(),
            data: None,
        })
    }
}

fn roots(params: &InitializeParams) -> Vec<PathBuf> {
    let folders = params.workspace_folders.iter().flatten().filter_map(|it| it.uri.to_file_path().ok());
    let mut roots: Vec<PathBuf> = folders.collect();
    #[allow(deprecated, reason = "older clients send only this")]
    if roots.is_empty() {
        roots.extend(params.root_uri.as_ref().and_then(|it| it.to_file_path().ok()));
    }
    roots.into_iter().map(|it| it.canonicalize().unwrap_or(it)).collect()
}

fn capabilities(encoding: Encoding) -> ServerCapabilities {
    let sync = TextDocumentSyncOptions {
        open_close: Some(true),
        change: Some(TextDocumentSyncKind::INCREMENTAL),
        save: Some(TextDocumentSyncSaveOptions::Supported(true)),
        ..TextDocumentSyncOptions::default()
    };
    ServerCapabilities {
        position_encoding: Some(encoding.kind()),
        text_document_sync: Some(TextDocumentSyncCapability::Options(sync)),
        hover_provider: Some(HoverProviderCapability::Simple(true)),
        definition_provider: Some(OneOf::Left(true)),
        document_symbol_provider: Some(OneOf::Left(true)),
        document_formatting_provider: Some(OneOf::Left(true)),
        code_action_provider: Some(CodeActionProviderCapability::Options(CodeActionOptions {
            code_action_kinds: Some(vec![CodeActionKind::QUICKFIX, CodeActionKind::REFACTOR_REWRITE]),
            ..CodeActionOptions::default()
        })),
        code_lens_provider: Some(CodeLensOptions { resolve_provider: Some(false) }),
        execute_command_provider: Some(ExecuteCommandOptions {
            commands: vec![COMMAND.to_owned()],
            ..ExecuteCommandOptions::default()
        }),
        diagnostic_provider: Some(DiagnosticServerCapabilities::Options(DiagnosticOptions {
            identifier: Some("trunnion".to_owned()),
            inter_file_dependencies: true,
            workspace_diagnostics: false,
            ..DiagnosticOptions::default()
        })),
        completion_provider: Some(CompletionOptions::default()),
        workspace: Some(WorkspaceServerCapabilities {
            workspace_folders: Some(WorkspaceFoldersServerCapabilities {
                supported: Some(true),
                change_notifications: Some(OneOf::Left(true)),
            }),
            file_operations: None,
        }),
        ..ServerCapabilities::default()
    }
}

/// Each root with the prefix of its paths; a single root needs none.
fn prefixed(roots: Vec<PathBuf>) -> Vec<(PathBuf, String)> {
    let single = roots.len() < 2;
    let prefix = |nth: usize| if single { String::new() } else { format!("root{nth}/") };
    roots.into_iter().enumerate().map(|(nth, root)| (root, prefix(nth + 1))).collect()
}

#[async_trait]
impl LanguageServer for Backend {
    async fn initialize(&self, params: InitializeParams) -> Result<InitializeResult> {
        let offered = params.capabilities.general.as_ref().and_then(|it| it.position_encodings.as_ref());
        let encoding = Encoding::among(offered);
        let roots = roots(&params);
        let offered = Offered::by(&params.capabilities);
        let lens = params.capabilities.workspace.as_ref().and_then(|it| it.code_lens.as_ref());
        let refreshes_lenses = lens.and_then(|it| it.refresh_support).unwrap_or_default();
        self.tell(move |state| {
            state.encoding = encoding;
            state.offered = offered;
            state.refreshes_lenses = refreshes_lenses;
            state.roots = prefixed(roots);
            state.load();
        });
        Ok(InitializeResult {
            capabilities: capabilities(encoding),
            server_info: Some(ServerInfo {
                name: "trunnion".to_owned(),
                version: Some(env!("CARGO_PKG_VERSION").to_owned()),
            }),
        })
    }

    async fn shutdown(&self) -> Result<()> {
        Ok(())
    }

    async fn did_open(&self, params: DidOpenTextDocumentParams) {
        let document = params.text_document;
        self.tell(move |state| {
            let path = state.path_of(&document.uri);
            state.open.insert(path.clone(), (document.uri, document.version));
            state.session.edit(&path, document.text);
            state.dirty = true;
        });
    }

    async fn did_change(&self, params: DidChangeTextDocumentParams) {
        self.tell(move |state| {
            let path = state.path_of(&params.text_document.uri);
            let mut text = state.session.text(&path).unwrap_or_default().to_owned();
            for change in params.content_changes {
                match change.range {
                    Some(range) => {
                        let span = Index::of(&text, state.encoding).span(range);
                        text.replace_range(span.range(), &change.text);
                    }
                    None => text = change.text,
                }
            }
            if let Some(open) = state.open.get_mut(&path) {
                open.1 = params.text_document.version;
            }
            state.session.edit(&path, text);
            state.dirty = true;
        });
    }

    async fn did_close(&self, params: DidCloseTextDocumentParams) {
        self.tell(move |state| {
            let path = state.path_of(&params.text_document.uri);
            state.open.remove(&path);
            state.session.close(&path);
            state.dirty = true;
        });
    }

    async fn did_save(&self, params: DidSaveTextDocumentParams) {
        self.tell(move |state| {
            let path = state.path_of(&params.text_document.uri);
            if let Some(text) = state.session.text(&path).map(str::to_owned) {
                state.session.disk_changed(&path, Some(text));
            }
        });
    }

    async fn did_change_watched_files(&self, params: DidChangeWatchedFilesParams) {
        self.tell(move |state| {
            for change in params.changes {
                let path = state.path_of(&change.uri);
                let gone = change.typ == FileChangeType::DELETED;
                let file = change.uri.to_file_path().ok().filter(|_| !gone);
                let text = file.and_then(|it| crate::load::text(&it));
                state.session.disk_changed(&path, text);
            }
            state.dirty = true;
        });
    }

    async fn did_change_workspace_folders(&self, params: DidChangeWorkspaceFoldersParams) {
        self.tell(move |state| {
            let gone: Vec<PathBuf> =
                params.event.removed.iter().filter_map(|it| it.uri.to_file_path().ok()).collect();
            let mut roots: Vec<PathBuf> = state.roots.iter().map(|it| it.0.clone()).collect();
            roots.retain(|it| !gone.contains(it));
            roots.extend(params.event.added.iter().filter_map(|it| it.uri.to_file_path().ok()));
            // Paths count from the roots: everything is named anew.
            let texts: Vec<(Url, i32, String)> = state
                .open
                .iter()
                .filter_map(|(path, (url, version))| {
                    Some((url.clone(), *version, state.session.text(path)?.to_owned()))
                })
                .collect();
            state.session = trunnion_ide::Session::new();
            state.roots = prefixed(roots);
            state.open.clear();
            state.load();
            for (url, version, text) in texts {
                let path = state.path_of(&url);
                state.open.insert(path.clone(), (url, version));
                state.session.edit(&path, text);
            }
        });
    }

    async fn hover(&self, params: HoverParams) -> Result<Option<Hover>> {
        let at = params.text_document_position_params;
        self.ask(move |state| {
            let path = state.path_of(&at.text_document.uri);
            let index = Index::of(state.session.text(&path)?, state.encoding);
            let hover = state.session.hover(&path, index.offset(at.position))?;
            Some(Hover {
                range: hover.span.map(|it| index.range(it)),
                contents: HoverContents::Markup(MarkupContent {
                    kind: MarkupKind::Markdown,
                    value: hover.text,
                }),
            })
        })
        .await
    }

    async fn goto_definition(&self, params: GotoDefinitionParams) -> Result<Option<GotoDefinitionResponse>> {
        let at = params.text_document_position_params;
        self.ask(move |state| {
            let path = state.path_of(&at.text_document.uri);
            let index = Index::of(state.session.text(&path)?, state.encoding);
            let found = state.session.definition(&path, index.offset(at.position));
            let found: Vec<Location> =
                found.iter().filter_map(|it| convert::location(state, &it.path, it.span)).collect();
            (!found.is_empty()).then_some(GotoDefinitionResponse::Array(found))
        })
        .await
    }

    async fn document_symbol(&self, params: DocumentSymbolParams) -> Result<Option<DocumentSymbolResponse>> {
        self.ask(move |state| {
            let path = state.path_of(&params.text_document.uri);
            let index = Index::of(state.session.text(&path)?, state.encoding);
            let symbols = state.session.symbols(&path);
            let symbols = symbols.iter().map(|it| convert::symbol(&index, it)).collect();
            Some(DocumentSymbolResponse::Nested(symbols))
        })
        .await
    }

    async fn formatting(&self, params: DocumentFormattingParams) -> Result<Option<Vec<TextEdit>>> {
        self.ask(move |state| {
            let path = state.path_of(&params.text_document.uri);
            let text = state.session.text(&path)?;
            let tidied = state.session.format(&path)?;
            if tidied == text {
                return Some(Vec::new());
            }
            let whole = trunnion_syntax::tree::Span::new(0, text.len() as u32);
            Some(vec![TextEdit::new(Index::of(text, state.encoding).range(whole), tidied)])
        })
        .await
    }

    async fn code_action(&self, params: CodeActionParams) -> Result<Option<CodeActionResponse>> {
        self.ask(move |state| {
            let path = state.path_of(&params.text_document.uri);
            let index = Index::of(state.session.text(&path)?, state.encoding);
            let (range, context) = (index.span(params.range), params.context);
            let mut actions = Vec::new();
            if convert::wanted(context.only.as_ref(), &CodeActionKind::QUICKFIX) {
                let ways_out = state.session.actions(&path, range).into_iter();
                actions.extend(ways_out.map(|it| convert::action(state, it, &context.diagnostics)));
            }
            if convert::wanted(context.only.as_ref(), &CodeActionKind::REFACTOR_REWRITE) {
                let conversions = state.session.conversions_at(&path, range);
                let url = &params.text_document.uri;
                actions.extend(conversions.iter().flat_map(|it| convert::plans(&path, url, it)));
            }
            Some(actions.into_iter().map(CodeActionOrCommand::CodeAction).collect())
        })
        .await
    }

    async fn code_lens(&self, params: CodeLensParams) -> Result<Option<Vec<CodeLens>>> {
        self.ask(move |state| {
            let url = params.text_document.uri;
            let path = state.path_of(&url);
            let index = Index::of(state.session.text(&path)?, state.encoding);
            let conversions = state.session.conversions(&path);
            Some(conversions.iter().flat_map(|it| convert::lenses(&index, &url, it)).collect())
        })
        .await
    }

    async fn execute_command(&self, params: ExecuteCommandParams) -> Result<Option<serde_json::Value>> {
        let (url, conversion, way) = planning::arguments(&params)?;
        let (client, queue) = (self.client.clone(), self.queue.clone());
        self.ask(move |state| {
            let wish = Wish { path: state.path_of(&url), conversion, way };
            planning::begin(state, wish, client, queue);
        })
        .await?;
        Ok(None)
    }

    async fn diagnostic(&self, params: DocumentDiagnosticParams) -> Result<DocumentDiagnosticReportResult> {
        let items = self.ask(move |state| {
            let path = state.path_of(&params.text_document.uri);
            convert::diagnostics(state, &path)
        });
        let report = FullDocumentDiagnosticReport { result_id: None, items: items.await? };
        let full = RelatedFullDocumentDiagnosticReport {
            related_documents: None,
            full_document_diagnostic_report: report,
        };
        Ok(DocumentDiagnosticReportResult::Report(DocumentDiagnosticReport::Full(full)))
    }

    async fn completion(&self, params: CompletionParams) -> Result<Option<CompletionResponse>> {
        let at = params.text_document_position;
        self.ask(move |state| {
            let path = state.path_of(&at.text_document.uri);
            let index = Index::of(state.session.text(&path)?, state.encoding);
            let proposals = state.session.complete(&path, index.offset(at.position));
            Some(CompletionResponse::Array(proposals.into_iter().map(convert::completion).collect()))
        })
        .await
    }
}

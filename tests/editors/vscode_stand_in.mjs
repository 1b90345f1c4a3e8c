// A stand-in for the module `vscode`, with as much of it as a language client touches while it starts a
// server, opens documents and takes diagnostics. Types that only carry values are plain classes; events
// that nothing here raises never fire.

class Uri {
  constructor(href) {
    const url = new URL(href);
    this.scheme = url.protocol.slice(0, -1);
    this.authority = url.host;
    this.path = decodeURIComponent(url.pathname);
    this.fsPath = this.path;
    this.href = href;
  }
  static parse(href) {
    return new Uri(href);
  }
  static file(path) {
    return new Uri(`file://${path}`);
  }
  with() {
    return this;
  }
  toString() {
    return this.href;
  }
}

class Position {
  constructor(line, character) {
    Object.assign(this, { line, character });
  }
}

class Range {
  constructor(...at) {
    const [start, end] = at.length === 4 ? [new Position(at[0], at[1]), new Position(at[2], at[3])] : at;
    Object.assign(this, { start, end });
  }
}

class TextEdit {
  constructor(range, newText) {
    Object.assign(this, { range, newText });
  }
}

class WorkspaceEdit {
  entries = [];
  set(uri, edits) {
    this.entries.push([uri.toString(), edits]);
  }
}

class Diagnostic {
  constructor(range, message, severity) {
    Object.assign(this, { range, message, severity });
  }
}

class Location {
  constructor(uri, range) {
    Object.assign(this, { uri, range });
  }
}

class CodeLens {
  constructor(range) {
    Object.assign(this, { range });
  }
}

class CodeAction {
  constructor(title) {
    Object.assign(this, { title });
  }
}

class EventEmitter {
  listeners = new Set();
  event = (listener) => {
    this.listeners.add(listener);
    return { dispose: () => this.listeners.delete(listener) };
  };
  fire(value) {
    for (const it of this.listeners) it(value);
  }
  dispose() {
    this.listeners.clear();
  }
}

class CancellationTokenSource {
  token = { isCancellationRequested: false, onCancellationRequested: () => nothing() };
  cancel() {}
  dispose() {}
}

class Disposable {
  constructor(run) {
    this.run = run;
  }
  dispose() {
    this.run?.();
  }
  static from(...all) {
    return new Disposable(() => all.forEach((it) => it.dispose()));
  }
}

const nothing = () => ({ dispose() {} });

/** A class whose instances hold nothing and whose constants are their own names. */
function plain(name) {
  const made = { [name]: class {} }[name];
  return new Proxy(made, { get: (target, key) => (key in target || typeof key === "symbol" ? target[key] : String(key)) });
}

const OTHERS = `
  CallHierarchyIncomingCall CallHierarchyItem CallHierarchyOutgoingCall CancellationError CodeActionKind
  CodeActionTriggerKind Color ColorInformation ColorPresentation CompletionItem CompletionItemKind
  CompletionItemTag CompletionList CompletionTriggerKind DiagnosticRelatedInformation DiagnosticTag DocumentHighlight
  DocumentHighlightKind DocumentLink DocumentSymbol FileType FoldingRange FoldingRangeKind Hover InlayHint
  InlayHintLabelPart InlineCompletionItem InlineCompletionList InlineCompletionTriggerKind InlineValueEvaluatableExpression
  InlineValueText InlineValueVariableLookup LinkedEditingRanges LogLevel MarkdownString NotebookCellKind
  ParameterInformation ProgressLocation RelativePattern SelectionRange SemanticTokens SemanticTokensEdit
  SemanticTokensEdits SignatureHelp SignatureHelpTriggerKind SignatureInformation SnippetString SnippetTextEdit
  SymbolInformation SymbolKind SymbolTag TabInputCustom TabInputNotebook TabInputText TabInputTextDiff
  TextDocumentSaveReason TypeHierarchyItem
`.trim().split(/\s+/);

/** An object with some members of its own; every other member is an event or a registration that does nothing. */
function quiet(own) {
  return new Proxy(own, { get: (target, key) => (key in target || typeof key === "symbol" || key === "then" ? target[key] : nothing) });
}

export function standIn({ workspace, settings, documents }) {
  const diagnostics = new Map();
  const commands = new Map();
  const told = [];
  const messages = [];
  const applied = [];
  const progress = [];
  const providers = {};
  const open = documents.map((it) => ({
    uri: Uri.parse(it.uri),
    languageId: it.languageId,
    version: it.version,
    lineCount: it.text.split("\n").length,
    isClosed: false,
    getText: () => it.text,
  }));
  const read = (section) => (key, other) => settings[section ? `${section}.${key}` : key] ?? other;
  const channel = quiet({ name: "Trunnion", logLevel: 2 });
  const own = {
    Uri, Position, Range, TextEdit, WorkspaceEdit, Diagnostic, Location, CodeLens, CodeAction, EventEmitter, CancellationTokenSource, Disposable,
    DiagnosticSeverity: { Error: 0, Warning: 1, Information: 2, Hint: 3 },
    version: "1.100.0",
    env: quiet({ appName: "a stand-in", language: "en", machineId: "none" }),
    extensions: quiet({ all: [], getExtension: () => undefined }),
    notebooks: quiet({}),
    workspace: quiet({
      textDocuments: open,
      notebookDocuments: [],
      workspaceFolders: [{ uri: Uri.parse(workspace), name: "workspace", index: 0 }],
      getWorkspaceFolder: () => undefined,
      getConfiguration: (section) => ({ get: read(section), has: () => false, inspect: () => undefined }),
      createFileSystemWatcher: () => quiet({}),
      applyEdit: async (edit) => Boolean(applied.push(edit)),
      isTrusted: true,
    }),
    window: quiet({
      visibleTextEditors: [],
      activeTextEditor: undefined,
      tabGroups: quiet({ all: [], activeTabGroup: { tabs: [] } }),
      createOutputChannel: () => channel,
      showErrorMessage: async (message) => void told.push(message),
      showWarningMessage: async (message) => void told.push(message),
      showInformationMessage: async (message) => void messages.push(message),
      withProgress: ({ title }, run) => {
        progress.push(title);
        return run({ report() {} }, new CancellationTokenSource().token);
      },
    }),
    commands: quiet({
      registerCommand: (name, run) => {
        commands.set(name, run);
        return { dispose: () => commands.delete(name) };
      },
      executeCommand: async () => undefined,
    }),
    languages: quiet({
      registerCodeLensProvider: (_, provider) => ((providers.lens = provider), nothing()),
      registerCodeActionsProvider: (_, provider) => ((providers.action = provider), nothing()),
      match: (selector, document) => {
        const all = Array.isArray(selector) ? selector : [selector];
        return all.some((it) => it.language === document.languageId && (!it.scheme || it.scheme === document.uri.scheme)) ? 10 : 0;
      },
      createDiagnosticCollection: () => ({
        set: (uri, found) => void diagnostics.set(uri.toString(), found ?? []),
        delete: (uri) => void diagnostics.delete(uri.toString()),
        has: (uri) => diagnostics.has(uri.toString()),
        get: (uri) => diagnostics.get(uri.toString()),
        clear: () => diagnostics.clear(),
        forEach: () => {},
        dispose: () => {},
      }),
    }),
  };
  const vscode = Object.fromEntries(OTHERS.map((name) => [name, plain(name)]));
  Object.assign(vscode, own);
  return { vscode, diagnostics, commands, told, messages, applied, progress, providers, open };
}

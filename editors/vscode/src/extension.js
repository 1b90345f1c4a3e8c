// Starts `trunnion lsp` and keeps it running. All that it knows about specifications is in the server.

const { commands, window, workspace } = require("vscode");
const { LanguageClient, TransportKind } = require("vscode-languageclient/node");

let client;
// Starting and stopping happen one after the other, however fast they are asked for.
let queue = Promise.resolve();

function next(step) {
  queue = queue.then(step, step);
  return queue;
}

async function start() {
  const command = workspace.getConfiguration("trunnion").get("server.path") || "trunnion";
  const run = { command, args: ["lsp"], transport: TransportKind.stdio };
  const made = new LanguageClient(
    "trunnion",
    "Trunnion",
    { run, debug: run },
    {
      documentSelector: [
        { language: "trunnion", scheme: "file" },
        { language: "trunnion", scheme: "untitled" },
      ],
      synchronize: { fileEvents: workspace.createFileSystemWatcher("**/*.trunnion") },
    },
  );
  try {
    await made.start();
    client = made;
  } catch (why) {
    await made.dispose().catch(() => {});
    const open = "Open the setting";
    window
      .showErrorMessage(
        `The Trunnion language server could not be started as \`${command} lsp\`: ${why.message ?? why}. ` +
          "Install the trunnion program, or name its full path in the setting trunnion.server.path.",
        open,
      )
      .then((picked) => picked === open && commands.executeCommand("workbench.action.openSettings", "trunnion.server.path"));
  }
}

async function stop() {
  const running = client;
  client = undefined;
  await running?.dispose();
}

async function restart() {
  await stop();
  await start();
}

async function activate(context) {
  context.subscriptions.push(
    commands.registerCommand("trunnion.restart", () => next(restart)),
    workspace.onDidChangeConfiguration((change) => {
      if (change.affectsConfiguration("trunnion.server.path")) next(restart);
    }),
  );
  await next(start);
}

function deactivate() {
  return next(stop);
}

module.exports = { activate, deactivate };

"""A bare LSP client: speaks JSON-RPC to a server over its standard input and output, and keeps what it hears.

Only the standard library is used. Every wait has an end.
"""

import json
import os
import queue
import subprocess
import threading
import time
from pathlib import Path
from urllib.parse import unquote, urlparse

PATIENCE = float(os.environ.get("TRUNNION_PATIENCE", "30"))  # seconds for one answer
QUIET = 0.7  # seconds without a further publication, after which diagnostics count as final


class Failure(Exception):
    """A test that did not find what it wants."""


def check(condition, what):
    if not condition:
        raise Failure(what)


class Answer(Exception):
    """An error answer to a request."""

    def __init__(self, error):
        super().__init__(f"{error.get('code')}: {error.get('message')}")
        self.code = error.get("code")


class Server:
    """One running server and what it has said so far."""

    def __init__(self, command, workspace, encodings=("utf-8", "utf-16"), start=True, offers=None):
        self.process = subprocess.Popen(
            command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=workspace
        )
        self.workspace = Path(workspace)
        self.last = 0
        self.answers = {}
        self.published = {}  # uri → list of (time, params)
        self.heard = []  # all else that the server said by itself: (method, params)
        self.replies = {}  # method → what the server is answered, given the parameters; else null
        self.offers = offers or {}  # what this client can do besides, by the path of its capability
        self.arrived = threading.Condition()
        self.errors = []
        self.outgoing = queue.Queue()
        for target in (self._read, self._complain, self._write):
            threading.Thread(target=target, daemon=True).start()
        self.capabilities = {}
        self.encoding = "utf-16"
        if start:
            self.initialize(encodings)

    def __enter__(self):
        return self

    def __exit__(self, *_):
        if self.process.poll() is None:
            self.process.kill()
        self.process.wait(timeout=10)

    # ---- the wire ----

    def _write(self):
        # A thread of its own: a server that does not read must not hold up this side.
        while True:
            body = self.outgoing.get()
            try:
                self.process.stdin.write(b"Content-Length: %d\r\n\r\n" % len(body) + body)
                self.process.stdin.flush()
            except (BrokenPipeError, ValueError, OSError):
                return

    def _read(self):
        stream = self.process.stdout
        while True:
            length = None
            while True:
                line = stream.readline()
                if not line:
                    with self.arrived:
                        self.arrived.notify_all()
                    return
                line = line.strip()
                if not line:
                    break
                name, _, value = line.partition(b":")
                if name.lower() == b"content-length":
                    length = int(value)
            if length is None:
                self.errors.append("a message without Content-Length")
                return
            body = stream.read(length)
            if len(body) < length:  # the server was ended in the middle of a message
                return
            self._take(json.loads(body))

    def _complain(self):
        for line in self.process.stderr:
            self.errors.append(line.decode("utf-8", "replace").rstrip())

    def _take(self, message):
        with self.arrived:
            if "method" in message and "id" in message:
                wanted = message.get("params", {}).get("items", []) if message["method"] == "workspace/configuration" else None
                result = [None] * len(wanted) if wanted is not None else None
                self.heard.append((message["method"], message.get("params")))
                if message["method"] in self.replies:
                    result = self.replies[message["method"]](message.get("params"))
                self.send({"id": message["id"], "result": result})
            elif "method" in message:
                if message["method"] == "textDocument/publishDiagnostics":
                    params = message["params"]
                    self.published.setdefault(params["uri"], []).append((time.monotonic(), params))
                else:
                    self.heard.append((message["method"], message.get("params")))
            else:
                self.answers[message.get("id")] = message
            self.arrived.notify_all()

    def send(self, message):
        self.raw(json.dumps({"jsonrpc": "2.0", **message}, ensure_ascii=False).encode("utf-8"))

    def raw(self, body):
        self.outgoing.put(body)

    def _wait(self, ready, what, patience=None):
        patience = PATIENCE if patience is None else patience
        end = time.monotonic() + patience
        with self.arrived:
            while True:
                value = ready()
                if value is not None:
                    return value
                left = end - time.monotonic()
                gone = self.process.poll()
                if gone is not None:
                    raise Failure(f"the server ended with code {gone} while {what} was awaited; it said: {self.errors[-5:]}")
                if left <= 0:
                    raise Failure(f"{what} did not come in {patience:.0f} s; the server said: {self.errors[-5:]}")
                self.arrived.wait(min(left, 0.2))

    # ---- requests and notifications ----

    def ask(self, method, params=None):
        """Sends a request and does not wait."""
        self.last += 1
        message = {"id": self.last, "method": method}
        if params is not None:
            message["params"] = params
        self.send(message)
        return self.last

    def answer(self, number, what="an answer", patience=None):
        message = self._wait(lambda: self.answers.get(number), what, patience)
        if "error" in message:
            raise Answer(message["error"])
        return message.get("result")

    def request(self, method, params=None):
        return self.answer(self.ask(method, params), f"the answer to {method}")

    def tell(self, method, params=None):
        message = {"method": method}
        if params is not None:
            message["params"] = params
        self.send(message)

    def hear(self, method, wanted=lambda _: True, what=None):
        """Waits for something that the server says by itself."""
        def said():
            found = [params for name, params in self.heard if name == method and wanted(params)]
            return (found[0],) if found else None

        return self._wait(said, what or method)[0]

    def said(self, method):
        """What the server has said by itself so far."""
        with self.arrived:
            return [params for name, params in self.heard if name == method]

    def initialize(self, encodings=("utf-8", "utf-16")):
        general = {"positionEncodings": list(encodings)} if encodings else {}
        uri = self.workspace.as_uri()
        capabilities = {
            "general": general,
            "workspace": {"workspaceFolders": True, "configuration": True, "applyEdit": True,
                          "workspaceEdit": {"documentChanges": True}},
            "textDocument": {
                "publishDiagnostics": {"versionSupport": True, "relatedInformation": True, "tagSupport": {"valueSet": [1, 2]}},
                "hover": {"contentFormat": ["markdown", "plaintext"]},
                "definition": {"linkSupport": True},
                "documentSymbol": {"hierarchicalDocumentSymbolSupport": True},
                "codeAction": {
                    "codeActionLiteralSupport": {"codeActionKind": {"valueSet": ["", "quickfix", "refactor", "source"]}},
                    "dataSupport": True,
                    "resolveSupport": {"properties": ["edit"]},
                },
            },
        }
        for path, value in self.offers.items():
            *outer, last = path.split(".")
            at = capabilities
            for name in outer:
                at = at.setdefault(name, {})
            at[last] = value
        result = self.request(
            "initialize",
            {
                "processId": os.getpid(),
                "clientInfo": {"name": "lsp_session"},
                "rootUri": uri,
                "workspaceFolders": [{"uri": uri, "name": self.workspace.name}],
                "capabilities": capabilities,
            },
        )
        self.capabilities = result["capabilities"]
        self.encoding = self.capabilities.get("positionEncoding", "utf-16")
        self.tell("initialized", {})
        return result

    def uri(self, path):
        return (self.workspace / path).as_uri()

    def open(self, path, text=None, version=1):
        text = (self.workspace / path).read_text("utf-8") if text is None else text
        self.tell("textDocument/didOpen", {"textDocument": {"uri": self.uri(path), "languageId": "trunnion", "version": version, "text": text}})
        return Document(self, path, text, version)

    def diagnostics(self, path, version=None, since=0.0):
        """The diagnostics of a file once they have come for this version and nothing follows them."""
        uri = self.uri(path)

        def settled():
            heard = [it for it in self.published.get(uri, []) if it[0] >= since]
            if not heard:
                return None
            at, params = heard[-1]
            if version is not None and params.get("version") != version:
                return None
            return params if time.monotonic() - at >= QUIET else None

        seen = [it[1].get("version") for it in self.published.get(uri, [])][-3:]
        what = f"the diagnostics of {path} for version {version} (seen so far: {seen})"
        return self._wait(settled, what)["diagnostics"]

    def end(self):
        self.request("shutdown")
        self.tell("exit")
        return self.process.wait(timeout=PATIENCE)


class Document:
    """An open document: its text here is what the server should have."""

    def __init__(self, server, path, text, version):
        self.server, self.path, self.text, self.version = server, path, text, version

    @property
    def uri(self):
        return self.server.uri(self.path)

    @property
    def id(self):
        return {"textDocument": {"uri": self.uri}}

    def position(self, at):
        """The place of a character offset, in the server's encoding."""
        lines = self.text[:at].split("\n")
        return {"line": len(lines) - 1, "character": units(lines[-1], self.server.encoding)}

    def offset(self, position):
        return offset(self.text, position, self.server.encoding)

    def slice(self, range_):
        return self.text[self.offset(range_["start"]):self.offset(range_["end"])]

    def at(self, needle, within=0, nth=0):
        """A request's parameters for the place of some text."""
        start = -1
        for _ in range(nth + 1):
            start = self.text.index(needle, start + 1)
        return {**self.id, "position": self.position(start + within)}

    def change(self, *edits):
        """Applies edits (start, end, text), one after the other, in one notification."""
        changes = []
        for start, end, new in edits:
            changes.append({"range": {"start": self.position(start), "end": self.position(end)}, "text": new})
            self.text = self.text[:start] + new + self.text[end:]
        self.version += 1
        self.server.tell(
            "textDocument/didChange",
            {"textDocument": {"uri": self.uri, "version": self.version}, "contentChanges": changes},
        )

    def apply(self, edits):
        """Applies the server's text edits as an editor does."""
        spans = sorted(((self.offset(it["range"]["start"]), self.offset(it["range"]["end"]), it["newText"]) for it in edits), key=lambda it: it[:2])
        for (_, end, _), (start, _, _) in zip(spans, spans[1:]):
            check(end <= start, "two of the server's edits overlap")
        self.change(*reversed(spans))

    def close(self):
        self.server.tell("textDocument/didClose", self.id)

    def diagnostics(self, since=0.0):
        return self.server.diagnostics(self.path, self.version, since)


def units(text, encoding):
    if encoding == "utf-8":
        return len(text.encode("utf-8"))
    if encoding == "utf-16":
        return len(text.encode("utf-16-le")) // 2
    return len(text)


def offset(text, position, encoding):
    lines = text.split("\n")
    check(position["line"] < len(lines), f"line {position['line']} of a text of {len(lines)} lines")
    line = lines[position["line"]]
    before = sum(len(it) + 1 for it in lines[: position["line"]])
    for count in range(len(line) + 1):
        if units(line[:count], encoding) == position["character"]:
            return before + count
    raise Failure(f"character {position['character']} is inside a character, or past the end, of line {position['line']} in {encoding}")


def comparable(diagnostics):
    """Diagnostics in an order of their own, without what only the server reads."""
    return sorted(json.dumps({key: value for key, value in it.items() if key != "data"}, sort_keys=True, ensure_ascii=False) for it in diagnostics)


def difference(one, other):
    only = [it for it in one if it not in other][:2]
    missing = [it for it in other if it not in one][:2]
    return f"only here: {only}; only in a fresh server: {missing}"


def edits_of(edit, uri):
    """The text edits of a workspace edit for one document."""
    found = list((edit.get("changes") or {}).get(uri, []))
    for change in edit.get("documentChanges") or []:
        if change.get("textDocument", {}).get("uri") == uri:
            found.extend(change["edits"])
    return found


def file_of(uri):
    return Path(unquote(urlparse(uri).path))

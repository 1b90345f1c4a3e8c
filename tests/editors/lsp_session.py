#!/usr/bin/env python3
"""Talks to `trunnion lsp` as an editor does, over standard input and output, and tells how it answers.

    python3 tests/editors/lsp_session.py PATH_TO_BINARY [PART_OF_A_TEST_NAME]

Only the standard library is used. Every wait has an end. One line is printed for each test, and
`N passed, N failed` at the end; the exit code is 1 where one failed.
"""

import json
import os
import random
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import lsp_plan
from lsp_client import PATIENCE, Answer, Failure, Server, check, comparable, difference, edits_of, file_of

ROOT = Path(__file__).resolve().parents[2]
EXAMPLE = ROOT / "examples" / "easy_van"
FIRST = Path("first_written") / "easy_van.trunnion"

METHOD_NOT_FOUND = -32601

TESTS = []


def test(run):
    TESTS.append(run)
    return run


@test
def initialize_names_what_it_can(bench):
    with bench.server(start=False) as server:
        result = server.initialize()
        can = result["capabilities"]
        for name in ("hoverProvider", "definitionProvider", "documentFormattingProvider", "documentSymbolProvider", "codeActionProvider"):
            check(can.get(name) not in (None, False), f"no {name}")
        sync = can.get("textDocumentSync")
        kind = sync if isinstance(sync, int) else (sync or {}).get("change")
        check(kind == 2, f"documents are synchronised as {sync!r}, not by edits")
        check(result.get("serverInfo", {}).get("name"), "the server does not say its name")


@test
def position_encoding_is_one_that_the_client_offers(bench):
    for offered, allowed in (
        (("utf-8", "utf-16"), {"utf-8", "utf-16"}),
        (("utf-8",), {"utf-8", "utf-16"}),  # utf-16 is always allowed by the protocol
        (("utf-16",), {"utf-16"}),
        ((), {"utf-16"}),
    ):
        with bench.server(encodings=offered) as server:
            check(server.encoding in allowed, f"offered {offered}, took {server.encoding}")
    with bench.server(encodings=("utf-8", "utf-16")) as server:
        check(server.encoding == "utf-8", f"utf-8 was offered first, {server.encoding} was taken")


@test
def positions_count_in_the_agreed_encoding(bench):
    text = 'kind 𝛀_adaptor "Ω" {\n  asks mass\n}\npart plate "Ω 𝛀 é" is 𝛀_adaptor { mass 3 kg }\n'
    for encodings in (("utf-8",), ("utf-16",)):
        with bench.server(encodings=encodings) as server:
            document = server.open("letters.trunnion", text)
            found = server.request("textDocument/definition", document.at("𝛀_adaptor", within=3, nth=1))
            one = found[0] if isinstance(found, list) and found else found
            check(one, f"no definition in {server.encoding}")
            range_ = one.get("targetSelectionRange") or one["range"]
            said = document.slice(range_)
            check("𝛀_adaptor" in said and range_["start"]["line"] == 0, f"the definition is said to be at {said!r} in {server.encoding}")


@test
def opening_publishes_diagnostics_with_their_version(bench):
    with bench.server() as server:
        document = server.open(FIRST, version=7)
        found = document.diagnostics()
        check(any(it.get("severity") == 1 for it in found), f"no clash in {FIRST}: {[it.get('message') for it in found]}")
        for it in found:
            check(it.get("message"), "a diagnostic without a message")
            check(it.get("code"), f"no name of a check: {it['message']}")
            document.slice(it["range"])
        document.change((0, 0, "// one more line\n"))
        check(len(document.diagnostics()) == len(found), "a comment changes the verdicts")


@test
def two_hundred_edits_in_a_row_end_where_a_fresh_server_begins(bench):
    for encoding in ("utf-8", "utf-16"):
        dice = random.Random(20260302)
        with bench.server(encodings=(encoding,)) as server:
            document = server.open(FIRST)
            asked, undo = [], []
            for nth in range(200):
                start, end, piece = stir(document.text, dice)
                undo.append((start, start + len(piece), document.text[start:end]))
                document.change((start, end, piece))
                if nth % 20 == 10:
                    asked.append(server.ask("textDocument/documentSymbol", document.id))
                    asked.append(server.ask("textDocument/hover", {**document.id, "position": {"line": 0, "character": 0}}))
            final = comparable(document.diagnostics())
            for number in asked:
                try:
                    server.answer(number, "an answer asked for between edits")
                except Answer as error:
                    check(error.code in (-32800, -32801, -32802), f"a request between edits failed: {error}")
            text, seen = document.text, all_of(document)
            # And back again: what was there at first must be there at last.
            for edit in reversed(undo):
                document.change(edit)
            back = comparable(document.diagnostics())
        with bench.server(encodings=(encoding,)) as server:
            document = server.open(FIRST, text)
            fresh = comparable(document.diagnostics())
            check(final == fresh, f"in {encoding}: {difference(final, fresh)}")
            check(seen == all_of(document), f"in {encoding}: the outline or the layout is not that of the same text")
        with bench.server(encodings=(encoding,)) as server:
            fresh = comparable(server.open(FIRST).diagnostics())
            check(back == fresh, f"undone in {encoding}: {difference(back, fresh)}")


def all_of(document):
    """What depends on every letter of a text: its outline, and its edits to the one layout."""
    options = {"options": {"tabSize": 2, "insertSpaces": True}}
    symbols = document.server.request("textDocument/documentSymbol", document.id)
    try:
        layout = document.server.request("textDocument/formatting", {**document.id, **options})
    except Answer as error:  # a text that cannot be read may be refused, the same way each time
        layout = error.code
    return json.dumps([symbols, layout], sort_keys=True, ensure_ascii=False)


def stir(text, dice):
    """One edit somewhere: words put in, figures changed, lines taken out, letters of every length."""
    at = dice.randrange(len(text) + 1)
    piece = dice.choice(["Ω", "𝛀", " 12 V", "\n", "{", "}", '"', "per bench", "// é\n", "mm", ",", "take gearbox from breaker\n", "é", ""])
    end = min(len(text), at + dice.choice([0, 0, 1, 3, 20]))
    return (at, end, piece)


@test
def several_edits_in_one_notification_are_applied_in_order(bench):
    with bench.server() as server:
        document = server.open(FIRST)
        before = comparable(document.diagnostics())
        at = document.text.index("budget")
        document.change((at, at, "recipient 𝛀\n  "), (at, at, "// Ω\n  "), (at, at + len("// Ω\n  recipient 𝛀\n  "), ""))
        check(comparable(document.diagnostics()) == before, "putting in and taking out again changes the verdicts")
        whole = document.text
        document.version += 1
        document.text = 'use "../vehicles"\n'
        server.tell("textDocument/didChange", {"textDocument": {"uri": document.uri, "version": document.version}, "contentChanges": [{"text": document.text}]})
        document.change((0, len(document.text), whole))
        check(comparable(document.diagnostics()) == before, "the whole text replaced and put back changes the verdicts")


@test
def unsaved_text_wins_over_the_file_on_disk(bench):
    with bench.server() as server:
        document = server.open(FIRST)
        before = comparable(document.diagnostics())
        disk = (server.workspace / "vehicles.trunnion").read_text("utf-8")
        since = time.monotonic()
        other = server.open("vehicles.trunnion", disk.replace("vehicle breaker", "vehicle another"))
        changed = comparable(server.diagnostics(FIRST, since=since))
        check(changed != before, "the donor was renamed in an unsaved file and no verdict changed")
        since = time.monotonic()
        other.close()
        check(comparable(server.diagnostics(FIRST, since=since)) == before, "after closing the unsaved file the verdicts are not those of the disk")


@test
def hover_tells_about_a_place_and_nothing_about_a_blank(bench):
    with bench.server() as server:
        document = server.open(FIRST)
        said = server.request("textDocument/hover", document.at("take gearbox,", within=7))
        check(said and said.get("contents"), "nothing is said about `gearbox`")
        contents = said["contents"]
        text = contents.get("value") if isinstance(contents, dict) else str(contents)
        check("gearbox" in text, f"the hover does not speak of the gearbox: {text!r}")
        if said.get("range"):
            check("gearbox" in document.slice(said["range"]), "the hover's range is not at the word")
        document.change((0, 0, "\n\n"))
        check(not server.request("textDocument/hover", {**document.id, "position": {"line": 0, "character": 0}}), "something is said about a blank line")


@test
def definition_leads_to_the_other_file(bench):
    with bench.server() as server:
        document = server.open(FIRST)
        found = server.request("textDocument/definition", document.at("donor breaker", within=8))
        one = found[0] if isinstance(found, list) and found else found
        check(one, "no definition of `breaker`")
        target = file_of(one.get("targetUri") or one["uri"])
        check(target == server.workspace / "vehicles.trunnion", f"it leads to {target}")
        line = (one.get("targetSelectionRange") or one["range"])["start"]["line"]
        check("vehicle breaker" in target.read_text("utf-8").split("\n")[line], f"it leads to line {line + 1}")


@test
def formatting_changes_blanks_only_and_is_stable(bench):
    with bench.server() as server:
        text = (server.workspace / FIRST).read_text("utf-8")
        untidy = text.replace("  recipient van", "        recipient    van   ").replace("\n  budget", "\n\n\n\n budget")
        document = server.open(FIRST, untidy)
        options = {"options": {"tabSize": 2, "insertSpaces": True}}
        edits = server.request("textDocument/formatting", {**document.id, **options})
        check(edits, "untidy text needs no edit")
        document.apply(edits)
        check("".join(document.text.split()) == "".join(untidy.split()), "formatting changes more than blanks")
        check("\n  recipient van\n" in document.text, "the untidy line is still untidy")
        again = server.request("textDocument/formatting", {**document.id, **options})
        once = document.text
        if again:
            document.apply(again)
        check(document.text == once, "formatting what was formatted changes it again")


@test
def outline_names_what_is_declared(bench):
    with bench.server() as server:
        document = server.open(FIRST)
        symbols = server.request("textDocument/documentSymbol", document.id)
        check(symbols, "the outline is empty")
        named = [it for it in symbols if "easy_van_first" in it["name"]]
        check(named, f"the conversion is not in the outline: {[it['name'] for it in symbols]}")
        if "selectionRange" in named[0]:
            check("easy_van_first" in document.slice(named[0]["selectionRange"]), "its selection range is elsewhere")
            check("recipient van" in document.slice(named[0]["range"]), "its range leaves out its block")


@test
def a_quick_fix_mends_a_clash(bench):
    with bench.server() as server:
        document = server.open(FIRST)
        clashes = [it for it in document.diagnostics() if it.get("severity") == 1]
        check(clashes, "no clash to mend")
        for clash in clashes:
            actions = server.request(
                "textDocument/codeAction",
                {**document.id, "range": clash["range"], "context": {"diagnostics": [clash], "only": ["quickfix"], "triggerKind": 1}},
            )
            for action in actions or []:
                if "edit" not in action and "data" in action:
                    action = server.request("codeAction/resolve", action)
                # Others in the same range answer open points beside it.
                mends = [it["message"] for it in action.get("diagnostics") or []]
                edits = edits_of(action.get("edit") or {}, document.uri)
                if not edits or clash["message"] not in mends:
                    continue
                check(action.get("title"), "an action without a title")
                check(action.get("kind", "").startswith("quickfix"), f"`{action['title']}` is no quick fix")
                document.apply(edits)
                left = [(it.get("code"), it["message"]) for it in document.diagnostics()]
                check((clash.get("code"), clash["message"]) not in left, f"`{action['title']}` leaves: {clash['message']}")
                return
        raise Failure(f"none of {len(clashes)} clashes comes with an edit for this file")


@test
def pulled_diagnostics_are_those_pushed(bench):
    with bench.server() as server:
        check(server.capabilities.get("diagnosticProvider"), "diagnostics cannot be pulled")
        document = server.open(FIRST)
        pushed = comparable(document.diagnostics())
        pulled = server.request("textDocument/diagnostic", document.id)
        check(pulled.get("kind") == "full", f"a first report is {pulled.get('kind')}")
        pulled = comparable(pulled["items"])
        check(pulled == pushed, difference(pulled, pushed))


@test
def an_unknown_method_is_refused(bench):
    with bench.server() as server:
        try:
            server.request("trunnion/there_is_no_such_thing", {})
        except Answer as error:
            check(error.code == METHOD_NOT_FOUND, f"refused with {error}")
        else:
            raise Failure("it was answered")
        server.tell("$/there_is_no_such_thing", {})
        server.tell("trunnion/nor_such_a_thing", {})
        check(server.open(FIRST).diagnostics(), "no diagnostics after unknown notifications")


@test
def malformed_messages_do_not_kill_it(bench):
    with bench.server() as server:
        document = server.open(FIRST)
        before = comparable(document.diagnostics())
        refused = [
            ("textDocument/hover", {}),
            ("textDocument/hover", {**document.id, "position": {"line": -1, "character": "x"}}),
            ("textDocument/definition", [1, 2, 3]),
            ("textDocument/codeAction", {**document.id, "range": None}),
            ("textDocument/formatting", {"textDocument": 7}),
        ]
        for method, params in refused:
            try:
                server.request(method, params)
            except Answer:
                continue
            raise Failure(f"{method} with {params} was answered as if it were right")
        # Places past the end, and documents that are not open, may be answered or refused.
        far = {"position": {"line": 4_000_000, "character": 4_000_000}}
        for params in ({**document.id, **far}, {"textDocument": {"uri": "file:///nowhere/at/all.trunnion"}, **far}, {"textDocument": {"uri": "untitled:new"}, **far}):
            try:
                server.request("textDocument/hover", params)
            except Answer:
                pass
        for params in (
            {},
            {"textDocument": {"uri": "file:///nowhere/at/all.trunnion", "version": 3}, "contentChanges": [{"text": "x"}]},
            {"textDocument": {"uri": document.uri}, "contentChanges": 3},
        ):
            server.tell("textDocument/didChange", params)
        server.tell("textDocument/didOpen", {"textDocument": {}})
        server.tell("textDocument/didClose", {"textDocument": {"uri": "file:///nowhere/at/all.trunnion"}})
        server.raw(b"this is not JSON")
        server.raw(b'{"jsonrpc":"2.0"}')
        check(server.request("textDocument/documentSymbol", document.id), "no outline after malformed messages")
        document.change((0, 0, "\n"))
        check(len(document.diagnostics()) == len(before), "other verdicts after malformed messages")


@test
def an_overtaken_request_is_still_answered(bench):
    with bench.server() as server:
        document = server.open(FIRST)
        numbers = [server.ask("textDocument/documentSymbol", document.id) for _ in range(20)]
        for number in numbers:
            server.tell("$/cancelRequest", {"id": number})
        for number in numbers:
            try:
                server.answer(number, "the answer to a cancelled request")
            except Answer as error:
                check(error.code in (-32800, -32801, -32802), f"a cancelled request failed: {error}")
        check(document.diagnostics(), "no diagnostics afterwards")


@test
def shutdown_and_exit(bench):
    with bench.server() as server:
        server.open(FIRST).diagnostics()
        check(server.request("shutdown") is None, "shutdown does not answer with null")
        try:
            server.request("textDocument/documentSymbol", {"textDocument": {"uri": server.uri(FIRST)}})
        except Answer:
            pass
        else:
            raise Failure("a request after shutdown was answered")
        server.tell("exit")
        check(server.process.wait(timeout=PATIENCE) == 0, f"it ended with code {server.process.returncode}")


@test
def exit_without_shutdown_is_an_error(bench):
    with bench.server() as server:
        server.tell("exit")
        check(server.process.wait(timeout=PATIENCE) == 1, f"it ended with code {server.process.returncode}, the protocol wants 1")


@test
def it_ends_when_the_editor_is_gone(bench):
    with bench.server() as server:
        server.open(FIRST).diagnostics()
        server.process.stdin.close()
        server.process.wait(timeout=PATIENCE)


TESTS += lsp_plan.TESTS


class Bench:
    """What the tests share: the command, and a copy of an example to work in."""

    def __init__(self, command, workspace):
        self.command, self.workspace = command, workspace

    def server(self, encodings=("utf-8", "utf-16"), start=True, offers=None):
        return Server(self.command, self.workspace, encodings, start, offers)


def main():
    if len(sys.argv) < 2:
        sys.exit(__doc__)
    only = sys.argv[2] if len(sys.argv) > 2 else ""
    binary = Path(sys.argv[1]).resolve()
    if not os.access(binary, os.X_OK):
        sys.exit(f"{binary} cannot be run")
    passed = failed = 0
    for run in TESTS:
        name = run.__name__.replace("_", " ")
        if only not in run.__name__ and only not in name:
            continue
        began = time.monotonic()
        with tempfile.TemporaryDirectory(prefix="trunnion-lsp-") as folder:
            workspace = Path(folder).resolve() / "easy_van"
            shutil.copytree(EXAMPLE, workspace)
            try:
                run(Bench([str(binary), "lsp"], workspace))
            except (Failure, Answer) as why:
                failed += 1
                print(f"FAILED {name}: {why}", flush=True)
            except subprocess.TimeoutExpired:
                failed += 1
                print(f"FAILED {name}: the server did not end in {PATIENCE:.0f} s", flush=True)
            else:
                passed += 1
                print(f"ok {name} ({time.monotonic() - began:.1f} s)", flush=True)
    if not passed + failed:
        sys.exit(f"no test is named `{only}`")
    print(f"{passed} passed, {failed} failed")
    sys.exit(1 if failed else 0)


if __name__ == "__main__":
    main()

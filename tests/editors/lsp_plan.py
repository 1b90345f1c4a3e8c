"""The plan in the editor: its lens, its action, its command, and what comes of it. Run by lsp_session.py."""

import json
import subprocess
import time
from pathlib import Path

from lsp_client import PATIENCE, Answer, check, edits_of

FIRST = Path("first_written") / "easy_van.trunnion"
COMMAND = "trunnion.plan"
PROGRESS = {"window.workDoneProgress": True}
INVALID_PARAMS = -32602

# One part that another demands, and two that are to be chosen from.
SMALL = """\
kind unit { asks ratio }
measure ratio
family Ruff { built 2009-06 to 2018-12, place gearbox is unit, place final_drive is unit, place flywheel is unit }
part slow_axle is unit fills final_drive { fitted on Ruff, ratio 4.28 }
part far_axle is unit fills final_drive { ratio 3.70, offer 120 EUR, wait 5 weeks }
part box is unit fills gearbox { needs final_drive.ratio = 3.69 within 2 %, offer 800 EUR, wait 3 days }
part plate_new is unit fills flywheel { ratio 1, offer 310 EUR, wait 10 weeks }
part plate_used is unit fills flywheel { ratio 1, offer 120 EUR, wait 3 days }
vehicle van is Ruff { built 2012-04 }

// Ω 𝛀
conversion easy {
  recipient van
  fit box  // 𝛀
  choose flywheel from plate_new, plate_used
}
"""

TESTS = []


def test(run):
    TESTS.append(run)
    return run


def long(places):
    """A text that takes long to plan: one part demands something of each of so many places."""
    family = [f"  place p{it} is unit" for it in range(places)]
    parts = []
    for it in range(places):
        parts.append(f"part slow{it} is unit fills p{it} {{ fitted on Ruff, ratio 4.28 }}")
        parts.append(f"part quick{it} is unit fills p{it} {{ ratio 3.69, offer {300 + it} EUR, wait 2 days }}")
        parts.append(f"part other{it} is unit fills p{it} {{ ratio 4.9, offer {100 + it} EUR, wait 2 days }}")
    needs = [f"  needs p{it}.ratio = 3.69 within 2 %" for it in range(places)]
    lines = ["kind unit { asks ratio }", "measure ratio", "family Ruff {", "  built 2009-06 to 2018-12", "  place gearbox is unit"]
    lines += family + ["}"] + parts + ["part box is unit fills gearbox {"] + needs + ["  offer 800 EUR, wait 3 days", "}"]
    lines += ["vehicle van is Ruff { built 2012-04 }", "", "conversion easy {", "  recipient van", "  fit box", "}", ""]
    return "\n".join(lines)


LONG = long(60)


def execute(server, document, conversion, way=None):
    began = time.monotonic()
    answer = server.request("workspace/executeCommand", {"command": COMMAND, "arguments": [document.uri, conversion, way]})
    check(answer is None, f"the command answers {answer}")
    return time.monotonic() - began


def taking(server, applied=True, why=None):
    """Has the client take edits, or refuse them."""
    reply = {"applied": applied} if why is None else {"applied": applied, "failureReason": why}
    server.replies["workspace/applyEdit"] = lambda _: reply


def kinds(server):
    return [it["value"]["kind"] for it in server.said("$/progress")]


def ended(server, nth=0):
    def last():
        ends = [it["value"] for it in server.said("$/progress") if it["value"]["kind"] == "end"]
        return ends[nth] if len(ends) > nth else None

    return server._wait(last, "the end of the progress")


def begun(server, nth=0):
    def first():
        begins = [it for it in server.said("$/progress") if it["value"]["kind"] == "begin"]
        return begins[nth] if len(begins) > nth else None

    return server._wait(first, "the beginning of the progress")


def quiet(server, seconds=0.5):
    """Gives the server time to say what it should not say."""
    time.sleep(seconds)
    return server.said("workspace/applyEdit"), [it["message"] for it in server.said("window/showMessage")]


@test
def a_lens_counts_what_clashes_and_what_is_open(bench):
    with bench.server() as server:
        check(server.capabilities.get("codeLensProvider") is not None, "no code lenses")
        document = server.open(FIRST)
        clashes = [it for it in document.diagnostics() if it["severity"] == 1]
        lenses = server.request("textDocument/codeLens", document.id)
        check(len(lenses) == 1, f"{len(lenses)} lenses on one conversion without ways")
        lens = lenses[0]
        check(document.slice(lens["range"]) == "easy_van_first", f"it stands at {document.slice(lens['range'])!r}")
        check(lens["command"]["command"] == COMMAND, f"its command is {lens['command']}")
        check(lens["command"]["arguments"] == [document.uri, "easy_van_first", None], f"{lens['command']['arguments']}")
        title = lens["command"]["title"]
        check(title.startswith(f"{len(clashes)} clashes, ") and title.endswith(" · plan"), f"{len(clashes)} clashes, and: {title}")
        check(" open" in title, f"nothing is said of what is open: {title}")
        at = document.text.index("  recipient van")
        document.change((at, at + len("  recipient van"), "  recipient nobody"))
        title = server.request("textDocument/codeLens", document.id)[0]["command"]["title"]
        check(title.startswith("recipient not known"), f"without a recipient: {title}")


@test
def each_way_has_its_lens_and_its_action(bench):
    text = SMALL.replace("  fit box  // 𝛀\n", "  way axle { fit box }\n  way plate { remove gearbox }\n")
    with bench.server() as server:
        document = server.open("small.trunnion", text)
        lenses = server.request("textDocument/codeLens", document.id)
        titles = [it["command"]["title"] for it in lenses]
        check([it["command"]["arguments"][2] for it in lenses] == ["axle", "plate"], f"{lenses}")
        check(titles[0].startswith("by way of axle: 1 clash, ") and titles[1].startswith("by way of plate: "), f"{titles}")
        check("clash" not in titles[1], f"what clashes by one way is told of the other: {titles[1]}")
        actions = plans(server, document, "conversion easy")
        check([it["title"] for it in actions] == ["plan: make easy whole, by way of axle", "plan: make easy whole, by way of plate"], f"{actions}")


def plans(server, document, needle, within=0, only=None):
    at = document.at(needle, within)["position"]
    context = {"diagnostics": [], "triggerKind": 1, **({"only": only} if only is not None else {})}
    found = server.request("textDocument/codeAction", {**document.id, "range": {"start": at, "end": at}, "context": context})
    return [it for it in found or [] if it.get("kind") == "refactor.rewrite"]


@test
def the_action_is_offered_in_the_first_line_and_where_it_is_wanted(bench):
    with bench.server() as server:
        document = server.open("small.trunnion", SMALL)
        for needle, within in (("conversion easy", 0), ("conversion easy", 12), ("easy {", 6)):
            found = plans(server, document, needle, within)
            check([it["title"] for it in found] == ["plan: make easy whole"], f"at {needle!r}: {found}")
            check(found[0]["command"]["arguments"] == [document.uri, "easy", None] and "edit" not in found[0], f"{found[0]}")
        for needle in ("  recipient", "vehicle van", "Ω"):
            check(not plans(server, document, needle), f"it is offered at {needle!r}")
        for only, wanted in ((["quickfix"], 0), (["refactor"], 1), (["refactor.rewrite"], 1), ([""], 1), (["refactor.extract"], 0), ([], 0)):
            found = plans(server, document, "conversion easy", 0, only)
            check(len(found) == wanted, f"asked for {only}: {found}")


@test
def a_plan_comes_as_edits_equal_to_those_of_the_shell(bench):
    for encoding in ("utf-8", "utf-16"):
        for path, text, name in ((FIRST, None, "easy_van_first"), (Path("small.trunnion"), SMALL, "easy")):
            with bench.server(encodings=(encoding,), offers=PROGRESS) as server:
                taking(server)
                (server.workspace / ".git").mkdir(exist_ok=True)  # the shell's workspace begins here too
                if text:
                    (server.workspace / path).write_text(text, "utf-8")
                document = server.open(path, version=7)
                execute(server, document, name)
                offered = server.hear("workspace/applyEdit")
                check(offered["label"] == "plan", f"its label is {offered.get('label')!r}")
                changes = offered["edit"]["documentChanges"]
                check(len(changes) == 1 and changes[0]["textDocument"] == {"uri": document.uri, "version": 7}, f"{changes}")
                begin = server.said("$/progress")[0]
                check(begin["value"]["kind"] == "begin" and begin["value"]["cancellable"], f"it begins with {begin}")
                check(begin["value"]["title"] == f"plan: make {name.replace('_', ' ')} whole", f"{begin}")
                check(begin["token"] == server.said("window/workDoneProgress/create")[0]["token"], "its token was not created")
                check(kinds(server)[-1] == "end" and "begin" not in kinds(server)[1:], f"{kinds(server)}")
                edits = edits_of(offered["edit"], document.uri)
                touched = [document.slice(it["range"]) for it in edits]
                check(not any("recipient van" in it for it in touched), f"it touches lines that stay: {touched}")
                document.apply(edits)
                shell = subprocess.run([*bench.command[:-1], "plan", str(path), "--format", "json"], cwd=server.workspace, capture_output=True, timeout=PATIENCE)
                check(shell.returncode in (0, 1), f"the shell's plan ended with {shell.returncode}: {shell.stderr[-300:]}")
                record = json.loads(shell.stdout)[0]
                check(document.text == record["after"], f"the editor's text is not the shell's, in {encoding}")
                clashes = [it for it in document.diagnostics() if it["severity"] == 1]
                check(len(clashes) == len(record["clashes"]), f"{len(clashes)} clashes are left, the shell says {len(record['clashes'])}")
                told = server.hear("window/showMessage")
                check(told["type"] == (2 if record["clashes"] else 3), f"told as {told['type']}")
                check("licensed person" in told["message"] and (" are open: " in told["message"]) == any(it["count"] for it in record["open"]), f"told: {told['message']}")


@test
def typing_does_not_wait_for_a_plan(bench):
    with bench.server(offers=PROGRESS) as server:
        taking(server)
        document = server.open("long.trunnion", LONG)
        other = server.open(FIRST)
        other.diagnostics()
        execute(server, document, "easy")
        begun(server)
        server.hear("$/progress", lambda it: it["value"]["kind"] == "report", "a report")
        check(server.request("textDocument/documentSymbol", other.id), "no outline while a plan is worked out")
        check(server.request("textDocument/hover", document.at("recipient van", 12)), "no hover while a plan is worked out")
        check("end" not in kinds(server), "the plan was over before anything was asked: make it longer")
        reports = [it["value"]["message"] for it in server.said("$/progress") if it["value"]["kind"] == "report"]
        check(all(it.endswith(" judged") for it in reports), f"{reports}")


@test
def a_plan_that_is_cancelled_stops_and_changes_nothing(bench):
    with bench.server(offers=PROGRESS) as server:
        taking(server)
        document = server.open("long.trunnion", LONG)
        execute(server, document, "easy")
        token = begun(server)["token"]
        server.tell("window/workDoneProgress/cancel", {"token": "nobody's"})
        server.tell("window/workDoneProgress/cancel", {"token": token})
        check(ended(server)["message"] == "stopped", f"it ended with {ended(server)}")
        edits, told = quiet(server)
        check(not edits and not told, f"after it was stopped: {edits} {told}")
        # And it can be asked for again.
        small = server.open("small.trunnion", SMALL)
        execute(server, small, "easy")
        check(server.hear("workspace/applyEdit"), "no plan after one that was stopped")


@test
def a_plan_for_a_text_that_changed_is_not_applied(bench):
    with bench.server(offers=PROGRESS) as server:
        taking(server)
        document = server.open("long.trunnion", LONG)
        execute(server, document, "easy")
        begun(server)
        document.change((0, 0, "// one more line\n"))
        check(ended(server)["message"] == "overtaken by a change", f"it ended with {ended(server)}")
        told = server.hear("window/showMessage")
        check(told["type"] == 2 and "long.trunnion was changed" in told["message"], f"{told}")
        # So also where another file that it rests on was.
        document = server.open("small.trunnion", 'use "long"\n' + SMALL[SMALL.index("// Ω"):].replace("  choose flywheel from plate_new, plate_used\n", ""))
        other = server.open("elsewhere.trunnion", "")
        execute(server, document, "easy")
        begun(server, 1)
        other.change((0, 0, "// a line\n"))
        check(ended(server, 1)["message"] == "overtaken by a change", f"it ended with {ended(server, 1)}")
        edits, told = quiet(server)
        check(not edits, f"{edits} was to be applied")
        check(len(told) == 2 and "elsewhere.trunnion was changed" in told[1], f"{told}")


@test
def a_newer_plan_of_the_same_conversion_stops_the_older(bench):
    with bench.server(offers=PROGRESS) as server:
        taking(server)
        document = server.open("long.trunnion", long(20))
        execute(server, document, "easy")
        execute(server, document, "easy")
        server.hear("workspace/applyEdit")
        both = sorted([ended(server, 0)["message"], ended(server, 1)["message"]])
        check(both == ["done", "overtaken by a newer plan"], f"they ended with {both}")
        edits, told = quiet(server)
        check(len(edits) == 1 and len(told) == 1, f"{len(edits)} edits, told: {told}")


@test
def a_contradiction_is_told_and_nothing_applied(bench):
    with bench.server(offers=PROGRESS) as server:
        taking(server)
        document = server.open("small.trunnion", SMALL.replace("  fit box", "  budget 900 EUR\n  fit box"))
        execute(server, document, "easy")
        told = server.hear("window/showMessage")
        check(told["type"] == 2, f"told as {told['type']}")
        for words in ("there is no plan, for these cannot all hold", "900 EUR` (easy, small.trunnion line 14)", "What would help: "):
            check(words in told["message"], f"no {words!r} in: {told['message']}")
        check(ended(server)["message"] == "no plan", f"it ended with {ended(server)}")
        check(not quiet(server)[0], "something was to be applied")


@test
def a_client_is_given_only_what_it_takes(bench):
    with bench.server(offers={"workspace.workspaceEdit.documentChanges": False}) as server:
        taking(server)
        document = server.open("small.trunnion", SMALL)
        execute(server, document, "easy")
        edit = server.hear("workspace/applyEdit")["edit"]
        check("documentChanges" not in edit and edit["changes"][document.uri], f"{edit}")
        server.hear("window/showMessage")
        check(not server.said("$/progress") and not server.said("window/workDoneProgress/create"), "progress was shown to a client that shows none")
    with bench.server(offers={"workspace.applyEdit": False}) as server:
        document = server.open("small.trunnion", SMALL)
        execute(server, document, "easy")
        told = server.hear("window/showMessage")
        check("takes no edits" in told["message"] and "trunnion plan --write" in told["message"], f"{told}")
        check(not server.said("workspace/applyEdit"), "an edit was sent to a client that takes none")


@test
def a_refused_edit_is_told(bench):
    with bench.server() as server:
        taking(server, False, "the version is another")
        document = server.open("small.trunnion", SMALL)
        execute(server, document, "easy")
        told = server.hear("window/showMessage")
        check(told["type"] == 2 and told["message"] == "The plan was not applied: the version is another. Ask for it again.", f"{told}")


@test
def a_wrong_command_is_refused(bench):
    with bench.server() as server:
        document = server.open("small.trunnion", SMALL)
        for command, arguments in (("trunnion.other", []), (COMMAND, []), (COMMAND, [document.uri]), (COMMAND, [7, "easy"]), (COMMAND, [document.uri, "easy", 3])):
            try:
                server.request("workspace/executeCommand", {"command": command, "arguments": arguments})
            except Answer as error:
                check(error.code == INVALID_PARAMS, f"{command} {arguments}: {error}")
            else:
                check(False, f"{command} {arguments} was taken")
        execute(server, document, "nobody")
        told = server.hear("window/showMessage")
        check(told["message"] == "small.trunnion declares no conversion `nobody`.", f"{told}")
        check(document.diagnostics(), "no diagnostics afterwards")


@test
def lenses_are_asked_for_anew_when_another_file_changes_them(bench):
    with bench.server(offers={"workspace.codeLens": {"refreshSupport": True}}) as server:
        cut = SMALL.index("// Ω")
        parts = server.open("parts.trunnion", SMALL[:cut])
        document = server.open("small.trunnion", 'use "parts"\n' + SMALL[cut:])
        document.diagnostics()
        before = server.request("textDocument/codeLens", document.id)[0]["command"]["title"]
        count = len(server.said("workspace/codeLens/refresh"))
        at = parts.text.index("ratio 4.28")
        parts.change((at, at + len("ratio 4.28"), "ratio 3.69"))
        server._wait(lambda: len(server.said("workspace/codeLens/refresh")) > count or None, "the refresh")
        after = server.request("textDocument/codeLens", document.id)[0]["command"]["title"]
        check("1 clash" in before and "clash" not in after, f"{before!r}, then {after!r}")

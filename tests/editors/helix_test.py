#!/usr/bin/env python3
"""Holds the Helix set-up against what the other editors use, and asks Helix itself where it is installed."""

import json
import os
import shutil
import subprocess
import sys
import tempfile
import tomllib
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
SET_UP = ROOT / "editors" / "helix" / "languages.toml"
PACKAGE = json.loads((ROOT / "editors" / "vscode" / "package.json").read_text("utf-8"))
CONFIGURATION = json.loads((ROOT / "editors" / "vscode" / "language-configuration.json").read_text("utf-8"))


def read():
    return tomllib.loads(SET_UP.read_text("utf-8"))


def one_language_with_its_server():
    whole = read()
    (language,) = whole["language"]
    assert set(whole) == {"language", "language-server"}, set(whole)
    for name in language["language-servers"]:
        assert name in whole["language-server"], f"no server {name}"
    (server,) = whole["language-server"].values()
    path = PACKAGE["contributes"]["configuration"]["properties"]["trunnion.server.path"]["default"]
    assert [server["command"], *server["args"]] == [path, "lsp"], server


def the_same_language_as_elsewhere():
    (language,) = read()["language"]
    (other,) = PACKAGE["contributes"]["languages"]
    (grammar,) = PACKAGE["contributes"]["grammars"]
    assert language["name"] == other["id"]
    assert [f".{it}" for it in language["file-types"]] == other["extensions"]
    assert language["scope"] == grammar["scopeName"]
    assert CONFIGURATION["comments"]["lineComment"] == language["comment-tokens"][0]
    assert len(language["indent"]["unit"]) == language["indent"]["tab-width"] == PACKAGE["contributes"]["configurationDefaults"]["[trunnion]"]["editor.tabSize"]


def helix_finds_the_server():
    helix = shutil.which("hx") or shutil.which("helix")
    if not helix:
        return "no Helix on the path"
    with tempfile.TemporaryDirectory() as home:
        folder = Path(home) / "helix"
        folder.mkdir()
        shutil.copy(SET_UP, folder)
        answer = subprocess.run([helix, "--health", "trunnion"], env={**os.environ, "XDG_CONFIG_HOME": home}, capture_output=True, text=True, timeout=30)
        assert answer.returncode == 0 and "trunnion" in answer.stdout, answer.stdout + answer.stderr
    return None


def main():
    passed = failed = skipped = 0
    for run in (one_language_with_its_server, the_same_language_as_elsewhere, helix_finds_the_server):
        name = run.__name__.replace("_", " ")
        try:
            why = run()
        except (AssertionError, KeyError, ValueError, tomllib.TOMLDecodeError) as error:
            failed += 1
            print(f"FAILED {name}: {error!r}")
            continue
        if why:
            skipped += 1
            print(f"skipped {name}: {why}")
        else:
            passed += 1
            print(f"ok {name}")
    print(f"{passed} passed, {failed} failed, {skipped} skipped")
    sys.exit(1 if failed else 0)


if __name__ == "__main__":
    main()

#!/bin/sh
# Drives a real, headless Neovim with the set-up of editors/neovim against `trunnion lsp`.
#
#   TRUNNION_BIN=target/debug/trunnion tests/editors/neovim_test.sh
#
# Where Neovim is missing and this runs as root, it is installed from Debian's packages.
set -eu

root=$(cd "$(dirname "$0")/../.." && pwd)
: "${TRUNNION_BIN:?name the trunnion program in TRUNNION_BIN}"
TRUNNION_BIN=$(realpath "$TRUNNION_BIN")
[ -x "$TRUNNION_BIN" ] || { echo "FAILED: $TRUNNION_BIN cannot be run"; exit 1; }

if ! command -v nvim >/dev/null; then
  [ "$(id -u)" = 0 ] || { echo "FAILED: no nvim on the path"; exit 1; }
  apt-get update -qq
  DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends neovim >/dev/null
fi

home=$(mktemp -d)
trap 'rm -rf "$home"' EXIT
cp -r "$root/examples/easy_van" "$home/easy_van"
mkdir "$home/easy_van/.git" # the workspace begins here

export TRUNNION_BIN
TRUNNION_WORKSPACE=$(realpath "$home/easy_van")
export TRUNNION_WORKSPACE TRUNNION_FORMS="$root/crates/trunnion-syntax/src/forms.txt"
export XDG_CONFIG_HOME="$home/config" XDG_DATA_HOME="$home/data" XDG_STATE_HOME="$home/state" XDG_CACHE_HOME="$home/cache"

# The set-up is used as a user would have it: a folder on the runtime path, and nothing else.
cd "$TRUNNION_WORKSPACE"
code=0
timeout --kill-after=10 300 nvim --headless --clean \
  --cmd "set runtimepath^=$root/editors/neovim" \
  -c 'filetype plugin on' -c 'syntax enable' \
  -c "luafile $root/tests/editors/neovim_test.lua" </dev/null || code=$?
[ "$code" -ne 124 ] || echo "FAILED: Neovim did not end in 300 s"
if [ "$code" -ne 0 ]; then
  find "$home" -name lsp.log -exec tail -n 20 {} \;
fi
exit "$code"

#!/bin/sh
# Installs a real VS Code that runs in a browser, and drives it with the packaged extension.
#
#   TRUNNION_BIN=target/debug/trunnion tests/editors/vscode_live.sh [FOLDER]
#
# FOLDER (target/code_server unless named) keeps the editor between runs: about 400 MB, two minutes the first
# time. Packages come through npm; what has to be compiled is compiled here; the browser is Debian's Chromium.
set -eu

root=$(cd "$(dirname "$0")/../.." && pwd)
folder=${1:-$root/target/code_server}
version=4.100.3 # the last for Node 20, VS Code 1.100.3
driver=1.64.1

if ! command -v chromium >/dev/null; then
  [ "$(id -u)" = 0 ] || { echo "FAILED: no chromium on the path"; exit 1; }
  apt-get update -qq
  DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends chromium >/dev/null
fi

if [ ! -e "$folder/ready-$version" ]; then
  rm -rf "$folder"
  mkdir -p "$folder"
  cd "$folder"
  echo '{ "private": true }' >package.json
  npm install --ignore-scripts --no-audit --no-fund "code-server@$version" "playwright-core@$driver"
  (cd node_modules/code-server/lib/vscode && npm install --ignore-scripts --omit=dev --no-audit --no-fund)
  (cd node_modules/code-server/lib/vscode/extensions && npm install --ignore-scripts --omit=dev --no-audit --no-fund)
  gyp=$(npm root --global)/npm/node_modules/node-gyp/bin/node-gyp.js
  [ -e "$gyp" ] || gyp=$(dirname "$(realpath "$(command -v npm)")")/../node_modules/node-gyp/bin/node-gyp.js
  inner=node_modules/code-server/lib/vscode/node_modules
  for package in "$inner/@vscode/spdlog" "$inner/native-watchdog" "$inner/node-pty" "$inner/@parcel/watcher"; do
    (cd "$package" && node "$gyp" rebuild --silent --nodedir=/usr)
  done
  npm_config_node_gyp=$gyp npm rebuild --ignore-scripts=false argon2
  touch "$folder/ready-$version"
fi

cd "$root/editors/vscode"
[ -d node_modules ] || npm ci
TRUNNION_CODE_SERVER=$folder exec node --test "$root/tests/editors/vscode_live.mjs"

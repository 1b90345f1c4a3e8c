// Puts the extension and its language client into one file, and the grammar and the licences beside it.

import { build } from "esbuild";
import { copyFileSync, mkdirSync, readdirSync } from "node:fs";

mkdirSync("dist", { recursive: true });
for (const name of readdirSync("../..").filter((it) => it.startsWith("LICENSE"))) copyFileSync(`../../${name}`, `dist/${name}`);
copyFileSync("../../grammar/trunnion.tmLanguage.json", "dist/trunnion.tmLanguage.json");
await build({
  entryPoints: ["src/extension.js"],
  outfile: "dist/extension.js",
  bundle: true,
  platform: "node",
  format: "cjs",
  target: "node20",
  external: ["vscode"],
  minify: true,
  legalComments: "inline",
  logLevel: "warning",
});

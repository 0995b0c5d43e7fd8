// Takes away what a library exports to scripts and no script of ours calls: code that only such exports keep, and the part
// of the glue that belongs to it. Leptos brings adapters for streams of a server that this page does not have.
import { readFileSync, writeFileSync, mkdtempSync, rmSync } from "node:fs";
import { execFileSync } from "node:child_process";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { lean } from "./lean.mjs";

const drop = (text, pattern, keep) =>
  text.replace(pattern, (block, name) => (keep(name) ? block : ""));

export const trim = (wasm, glue, features) => {
  let script = readFileSync(glue, "utf8");
  const classes = [...script.matchAll(/^export class (\w+) \{$/gm)].map((m) => m[1]);
  const ours = readFileSync("style/start/boot.js", "utf8");
  // A class is unused when nothing but its own block and its finaliser names it.
  const rest = classes.reduce(
    (text, c) =>
      text
        .replace(new RegExp(`^export class ${c} \\{$[^]*?^\\}$\n`, "m"), "")
        .replace(new RegExp(`^if \\(Symbol\\.dispose\\) ${c}\\..*$\n`, "m"), "")
        .replace(new RegExp(`^const ${c}Finalization = [^]*?;$\n`, "m"), ""),
    script,
  );
  const used = classes.filter((c) => new RegExp(`\\b${c}\\b`).test(rest + ours));
  if (used.length) throw new Error(`classes in use, not to be trimmed: ${used.join(", ")}`);
  script = rest;

  const names = WebAssembly.Module.exports(new WebAssembly.Module(readFileSync(wasm))).map(
    (e) => e.name,
  );
  const called = names.filter((n) => new RegExp(`\\b${n.replace(/\$/g, "\\$&")}\\b`).test(script));
  const graph = [
    { name: "page", root: true, reaches: called },
    ...called.map((n) => ({ name: n, export: n })),
  ];
  const dir = mkdtempSync(join(tmpdir(), "trim-"));
  writeFileSync(join(dir, "graph.json"), JSON.stringify(graph));
  execFileSync(
    "wasm-metadce",
    [...features, wasm, "--graph-file", join(dir, "graph.json"), "-o", wasm],
    { stdio: ["ignore", "ignore", "inherit"] },
  );
  rmSync(dir, { recursive: true });

  const wanted = new Set(
    WebAssembly.Module.imports(new WebAssembly.Module(readFileSync(wasm))).map((i) => i.name),
  );
  script = drop(
    script,
    /^ {8}(\w+): function\(.*\{$[^]*?^ {8}\}(?:, arguments\); \})?,$\n/gm,
    (name) => wanted.has(name),
  );
  const missing = [...wanted].filter((n) => !new RegExp(`\\b${n}\\b`).test(script));
  if (missing.length) throw new Error(`the glue lost ${missing.join(", ")}`);
  writeFileSync(glue, lean(script));
  return { exports: names.length - called.length };
};

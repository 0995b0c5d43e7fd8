// Writes dist/stillbright.html: the whole page in one file, which works when a saved copy is opened from a disk. Run after
// pack.mjs; the file is in nobody's first load and not in the service worker's list.
import { createHash } from "node:crypto";
import { readFileSync, writeFileSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { deflateRawSync } from "node:zlib";
import { once } from "./once.mjs";

const dist = "dist";
const only = (test, folder = "") => {
  const all = readdirSync(join(dist, folder)).filter((f) => test.test(f));
  if (all.length !== 1) throw new Error(`${test}: ${all.length} files`);
  return readFileSync(join(dist, folder, all[0]));
};

const style = only(/^style-.*\.css$/)
  .toString()
  .trim();
const wasm = only(/_bg\.wasm$/);
const second = only(/^answers-.*\.wasm$/);
// One module of glue and start script: a page from a disk may import nothing.
let glue = once(
  only(/^stillbright-.*\.js$/).toString(),
  "export { initSync, __wbg_init as default };",
  "",
);
glue = once(
  glue,
  glue.match(/fetch\(new URL\("\.\/answers-[^)]*\)\)/)?.[0],
  "inside('answers').then((b) => new Response(b))",
);
if (/^\s*(import|export)\b/m.test(glue))
  throw new Error("the glue imports or exports more than one-file.mjs knows");
let boot = only(/^boot-.*\.js$/).toString();
boot = once(
  boot,
  boot.match(/const \{ default: init \} = await import\((['"])[^'"]+\1\);/)?.[0],
  "",
);
boot = once(
  boot,
  boot.match(/await init\(\{ module_or_path: (['"])[^'"]+\1 \}\);/)?.[0],
  "await __wbg_init({ module_or_path: await inside('wasm') });",
);
// A part of the wasm, from its block.
const inside = `const inside = (id) => through(Uint8Array.from(atob(document.getElementById(id).textContent), (c) => c.charCodeAt(0)), new DecompressionStream('deflate-raw'));`;
const stored = (id, part) =>
  `<script type="application/octet-stream" id="${id}">${deflateRawSync(part, { level: 9 }).toString("base64")}</script>\n`;
// The other languages and the glossary stand in blocks of data, what reads them in the script.
// Under a name of their own: where they are used, their function has its own.
const alone = (folder, file, name) =>
  `const module_${name} = (() => {\n${only(file, folder)
    .toString()
    .replaceAll(/^export const/gm, "const")
    .trim()}\nreturn { ${name} };\n})();`;
boot = once(
  boot,
  boot.match(/const table = [^\n]*;/)?.[0],
  "const table = async (file) => JSON.parse(document.getElementById(file).textContent);",
);
boot = once(boot, boot.match(/const words = [^\n]*;/)?.[0], "const words = inside;");
for (const name of ["speaker", "explain"]) {
  const file = boot.match(
    new RegExp(
      `\\[\\{ ${name} \\}, [^\\]]*\\] = await Promise.all\\(\\[\\s*(import\\(['"][^'"]+['"]\\))`,
    ),
  )?.[1];
  boot = once(boot, file, `module_${name}`);
}
const block = (file) =>
  `<script type="application/json" id="./${file}">${readFileSync(join(dist, file), "utf8").replaceAll("<", "\\u003c")}</script>\n`;
const packed = readdirSync(join(dist, "languages"))
  .filter((f) => f.endsWith(".words"))
  .map((f) => stored(`./languages/${f}`, readFileSync(join(dist, "languages", f))))
  .join("");
const tables = ["languages", "glossary"]
  .flatMap((folder) =>
    readdirSync(join(dist, folder))
      .filter((f) => f.endsWith(".json"))
      .map((f) => block(`${folder}/${f}`)),
  )
  .join("");
// No service worker: what is in one file needs no second copy.
boot = once(boot, boot.match(/\s*\.then\(offline\)/)?.[0], "");
const script = `\n${inside}\n${alone("languages", /^speak-.*\.js$/, "speaker")}\n${alone("glossary", /^explain-.*\.js$/, "explain")}\n${glue.trim()}\n${boot.trim()}\n`;
if (/<\/script|<!--/i.test(script)) throw new Error("the script would end early");
if (/<\/style/i.test(style)) throw new Error("the style would end early");

// By their hashes: still no other script or style than ours, and no request to anywhere at all.
const hash = (text) => `'sha256-${createHash("sha256").update(text).digest("base64")}'`;
const icon = `data:image/png;base64,${readFileSync("style/icons/icon-48.png").toString("base64")}`;
let html = readFileSync(join(dist, "index.html"), "utf8");
html = html
  .replace(
    /content="default-src[^"]*"/,
    `content="default-src 'none'; script-src ${hash(script)} 'wasm-unsafe-eval'; style-src ${hash(style)}; img-src data:; base-uri 'none'; form-action 'none'"`,
  )
  .replace(/<link rel="(manifest|apple-touch-icon|modulepreload|preload)"[^>]*>\n?/g, "")
  .replace(/<script type="module"[^>]*><\/script>\n?/, "");
html = once(html, html.match(/<link rel="icon"[^>]*>/)?.[0], `<link rel="icon" href="${icon}">`);
html = once(html, html.match(/<link rel="stylesheet"[^>]*>/)?.[0], `<style>${style}</style>`);
// The data first, so that the script finds it: a block of a type that is no script is never run.
html = once(
  html,
  "</body>",
  `${tables}${packed}${stored("wasm", wasm)}${stored("answers", second)}<script type="module">${script}</script>\n</body>`,
);
const left = html.match(/(src|href)="(?!data:)[^"]*"/);
if (left) throw new Error(`still points elsewhere: ${left[0]}`);
writeFileSync(join(dist, "stillbright.html"), html);
console.log(`one file: dist/stillbright.html, ${Buffer.byteLength(html)} bytes`);

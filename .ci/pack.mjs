// Puts the hashed names of the built files into boot.js and writes the service worker's list of files. With `--whole` (`make dev`,
// in the folder that trunk names): a page in one part, as the compiler left it, with no service worker to keep an older one.
import { createHash } from "node:crypto";
import {
  readFileSync,
  writeFileSync,
  readdirSync,
  renameSync,
  statSync,
  copyFileSync,
  mkdirSync,
  existsSync,
} from "node:fs";
import { join } from "node:path";
import { lean } from "./lean.mjs";
import { once } from "./once.mjs";
import { features, optimise } from "./optimise.mjs";
import { joinSecond } from "./second-part.mjs";
import { trim } from "./trim.mjs";
import { packedWords } from "./words.mjs";

const whole = process.argv.includes("--whole");
const dist = whole ? process.env.TRUNK_STAGING_DIR : "dist";
const hash = (data) => createHash("sha256").update(data).digest("hex").slice(0, 12);
const files = (dir, at = "") =>
  readdirSync(join(dir, at), { withFileTypes: true }).flatMap((e) =>
    e.isDirectory() ? files(dir, at + e.name + "/") : [at + e.name],
  );

const wasm = files(dist).find((f) => f.endsWith("_bg.wasm"));
const glue = files(dist).find((f) => f.endsWith(".js") && !f.startsWith("snippets/"));
if (!wasm || !glue) throw new Error("trunk wrote no wasm or no script into dist");

const joinAndShrink = () => {
  // The second part first: its name stands in the glue.
  const second = join(dist, "answers.wasm");
  copyFileSync(join(process.env.PARTS, "split_answers.wasm"), second);
  optimise(second);
  const secondName = `answers-${hash(readFileSync(second))}.wasm`;
  renameSync(second, join(dist, secondName));
  joinSecond(join(dist, glue), process.env.PARTS, secondName);
  trim(join(dist, wasm), join(dist, glue), features);
  optimise(join(dist, wasm));
};
if (!whole) joinAndShrink();

// Names follow the content after packing, so a cached file is never a stale one.
const named = (file, text) => {
  const name = file.replace(/(-[0-9a-f]{8,})?(_bg)?\.(js|wasm|css)$/, `-${hash(text)}$2.$3`);
  return name;
};
const wasmName = named(wasm, readFileSync(join(dist, wasm)));
renameSync(join(dist, wasm), join(dist, wasmName));
const glueName = named(glue, readFileSync(join(dist, glue)));
renameSync(join(dist, glue), join(dist, glueName));

// The other languages, each fetched only when it is spoken.
for (const folder of ["languages", "glossary"]) mkdirSync(join(dist, folder), { recursive: true });
const apart = (from, text, ending) => {
  const name = `${from}-${hash(text)}.${ending}`;
  writeFileSync(join(dist, name), text);
  return "./" + name;
};
// While the page is worked on, our scripts stay as they are written, so that their lines are found.
const script = (file) => (whole ? readFileSync(file, "utf8") : lean(readFileSync(file, "utf8")));
const start = script("style/start/boot.js");
// What the first part of the page can say stands in its wasm or in the start script; of a form, each piece between its gaps.
// In one part all is said by it, and looking through its large wasm would take longer than the compiler.
const firstPart = readFileSync(join(dist, wasmName));
const early = (text) =>
  whole || text.split("{}").every((piece) => firstPart.includes(piece) || start.includes(piece));
// The words of the pages beside them, as the build script has packed them.
const packed = packedWords();
const tables = Object.fromEntries(
  readdirSync("languages")
    .filter((f) => f.endsWith(".json"))
    .sort()
    .map((f) => {
      const code = f.slice(0, -5);
      const all = Object.entries(JSON.parse(readFileSync(`languages/${f}`, "utf8")));
      return [
        code,
        [
          [`${code}-first`, ([text]) => early(text)],
          [code, ([text]) => !early(text)],
        ]
          .map(([name, mine]) =>
            apart(
              `languages/${name}`,
              JSON.stringify(Object.fromEntries(all.filter(mine))),
              "json",
            ),
          )
          .concat(apart(`languages/${code}`, readFileSync(join(packed, `${code}.words`)), "words")),
      ];
    }),
);
const speak = apart("languages/speak", script("languages/speak.mjs"), "js");
// The glossary, fetched once the page stands.
const explain = apart("glossary/explain", script("glossary/explain.mjs"), "js");
const terms = apart(
  "glossary/terms",
  JSON.stringify(JSON.parse(readFileSync("glossary/terms.json", "utf8"))),
  "json",
);

const boot = start
  .replaceAll("__LANGUAGES__", JSON.stringify(tables))
  .replaceAll("__SPEAK__", speak)
  .replaceAll("__EXPLAIN__", explain)
  .replaceAll("__TERMS__", terms)
  .replaceAll("__GLUE__", "./" + glueName)
  .replaceAll("__WASM__", "./" + wasmName);
const bootName = `boot-${hash(boot)}.js`;
writeFileSync(join(dist, bootName), boot);

const styles = ["style/shell.css", "style/app.css"]
  .map((f) => readFileSync(f, "utf8"))
  .join("\n")
  .replace(/\/\*[^]*?\*\//g, "")
  .replace(/\s+/g, " ")
  .replace(/\s*([{};,>])\s*/g, "$1")
  .replace(/\( /g, "(")
  .replace(/ \)/g, ")")
  .replace(/;}/g, "}");
const styleName = `style-${hash(styles)}.css`;
writeFileSync(join(dist, styleName), styles);

mkdirSync(join(dist, "icons"), { recursive: true });
for (const icon of readdirSync("style/icons"))
  copyFileSync(join("style/icons", icon), join(dist, "icons", icon));
copyFileSync("style/start/manifest.webmanifest", join(dist, "manifest.webmanifest"));

const integrity = (f) =>
  "sha384-" +
  createHash("sha384")
    .update(readFileSync(join(dist, f)))
    .digest("base64");
// trunk's own script, which loads the page anew, stands in the page and listens to a socket.
const forTrunk = (html) =>
  once(
    once(html, "script-src 'self'", "script-src 'self' 'unsafe-inline'"),
    "connect-src 'self'",
    "connect-src 'self' ws:",
  );
const page = readFileSync(join(dist, "index.html"), "utf8");
const html = (whole ? forTrunk(page) : page)
  .replace("__STYLE__", `<link rel="stylesheet" href="./${styleName}">`)
  .replace(
    "__BOOT__",
    [
      `<link rel="modulepreload" href="./${glueName}" integrity="${integrity(glueName)}">`,
      `<link rel="preload" as="fetch" crossorigin href="./${wasmName}" type="application/wasm">`,
      `<script type="module" src="./${bootName}" integrity="${integrity(bootName)}"></script>`,
    ].join("\n"),
  );
writeFileSync(join(dist, "index.html"), html);

const writeWorker = () => {
  const list = files(dist)
    .filter((f) => f !== "sw.js")
    .sort();
  const stamp = hash(list.map((f) => f + hash(readFileSync(join(dist, f)))).join("\n"));
  writeFileSync(
    join(dist, "sw.js"),
    script("style/start/sw.js")
      .replace("__STAMP__", stamp)
      .replace("__FILES__", JSON.stringify(list.map((f) => "./" + f))),
  );
  console.log(
    `packed ${list.length} files, ${list.reduce((n, f) => n + statSync(join(dist, f)).size, 0)} bytes`,
  );
};
if (!existsSync(join(dist, "index.html"))) throw new Error("no index.html");
if (!whole) writeWorker();

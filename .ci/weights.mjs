// What each library and each file of data weighs. A second build of the page keeps the names of its functions (dist is not touched):
// bytes of code are added up by the library that a name begins with. Calls put in place of a function count where they stand,
// and of functions that came out alike one is left, so a small library may weigh more or less than is said.
import { execFileSync } from "node:child_process";
import { copyFileSync, mkdirSync, readFileSync, readdirSync, rmSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { features, optimise } from "./optimise.mjs";
import { row } from "./measure.mjs";
import { joinSecond } from "./second-part.mjs";
import { knowledge, sizes } from "./sizes.mjs";
import { trim } from "./trim.mjs";

const LEAST = 500;
const NAMED = "target/bench/named";

// The little of the binary format that is needed: sections, vectors, numbers of seven bits a byte.
const reader = (bytes, at = 0, end = bytes.length) => {
  const r = {
    get at() {
      return at;
    },
    get more() {
      return at < end;
    },
    number: () => {
      let n = 0;
      for (let shift = 0; ; shift += 7) {
        const byte = bytes[at++];
        n += (byte & 127) * 2 ** shift;
        if (byte < 128) return n;
      }
    },
    byte: () => bytes[at++],
    skip: (n) => {
      at += n;
    },
    text: () => {
      const n = r.number();
      at += n;
      return bytes.toString("utf8", at - n, at);
    },
    part: () => {
      const n = r.number();
      at += n;
      return reader(bytes, at - n, at);
    },
    size: () => end - at,
  };
  return r;
};
const limits = (r) => {
  if (r.number() & 1) r.number();
  r.number();
};
/** Functions with their names and bytes of code, and the sections with theirs. */
export const anatomy = (bytes) => {
  const [functions, sections, names] = [[], {}, new Map()];
  let imported = 0;
  for (const all = reader(bytes, 8); all.more;) {
    const id = all.byte();
    const part = all.part();
    const name =
      id === 0
        ? part.text()
        : ([
            "",
            "types",
            "imports",
            "functions",
            "tables",
            "memory",
            "globals",
            "exports",
            "start",
            "elements",
            "code",
            "data",
            "data count",
            "tags",
          ][id] ?? `section ${id}`);
    sections[name] = (sections[name] ?? 0) + part.size();
    if (id === 2) {
      for (let n = part.number(); n > 0; n--) {
        part.text();
        part.text();
        const kind = part.byte();
        if (kind === 0) {
          imported += 1;
          part.number();
        } else if (kind === 1) {
          part.byte();
          limits(part);
        } else if (kind === 2) limits(part);
        else part.skip(2);
      }
    } else if (id === 10) {
      for (let n = part.number(); n > 0; n--) {
        const from = part.at;
        part.part();
        functions.push(part.at - from);
      }
    } else if (name === "name") {
      while (part.more) {
        const what = part.byte();
        const inner = part.part();
        if (what === 1)
          for (let n = inner.number(); n > 0; n--) names.set(inner.number(), inner.text());
      }
    }
  }
  return {
    sections,
    functions: functions.map((size, i) => ({ name: names.get(imported + i) ?? "", size })),
  };
};

const STANDARD = new Set([
  "core",
  "alloc",
  "std",
  "compiler_builtins",
  "hashbrown",
  "dlmalloc",
  "__rustc",
]);
/** A name as the compiler wrote it (wasm-bindgen takes only those of the first part apart): its paths from each library on, as `library::room`. */
const plain = (name) =>
  !name.startsWith("_R")
    ? name
    : [...name.matchAll(/C(?:s[0-9A-Za-z]*_)(?=(\d+))/g)]
        .map((m) => {
          const after = name.slice(m.index + m[0].length);
          const word = (text) => {
            const n = text.match(/^(\d+)_?/);
            return n
              ? [
                  text.slice(n[0].length, n[0].length + Number(n[1])),
                  text.slice(n[0].length + Number(n[1])),
                ]
              : ["", text];
          };
          const [crate, rest] = word(after);
          return `${crate}::${word(rest)[0] || "root"}`;
        })
        .join(" ");
/** The library of a name, and of our own its room. What the standard library does with a type of another library is brought by that type. */
export const library = (name) => {
  // Behind a library's name stands a number that tells two versions apart.
  const all = [
    ...plain(name)
      .replace(/\[[0-9a-f]{8,}\]/g, "")
      .matchAll(/(?<![\w:])([A-Za-z_]\w*)::(\w+)/g),
  ].map(([, crate, room]) => (crate === "stillbright" ? `${crate}::${room}` : crate));
  const first = all.find((crate) => !STANDARD.has(crate));
  if (all.length) return STANDARD.has(all[0]) ? (first ?? "std") : all[0];
  return /^<?[*&(]*(str|char|bool|[fiu]\d+|[iu]size|\[)/.test(name)
    ? "std"
    : "glue, and what has no name";
};

const PARTS = "target/web/parts";
/** Both parts of the page's last build, made small with their names kept. */
export const named = () => {
  rmSync(NAMED, { recursive: true, force: true });
  mkdirSync(NAMED, { recursive: true });
  execFileSync(
    "wasm-bindgen",
    [
      "--target",
      "web",
      "--no-typescript",
      "--keep-lld-exports",
      "--out-dir",
      NAMED,
      join(PARTS, "stillbright.wasm"),
    ],
    { stdio: "inherit" },
  );
  const [first, second] = [join(NAMED, "stillbright_bg.wasm"), join(NAMED, "answers.wasm")];
  copyFileSync(join(PARTS, "split_answers.wasm"), second);
  joinSecond(join(NAMED, "stillbright.js"), PARTS, "answers.wasm");
  trim(first, join(NAMED, "stillbright.js"), [...features, "-g"]);
  return [first, second].map((wasm) => {
    optimise(wasm, { names: true });
    return wasm;
  });
};

const file = (name, path) =>
  row(name, ...sizes(typeof path === "string" ? readFileSync(path) : path));
const within = (dir) => readdirSync(dir).map((f) => join(dir, f));
if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const parts = named().map((wasm) => anatomy(readFileSync(wasm)));
  const libraries = new Map();
  for (const [at, { functions }] of parts.entries()) {
    const nameless = functions.filter((f) => !f.name).length;
    if (nameless > functions.length / 20)
      throw new Error(`${nameless} of ${functions.length} functions have no name`);
    for (const { name, size } of functions) {
      const both = libraries.get(library(name)) ?? [0, 0];
      both[at] += size;
      libraries.set(library(name), both);
    }
  }
  const sum = ([first, second]) => first + second;
  row("code by library, bytes raw", "first part", "second part", "both");
  const [big, small] = [[], []];
  for (const entry of [...libraries].sort((a, b) => sum(b[1]) - sum(a[1])))
    (sum(entry[1]) >= LEAST ? big : small).push(entry);
  const line = (name, both) => row(name, ...both, sum(both));
  for (const [name, both] of big) line(name, both);
  line(
    `${small.length} others, each under ${LEAST}`,
    small.reduce((n, [, both]) => n.map((x, at) => x + both[at]), [0, 0]),
  );
  line(
    `${parts.map((p) => p.functions.length).join(" + ")} functions in all`,
    parts.map(({ functions }) => functions.reduce((n, f) => n + f.size, 0)),
  );
  row("beside the code", "");
  for (const name of new Set(parts.flatMap((p) => Object.keys(p.sections)))) {
    const both = parts.map((p) => p.sections[name] ?? 0);
    if (sum(both) >= LEAST && !["code", "name"].includes(name)) line(`  ${name}`, both);
  }
  row("files, bytes", "raw", "gzip -9", "brotli -11");
  const wasms = readdirSync("dist", { recursive: true }).filter((f) => f.endsWith(".wasm"));
  for (const f of wasms) file(f, join("dist", f));
  file("knowledge, in the second part", knowledge());
  file(
    "demo wines, in the second part",
    Buffer.concat(
      within("demo-data")
        .filter((f) => /\/\d\d-.*\.json$/.test(f))
        .map((f) => readFileSync(f)),
    ),
  );
  for (const f of ["languages", "glossary"].flatMap((dir) => within(join("dist", dir))))
    file(f.replace("dist/", ""), f);
}

// The glue fetches the second part of the wasm when the page asks for it. What the parting tool wrote for that is a script of
// its own, which would be one more request and could not be named by its content, since each names the other: it is put into the glue.
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { once } from "./once.mjs";

/** The glue with the loader of the second part inside; `name` is that part's file. */
const joined = (glue, loader, name) => {
  let script = loader.replace(/^import \{ initSync \} from .*$/m, "");
  const loads = [...script.matchAll(/^export const (\w+) =/gm)].map((m) => m[1]);
  if (loads.length !== 1)
    throw new Error(`one second part is known here, found: ${loads.join(", ")}`);
  script = script.replaceAll(/^export const/gm, "const");
  script = once(
    script,
    'fetch(new URL("./split_answers.wasm", import.meta.url))',
    `fetch(new URL("./${name}", import.meta.url))`,
  );
  // Streaming would need a server that knows the type of wasm; the glue falls back for the first part, and so must this.
  script = once(
    script,
    "WebAssembly.instantiateStreaming(src, imports)",
    "src.then((r) => { if (r.ok) return r.arrayBuffer(); throw new Error(`${r.url}: ${r.status}`); }).then((b) => WebAssembly.instantiate(b, imports))",
  );
  const from = glue.match(/^import \* as (\w+) from "\.\/__wasm_split\.js"$/m);
  if (!from) throw new Error("the glue imports no second part");
  return once(
    glue,
    from[0],
    `const ${from[1]} = (() => {\n${script}\nreturn { ${loads[0]} };\n})();`,
  );
};

/** Puts the loader that stands in the folder of parts into a glue. */
export const joinSecond = (glue, parts, name) =>
  writeFileSync(
    glue,
    joined(readFileSync(glue, "utf8"), readFileSync(join(parts, "__wasm_split.js"), "utf8"), name),
  );

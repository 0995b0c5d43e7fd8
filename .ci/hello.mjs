// Packs the framework's hello world into target/bench/hello as pack.mjs packs the page: glue and wasm asked for at once, a start script of its own.
import { execFileSync } from "node:child_process";
import { mkdirSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { features, optimise } from "./optimise.mjs";
import { trim } from "./trim.mjs";

export const HELLO = "target/bench/hello";
if (process.argv[1] === fileURLToPath(import.meta.url)) {
  rmSync(HELLO, { recursive: true, force: true });
  mkdirSync(HELLO, { recursive: true });
  execFileSync(
    "wasm-bindgen",
    [
      "--target",
      "web",
      "--no-typescript",
      "--out-dir",
      HELLO,
      "target/web/wasm32-unknown-unknown/release/examples/hello.wasm",
    ],
    { stdio: "inherit" },
  );
  const wasm = join(HELLO, "hello_bg.wasm");
  trim(wasm, join(HELLO, "hello.js"), features);
  optimise(wasm);
  writeFileSync(
    join(HELLO, "boot.js"),
    "import init from './hello.js';\nawait init({ module_or_path: './hello_bg.wasm' });\n",
  );
  writeFileSync(
    join(HELLO, "index.html"),
    `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Hello</title>
<link rel="modulepreload" href="./hello.js">
<link rel="preload" as="fetch" crossorigin href="./hello_bg.wasm" type="application/wasm">
<script type="module" src="./boot.js"></script>
</head>
<body></body>
</html>
`,
  );
}

// How wasm-opt makes a build small; with `names` the names of the functions stay, for a build that is looked at and not shipped.
import { execFileSync } from "node:child_process";

// Not --all-features: browsers refuse what newer proposals emit.
export const features = [
  "bulk-memory",
  "nontrapping-float-to-int",
  "sign-ext",
  "mutable-globals",
  "reference-types",
  "multivalue",
].map((f) => `--enable-${f}`);
// Low memory is the far end of the stack, which holds no object: an address there may be folded into an offset.
export const optimise = (wasm, { names = false } = {}) =>
  execFileSync(
    "wasm-opt",
    [
      "-Oz",
      "--converge",
      // Once more after the branches were laid out anew: 1,400 bytes of brotli less (1 Dec 2026).
      "--flatten",
      "--rereloop",
      "-Oz",
      "--converge",
      // Functions that differ in a constant only are one: 570 bytes less.
      "--merge-similar-functions",
      "-Oz",
      "--low-memory-unused",
      names ? "-g" : "--strip-debug",
      "--strip-producers",
      ...features,
      wasm,
      "-o",
      wasm,
    ],
    { stdio: "inherit" },
  );

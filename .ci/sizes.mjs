// Bytes as they are and as they go over the wire.
import { existsSync, readFileSync, readdirSync, statSync } from "node:fs";
import { gzipSync, brotliCompressSync, constants } from "node:zlib";

export const brotli = (body) =>
  brotliCompressSync(body, { params: { [constants.BROTLI_PARAM_QUALITY]: 11 } }).length;
/** Raw, gzip -9, brotli -11. */
export const sizes = (body) => [body.length, gzipSync(body, { level: 9 }).length, brotli(body)];
/** The knowledge as the newest build of the page packed it. */
export const knowledge = () => {
  const builds = "target/web/wasm32-unknown-unknown/release/build";
  const packed = readdirSync(builds)
    .map((d) => `${builds}/${d}/out/knowledge.bin`)
    .filter((f) => existsSync(f));
  const newest = packed.sort((a, b) => statSync(b).mtimeMs - statSync(a).mtimeMs)[0];
  return Buffer.concat([readFileSync(newest.replace(/bin$/, "txt")), readFileSync(newest)]);
};

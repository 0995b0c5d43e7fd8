// Serves dist on this machine only. Prints the address as its last line.
import { createServer } from "node:http";
import { readFile } from "node:fs/promises";
import { join, extname, normalize, sep } from "node:path";
import { fileURLToPath } from "node:url";
import { gzipSync } from "node:zlib";

const types = {
  ".html": "text/html; charset=utf-8",
  ".js": "text/javascript",
  ".css": "text/css",
  ".wasm": "application/wasm",
  ".png": "image/png",
  ".svg": "image/svg+xml",
  ".webmanifest": "application/manifest+json",
  ".json": "application/json",
};

/** With `packed`, as a plain static host serves it: gzip, each file packed once, and no more. */
export const serve = (root, port, { packed = false } = {}) =>
  new Promise((resolve, reject) => {
    const small = new Map();
    const server = createServer(async (request, response) => {
      try {
        const path = normalize(
          decodeURIComponent(new URL(request.url, "http://localhost").pathname),
        );
        if (path.split(sep).includes("..")) throw new Error("outside");
        const file = join(root, path.endsWith("/") ? path + "index.html" : path);
        let body = small.get(file) ?? (await readFile(file));
        if (packed && !small.has(file)) small.set(file, (body = gzipSync(body, { level: 9 })));
        response.writeHead(200, {
          "content-type": types[extname(file)] || "application/octet-stream",
          "cache-control": "no-cache",
          ...(packed && { "content-encoding": "gzip" }),
        });
        response.end(body);
      } catch {
        response.writeHead(404, { "content-type": "text/plain" });
        response.end("not here");
      }
    });
    server.on("error", reject);
    server.listen(port, "127.0.0.1", () => resolve(server));
  });

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  for (let port = Number(process.env.PORT) || 8080; ; port++) {
    try {
      await serve("dist", port);
      console.log(`http://127.0.0.1:${port}/`);
      break;
    } catch (e) {
      if (process.env.PORT || port > 8180) throw e;
    }
  }
}

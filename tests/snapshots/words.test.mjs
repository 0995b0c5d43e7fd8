// The English sentences of tests/snapshots/words/en.txt in the other languages, each held against its kept file, line by line.
// A line that no table can say stays English and is marked with “(en)”. ACCEPT=1 writes the files anew.
import test from "node:test";
import assert from "node:assert/strict";
import { readFileSync, writeFileSync } from "node:fs";
import { speaker } from "../../languages/speak.mjs";

const here = (name) => new URL(`words/${name}.txt`, import.meta.url);
const lines = (text) => text.split("\n").filter(Boolean);
const english = lines(readFileSync(here("en"), "utf8"));

for (const code of ["fr", "es"]) {
  test(`what is said of the wines, in ${code}`, () => {
    const say = speaker(
      JSON.parse(readFileSync(new URL(`../../languages/${code}.json`, import.meta.url), "utf8")),
    );
    const said = english.map((line) =>
      line.startsWith("== ") ? line : (say(line) ?? `(en) ${line}`),
    );
    if (process.env.ACCEPT) {
      writeFileSync(here(code), `${said.join("\n")}\n`);
      return;
    }
    const kept = lines(readFileSync(here(code), "utf8"));
    const gone = kept.filter((line) => !said.includes(line));
    const fresh = said.filter((line) => !kept.includes(line));
    const some = [
      ...gone.slice(0, 5).map((line) => `- ${line}`),
      ...fresh.slice(0, 5).map((line) => `+ ${line}`),
    ].join("\n");
    assert.ok(
      said.join("\n") === kept.join("\n"),
      `${gone.length} lines are gone, ${fresh.length} are new:\n${some}\nWhere this is meant: make accept`,
    );
  });
}

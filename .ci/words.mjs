// Where the build script has put the packed words of the pages (`fr.words`): asked of cargo, which finds the page built and
// tells it. Run by what has just built the page, with the same environment.
import { execFileSync } from "node:child_process";

export const packedWords = () => {
  const whole = process.argv.includes("--whole");
  const told = execFileSync(
    "cargo",
    [
      "build",
      "--quiet",
      "--locked",
      "--offline",
      ...(whole ? [] : ["--release"]),
      ...["--target", "wasm32-unknown-unknown", "--bin", "stillbright", "--message-format=json"],
    ],
    { encoding: "utf8", maxBuffer: 2 ** 28, stdio: ["ignore", "pipe", "inherit"] },
  );
  const folders = told
    .split("\n")
    .filter((line) => line.includes('"build-script-executed"'))
    .map((line) => JSON.parse(line))
    .filter(({ package_id }) => /[/#]stillbright[@#]/.test(package_id))
    .map(({ out_dir }) => out_dir);
  if (folders.length !== 1) throw new Error(`build scripts of the page: ${folders.length}, not 1`);
  return folders[0];
};

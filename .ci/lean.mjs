/**
 * A script without what only people read: lines of comment, and indents. Its lines stay, so none needs a semicolon that it has
 * not; a template that spans lines would lose its own spaces and is refused.
 */
export const lean = (script) => {
  const left = script
    .replace(/^\s*\/\*\*[^]*?\*\/\n/gm, "")
    .replace(/^\s*\/\/.*\n/gm, "")
    .replace(/^\s+/gm, "");
  const open = left.split("\n").find((line) => line.split("`").length % 2 === 0);
  if (open) throw new Error(`a template that spans lines: ${open}`);
  return left;
};

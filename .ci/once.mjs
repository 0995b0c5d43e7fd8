/** Replaces exactly one place of a text, so that a change elsewhere is not passed over in silence. */
export const once = (text, from, to) => {
  if (text.split(from).length !== 2) throw new Error(`not exactly once: ${from}`);
  return text.split(from).join(to);
};

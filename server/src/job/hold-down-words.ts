/** A hold-down in words: "screw at 10 mm, 10 mm keep-out 8 mm height 4 mm". */
import type { HoldDown } from "./facts.ts";

export const holdDownExample =
  'Write its kind (screw, clamp or tape) and place, such as "hold-down screw at 10 mm, 10 mm keep-out 8 mm height 4 mm".';

const keepOutName = String.raw`keep[\s-]?out(?:\s+radius)?`;
/** Within `longest` characters, so that a run of blanks costs little. */
const longest = 200;

/**
 * The hold-down, or undefined where the words are none of one. Keep-out radius and height may stand in any order
 * and count 0 where missing. Lengths in mm.
 * @param lengthOf a length of 0 or more, or undefined
 * @param pairOf two lengths parted by a comma
 */
export function holdDownFromWords(
  words: string,
  lengthOf: (text: string) => number | undefined,
  pairOf: (text: string) => [number, number] | undefined,
): HoldDown | undefined {
  if (words.length > longest) return undefined;
  const head = /^(screw|clamp|tape)\s+at\s+/i.exec(words);
  if (!head) return undefined;
  const kind = head[1].toLowerCase() as HoldDown["kind"];
  const parts = words.slice(head[0].length).split(new RegExp(`[\\s,]+(?=(?:${keepOutName}|height)\\b)`, "i"));
  const at = pairOf(parts[0]);
  if (!at) return undefined;
  const found: { keepOut?: number; height?: number } = {};
  for (const part of parts.slice(1)) {
    const name = new RegExp(`^(?:${keepOutName}|height)\\s+`, "i").exec(part)?.[0] ?? "";
    const key = /^height/i.test(name) ? "height" : "keepOut";
    const value = name === "" ? undefined : lengthOf(part.slice(name.length));
    if (value === undefined || found[key] !== undefined) return undefined;
    found[key] = value;
  }
  return { kind, at, keepOut: found.keepOut ?? 0, height: found.height ?? 0 };
}

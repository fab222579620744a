/** The facts a directive comment can declare, by their names. */
import { nearest } from "./nearest.ts";

/** Facts that are one length: what they are called in a comment, what they must be and how they are written. */
export const lengthFacts = {
  thickness: {
    name: "thickness",
    aboveZero: true,
    remedy: "Write the measured thickness with its unit",
    example: "18.3 mm",
  },
  variation: {
    name: "variation",
    aboveZero: false,
    remedy: "Write how much thicker the board may be elsewhere",
    example: "0.3 mm",
  },
  measuringError: {
    name: "measuring error",
    aboveZero: false,
    remedy: "Write how far off the measurement may be",
    example: "0.1 mm",
  },
  tape: {
    name: "tape",
    aboveZero: false,
    remedy: "Write the thickness of the tape under the board",
    example: "0.2 mm",
  },
  bedThickness: {
    name: "bed thickness",
    aboveZero: true,
    remedy: "Write the thickness of the sacrificial bed",
    example: "18 mm",
  },
  bedUnevenness: {
    name: "bed unevenness",
    aboveZero: false,
    remedy: "Write how much the bed's top differs in height",
    example: "0.2 mm",
  },
  deepestBedCut: {
    name: "deepest bed cut",
    aboveZero: false,
    remedy: "Write the deepest a cut may go into the bed",
    example: "3 mm",
  },
  touchOffError: {
    name: "touch-off error",
    aboveZero: false,
    remedy: "Write how far off Z0 may be after touching off",
    example: "0.1 mm",
  },
} as const;

export type LengthFact = keyof typeof lengthFacts;

/** All names, as messages list them. Blanks and hyphens within a name stand for each other. */
export const factNames: readonly string[] = [
  "thickness",
  "size",
  "corner",
  "zero",
  "board",
  "tool",
  "material",
  "through",
  "partway",
  "leaves",
  "silence",
  ...Object.values(lengthFacts)
    .map(({ name }) => name)
    .filter((name) => name !== "thickness"),
  "judge by",
  "hold-down",
];

/** Longest names first, so that no name hides a longer one. */
const anyName = [...factNames]
  .sort((a, b) => b.length - a.length)
  .map((name) => name.replace(/[ -]/g, "[\\s-]{1,9}"))
  .join("|");
const leadingName = new RegExp(`^(?:${anyName})(?=\\s|$)`, "i");

/** The mark without its colon, ahead of a known fact: a declaration that would be lost without a word. */
export const markWithoutColon = new RegExp(`^\\s*cutwright\\s+(?:${anyName})\\b`, "i");

const plain = (name: string) => name.toLowerCase().replace(/[\s-]+/g, " ");

/** The known fact that words begin with, and what follows its name; undefined: none. */
export function splitFact(words: string): { name: string; rest: string } | undefined {
  const written = leadingName.exec(words)?.[0];
  if (written === undefined) return undefined;
  const name = factNames.find((known) => plain(known) === plain(written));
  return name === undefined ? undefined : { name, rest: words.slice(written.length).trim() };
}

/** The words taken for a name, and the known name they come near to, if any. */
export function nearestFact(words: string): { written: string; near: string | undefined } {
  const first = /^\S+/.exec(words)?.[0] ?? "";
  // A name of several words ends where its value begins.
  const phrase = words
    .slice(0, 40)
    .split(/\s+(?=[\d.+-])/)[0]
    .trim();
  const near = nearest(phrase, factNames);
  return near !== undefined ? { written: phrase, near } : { written: first, near: nearest(first, factNames) };
}

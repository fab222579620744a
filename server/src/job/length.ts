/** Lengths as people write them: "18.3 mm", "0.72 in", "3/4 in", "1 1/2 in", or a number in the file's units. */

export type Units = "mm" | "in";

const mmPer: Readonly<Record<Units | "cm" | "inch" | '"' | "″", number>> = {
  mm: 1,
  cm: 10,
  in: 25.4,
  inch: 25.4,
  '"': 25.4,
  "″": 25.4,
};
const pattern = /^([+-]?)(?:(\d+)[ -]+)?(?:(\d+)\/(\d+)|(\d+\.?\d*|\.\d+))\s*(mm|cm|in|inch|"|″)?$/i;

/** Lengths beyond this are refused: no board is 10 m, mm. */
export const longest = 10_000;
/** Texts beyond this many characters are no length; it also keeps the pattern's work small. */
const longestText = 40;

/**
 * A length in mm, or undefined where the text is none, not finite, or beyond 10 m.
 * @param defaultUnits units of a bare number
 */
export function parseLength(text: string | number, defaultUnits: Units): number | undefined {
  if (typeof text === "number") return bounded(text * mmPer[defaultUnits]);
  const trimmed = text.trim();
  if (trimmed.length > longestText) return undefined;
  const match = pattern.exec(trimmed);
  if (!match) return undefined;
  const [, sign, whole, numerator, denominator, decimal, unit] = match;
  // "1 18.3 mm" is no mixed number: the whole part goes with a fraction only.
  if (whole !== undefined && decimal !== undefined) return undefined;
  let value = decimal !== undefined ? Number(decimal) : Number(numerator) / Number(denominator);
  if (whole !== undefined) value += Number(whole);
  const scale = mmPer[(unit?.toLowerCase() ?? defaultUnits) as keyof typeof mmPer];
  return bounded((sign === "-" ? -value : value) * scale);
}

/** A length in mm as text that `parseLength` reads back, to 0.0001 mm or 0.000001 in. */
export function printLength(mm: number, units: Units): string {
  const value = units === "in" ? mm / 25.4 : mm;
  return `${Number(value.toFixed(units === "in" ? 6 : 4))} ${units}`;
}

function bounded(mm: number): number | undefined {
  return Number.isFinite(mm) && Math.abs(mm) <= longest ? mm : undefined;
}

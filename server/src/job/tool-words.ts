/** A cutter in words: "1 flat 6 mm", "2 V 60 deg 12 mm", "4 bull 10 mm corner 2 mm". */
import type { Source, Tool } from "./facts.ts";
import { parseLength, type Units } from "./length.ts";
import { toolFault, toolShapes } from "./tools.ts";

export const toolWordsExample =
  'Write its number, shape and diameter, such as "tool 1 flat 6 mm", "tool 2 V 60 deg 12 mm" or "tool 4 bull 10 mm corner 2 mm".';

/**
 * The cutter, or what is wrong as a sentence with the remedy (empty: the words are none of a cutter).
 * Besides the shape: an angle in degrees, `corner`, `tip` and `flutes`, in any order.
 */
export function toolFromWords(words: string, units: Units, source: Source): Tool | string {
  if (words.length > 200) return "";
  const head = /^[tT]?(\d{1,5})\s+([a-z]+)\b/i.exec(words);
  const shape = head && toolShapes.find((known) => known.toLowerCase() === head[2].toLowerCase());
  if (!head || Number(head[1]) > 65535) return "";
  if (!shape) return `"${head[2]}" is no shape known here: ${toolShapes.join(", ")}. ${toolWordsExample}`;
  let rest = words.slice(head[0].length);
  /** Takes a part out of the rest. */
  const take = (pattern: RegExp): string | undefined => {
    const match = pattern.exec(rest);
    if (!match) return undefined;
    rest = `${rest.slice(0, match.index)} ${rest.slice(match.index + match[0].length)}`;
    return match[1];
  };
  const lengthAfter = (name: string) =>
    take(new RegExp(`\\b${name}\\s+([\\d./ -]*\\d(?:\\s*(?:mm|cm|inch|in\\b|["″]))?)`, "i"));
  const degrees = take(/(\d+\.?\d*)\s*(?:degrees|deg|°)/i);
  const flutes = take(/\b(\d{1,2})\s+flutes?\b/i) ?? take(/\bflutes\s+(\d{1,2})\b/i);
  const cornerWords = lengthAfter("corner");
  const tipWords = lengthAfter("tip");
  const diameter = parseLength(rest, units);
  const corner = cornerWords === undefined ? undefined : parseLength(cornerWords, units);
  const tip = tipWords === undefined ? undefined : parseLength(tipWords, units);
  if (diameter === undefined || diameter <= 0) return "";
  if (cornerWords !== undefined && !(corner !== undefined && corner > 0)) return "";
  if (tipWords !== undefined && !(tip !== undefined && tip >= 0 && tip < diameter)) return "";
  if (flutes !== undefined && !(Number(flutes) >= 1 && Number(flutes) <= 20)) return "";
  if (degrees !== undefined && !(Number(degrees) > 0 && Number(degrees) < 180)) {
    return "The point angle is above 0 and below 180 degrees, such as 60 deg.";
  }
  const tool: Tool = {
    number: Number(head[1]),
    shape,
    diameter,
    ...(degrees !== undefined ? { angle: (Number(degrees) * Math.PI) / 180 } : {}),
    ...(tip !== undefined ? { tipDiameter: tip } : {}),
    ...(corner !== undefined ? { cornerRadius: corner } : {}),
    ...(flutes !== undefined ? { flutes: Number(flutes) } : {}),
    source,
  };
  const fault = toolFault(tool);
  return fault === undefined ? tool : `${fault} ${toolWordsExample}`;
}

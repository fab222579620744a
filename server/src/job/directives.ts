/** Comments of a program that declare facts: `(cutwright: thickness 18.3 mm; zero top)`. Lengths in mm. */
import type { CutIntent, JobProblem, Silence, Source, Sourced, Tool, ToolShape } from "./facts.ts";
import type { Comment, Program } from "../language/program.ts";
import { parseLength, type Units } from "./length.ts";

/** What the comments of a program declare. */
export interface Directives {
  thickness?: Sourced<number>;
  size?: Sourced<readonly [number, number]>;
  corner?: Sourced<readonly [number, number]>;
  zero?: Sourced<"top" | "bed">;
  material?: Sourced<string>;
  board?: Sourced<string>;
  readonly tools: Map<number, Tool>;
  readonly intents: CutIntent[];
  readonly silences: Silence[];
  readonly problems: JobProblem[];
}

const shapes: Readonly<Record<string, ToolShape>> = {
  flat: "flat",
  ball: "ball",
  v: "V",
  bull: "bull",
  drill: "drill",
};
const factNames = "thickness, size, corner, zero, board, tool, material, through, partway, leaves, silence";

/** Whether a comment is meant for this reader, and what stands after the mark. */
export function directiveText(comment: Comment): string | undefined {
  const match = /^\s*cutwright\s*:\s*/i.exec(comment.text);
  return match ? comment.text.slice(match[0].length) : undefined;
}

/**
 * Reads the directive comments of a program.
 * @param file name used in sources and problems
 * @param units units of bare numbers
 */
export function readDirectives(file: string, program: Program, units: Units): Directives {
  const found: Directives = { tools: new Map(), intents: [], silences: [], problems: [] };
  for (const comment of program.comments) {
    const text = directiveText(comment);
    if (text === undefined) continue;
    // A reason may hold a semicolon, so a silence takes the rest of its comment.
    const silence = /(^|;)\s*silence\b/i.exec(text);
    const facts = silence ? text.slice(0, silence.index) : text;
    for (const fact of facts.split(";")) {
      if (fact.trim()) readFact(fact.trim(), comment, found, file, program, units);
    }
    if (silence) readSilence(text.slice(silence.index).replace(/^;?\s*/, ""), comment, found, file, program);
    if (!text.trim()) unclear(found, file, comment, `it declares nothing. Known facts: ${factNames}.`);
  }
  return found;
}

function unclear(found: Directives, file: string, comment: Comment, message: string): void {
  const { line, start, end } = comment;
  found.problems.push({
    rule: "declaration-unclear",
    file,
    line,
    start,
    end,
    message: `Not understood: ${message}`,
  });
}

function readFact(
  fact: string,
  comment: Comment,
  found: Directives,
  file: string,
  program: Program,
  units: Units,
): void {
  const source: Source = { kind: "comment", file, line: comment.line + 1 };
  const [name, ...words] = fact.split(/\s+/);
  const rest = words.join(" ");
  const length = (text: string) => parseLength(text, units);
  const bad = (message: string) => unclear(found, file, comment, message);
  const intent = (goes: CutIntent["goes"], leaves?: number) =>
    found.intents.push({
      where: { kind: "line", line: lineOfNextWords(program, comment.line) + 1 },
      goes,
      ...(leaves !== undefined ? { leaves } : {}),
      source,
    });
  switch (name.toLowerCase()) {
    case "thickness": {
      const value = length(rest);
      if (value !== undefined && value > 0) found.thickness = { value, source };
      else bad(`"${fact}". Write the measured thickness with its unit, for example "thickness 18.3 mm".`);
      break;
    }
    case "size":
    case "corner": {
      const parts = rest.split(/\s*(?:x|,|×)\s*/i);
      const numbers = parts.map((part) => length(withUnitOf(part, rest)));
      const [a, b] = numbers;
      const isSize = name.toLowerCase() === "size";
      if (parts.length === 2 && a !== undefined && b !== undefined && (!isSize || (a > 0 && b > 0))) {
        found[isSize ? "size" : "corner"] = { value: [a, b], source };
      } else bad(`"${fact}". Write for example "${isSize ? "size 300 x 200 mm" : "corner -10 mm, -10 mm"}".`);
      break;
    }
    case "zero":
      if (rest === "top" || rest === "bed") found.zero = { value: rest, source };
      else bad(`"${fact}". Write "zero top" or "zero bed".`);
      break;
    case "material":
      if (rest) found.material = { value: rest, source };
      else bad('"material" needs a name, for example "material MDF".');
      break;
    case "board":
      if (rest) found.board = { value: rest, source };
      else bad('"board" needs the name of a board in the job file.');
      break;
    case "tool": {
      const tool = readTool(rest, units, source);
      if (tool) found.tools.set(tool.number, tool);
      else
        bad(
          `"${fact}". Write for example "tool 1 flat 6 mm", "tool 2 V 60 deg 12 mm" or "tool 4 bull 10 mm corner 2 mm".`,
        );
      break;
    }
    case "through":
      intent("through");
      break;
    case "partway":
      intent("partway");
      break;
    case "leaves": {
      const value = length(rest);
      if (value !== undefined && value > 0) intent("partway", value);
      else bad(`"${fact}". Write the thickness to be left, for example "leaves 2 mm".`);
      break;
    }
    default:
      bad(`"${fact}". Known facts: ${factNames}.`);
  }
}

/** In "300 x 200 mm" the unit stands once for both. */
function withUnitOf(part: string, whole: string): string {
  if (/[a-z"]\s*$/i.test(part)) return part;
  const unit = /(mm|cm|inch|in|")\s*$/i.exec(whole);
  return unit ? `${part} ${unit[1]}` : part;
}

function readTool(text: string, units: Units, source: Source): Tool | undefined {
  const match = /^(\d+)\s+(flat|ball|v|bull|drill)\s+(?:(\d+\.?\d*)\s*(?:deg|degrees|°)\s+)?(.*)$/i.exec(
    text,
  );
  if (!match) return undefined;
  const [, number, shapeName, degrees, sizes] = match;
  const shape = shapes[shapeName.toLowerCase()];
  const [diameterText, cornerText] = sizes.split(/\s+corner\s+/i);
  const diameter = parseLength(diameterText, units);
  const corner = cornerText === undefined ? undefined : parseLength(cornerText, units);
  const angle = degrees === undefined ? undefined : (Number(degrees) * Math.PI) / 180;
  if (Number(number) > 65535 || diameter === undefined || diameter <= 0) return undefined;
  if (angle !== undefined && !(angle > 0 && angle < Math.PI)) return undefined;
  if (shape === "V" && angle === undefined) return undefined;
  if (shape === "bull" && (corner === undefined || corner <= 0 || corner > diameter / 2)) return undefined;
  return {
    number: Number(number),
    shape,
    diameter,
    ...(angle !== undefined ? { angle } : {}),
    ...(corner !== undefined ? { cornerRadius: corner } : {}),
    source,
  };
}

function readSilence(
  text: string,
  comment: Comment,
  found: Directives,
  file: string,
  program: Program,
): void {
  const match = /^silence\s+([a-z-]+)\s*(?:because\s+(.*))?$/i.exec(text.trim());
  const { line, start, end } = comment;
  if (!match) {
    unclear(found, file, comment, `"${text}". Write "silence RULE because REASON".`);
    return;
  }
  const reason = match[2]?.trim() ?? "";
  if (!reason) {
    found.problems.push({
      rule: "silence-without-reason",
      file,
      line,
      start,
      end,
      message: `This silences nothing: a reason is missing. Write "silence ${match[1]} because" and why.`,
    });
    return;
  }
  const appliesTo =
    program.firstWord[line] < program.firstWord[line + 1] ? line : lineOfNextWords(program, line);
  found.silences.push({ rule: match[1].toLowerCase(), line, appliesTo, reason });
}

/** First line after `line` that has words; `line` itself where none follows. Zero-based. */
function lineOfNextWords(program: Program, line: number): number {
  if (program.firstWord[line] < program.firstWord[line + 1]) return line;
  for (let next = line + 1; next < program.lineCount; next++) {
    if (program.firstWord[next] < program.firstWord[next + 1]) return next;
  }
  return line;
}

/** Comments of a program that declare facts: `(cutwright: thickness 18.3 mm; zero top)`. Lengths in mm. */
import type { Comment, Program } from "../language/program.ts";
import {
  factNames,
  lengthFacts,
  markWithoutColon,
  nearestFact,
  splitFact,
  type LengthFact,
} from "./fact-names.ts";
import type {
  CutIntent,
  HoldDown,
  JobProblem,
  Silence,
  Source,
  Sourced,
  ThroughAllowance,
  Tool,
} from "./facts.ts";
import { holdDownExample, holdDownFromWords } from "./hold-down-words.ts";
import { parseLength, type Units } from "./length.ts";
import { toolFromWords, toolWordsExample } from "./tool-words.ts";

/** Zero-based line, and offsets in the program's text. */
export interface Place {
  readonly line: number;
  readonly start: number;
  readonly end: number;
}

export interface Declared<T> extends Sourced<T> {
  readonly place: Place;
}

/** What the comments of a program declare. */
export interface Directives extends Readonly<Partial<Record<LengthFact, Declared<number>>>> {
  readonly size?: Declared<readonly [number, number]>;
  readonly corner?: Declared<readonly [number, number]>;
  readonly zero?: Declared<"top" | "bed">;
  readonly material?: Declared<string>;
  readonly board?: Declared<string>;
  readonly judgeBy?: Declared<ThroughAllowance["judgedBy"]>;
  readonly holdDowns: readonly HoldDown[];
  readonly tools: ReadonlyMap<number, Tool>;
  readonly intents: readonly CutIntent[];
  readonly silences: readonly Silence[];
  readonly problems: readonly JobProblem[];
}

const mark = /^\s*cutwright\s*:/i;
/** What stands after the mark `cutwright:` of a comment meant for this reader; undefined for any other comment. */
export function directiveText(comment: Comment): string | undefined {
  const match = mark.exec(comment.text);
  return match ? comment.text.slice(match[0].length) : undefined;
}

/**
 * Reads the directive comments of a program. Never throws; what is not understood is in `problems`.
 * @param file name used in sources and problems
 * @param units units of bare numbers
 */
export function readDirectives(file: string, program: Program, units: Units): Directives {
  return new DirectiveReader(file, program, units).read();
}

/** One fact of a comment: `words` from the program's text, at its place. */
interface Fact {
  readonly words: string;
  readonly place: Place;
  readonly source: Source;
  readonly comment: Comment;
}

class DirectiveReader {
  private readonly facts: { -readonly [K in keyof Directives]: Directives[K] };
  private readonly tools = new Map<number, Tool>();
  private readonly intents: CutIntent[] = [];
  private readonly holdDowns: HoldDown[] = [];
  private readonly silences: Silence[] = [];
  private readonly problems: JobProblem[] = [];

  constructor(
    private readonly file: string,
    private readonly program: Program,
    private readonly units: Units,
  ) {
    const { tools, intents, holdDowns, silences, problems } = this;
    this.facts = { tools, intents, holdDowns, silences, problems };
  }

  read(): Directives {
    for (const comment of this.program.comments) this.comment(comment);
    return this.facts;
  }

  private comment(comment: Comment): void {
    const text = directiveText(comment);
    const { line, start, end } = comment;
    if (text === undefined) {
      if (markWithoutColon.test(comment.text)) {
        this.unclear(
          { line, start, end },
          'A colon is missing: write "cutwright:" ahead of what is declared.',
        );
      }
      return;
    }
    // Inside a comment, offsets count from behind its opening sign.
    const offset = start + 1 + comment.text.length - text.length;
    // A reason may hold a semicolon, so a silence takes the rest of its comment.
    const silence = /(?:^|;)\s*(?=silence\b)/i.exec(text);
    const splitAt = silence ? silence.index + silence[0].length : text.length;
    const factsText = silence ? text.slice(0, silence.index) : text;
    let at = 0;
    let count = 0;
    for (const part of factsText.split(";")) {
      if (this.at(part, offset + at, comment, (fact) => this.fact(fact))) count++;
      at += part.length + 1;
    }
    if (this.at(text.slice(splitAt), offset + splitAt, comment, (fact) => this.silence(fact))) count++;
    if (count === 0) {
      this.unclear({ line, start, end }, `Nothing is declared here. Known facts: ${factNames.join(", ")}.`);
    }
  }

  /** Hands the words of a part on, without the blanks around them; false where it is empty. */
  private at(part: string, offset: number, comment: Comment, take: (fact: Fact) => void): boolean {
    const words = part.trim();
    if (words === "") return false;
    const start = offset + part.length - part.trimStart().length;
    const { line } = comment;
    const source: Source = { kind: "comment", file: this.file, line: line + 1 };
    take({ words, place: { line, start, end: start + words.length }, source, comment });
    return true;
  }

  private unclear(place: Place, message: string): void {
    this.problems.push({ rule: "declaration-unclear", file: this.file, ...place, message });
  }

  private fact(fact: Fact): void {
    const split = splitFact(fact.words);
    if (!split) {
      const { written, near } = nearestFact(fact.words);
      this.unclear(
        fact.place,
        near
          ? `"${short(written)}" is not a known fact. Did you mean "${near}"?`
          : `"${short(written)}" is not a known fact. Known facts: ${factNames.join(", ")}.`,
      );
      return;
    }
    const { name, rest } = split;
    const word = rest.toLowerCase();
    const example = (text: string) =>
      this.unclear(fact.place, `"${short(fact.words)}" is not clear. ${text}`);
    for (const key of Object.keys(lengthFacts) as LengthFact[]) {
      const known = lengthFacts[key];
      if (known.name !== name) continue;
      const value = parseLength(rest, this.units);
      if (value !== undefined && (known.aboveZero ? value > 0 : value >= 0)) this.declare(key, fact, value);
      else example(`${known.remedy}, such as "${name} ${known.example}".`);
    }
    switch (name) {
      case "size": {
        const pair = this.pair(rest);
        if (pair && pair[0] > 0 && pair[1] > 0) this.declare("size", fact, pair);
        else example('Write the width in X and the depth in Y, such as "size 300 x 200 mm".');
        break;
      }
      case "corner": {
        const pair = this.pair(rest);
        if (pair) this.declare("corner", fact, pair);
        else example('Write X and Y of the board\'s lower-left corner, such as "corner -10 mm, -10 mm".');
        break;
      }
      case "zero":
        if (word === "top" || word === "bed") this.declare("zero", fact, word);
        else example('Write "zero top" or "zero bed".');
        break;
      case "material":
        if (rest) this.declare("material", fact, rest);
        else example('Name the material, such as "material MDF".');
        break;
      case "board":
        if (rest) this.declare("board", fact, rest);
        else example('Name a board of the job file, such as "board prototype".');
        break;
      case "tool": {
        const tool = toolFromWords(rest, this.units, fact.source);
        if (typeof tool === "string") example(tool || toolWordsExample);
        else this.tool(tool, fact);
        break;
      }
      case "through":
        if (rest) example('Write "through" alone.');
        else this.intent(fact, "through");
        break;
      case "partway":
        // "partway leaves 2 mm" in one breath is as clear as in two.
        if (/^leaves\b/i.test(rest)) this.leaves(fact, rest.slice("leaves".length), example);
        else if (rest) example('Write "partway", or "leaves 2 mm" with the thickness to be left.');
        else this.intent(fact, "partway");
        break;
      case "leaves":
        this.leaves(fact, rest, example);
        break;
      case "judge by": {
        const by = word.replace(/[\s-]+/g, " ");
        if (by === "worst case") this.declare("judgeBy", fact, "worst case");
        else if (by === "root sum square") this.declare("judgeBy", fact, "root-sum-square");
        else example('Write "judge by worst case" or "judge by root-sum-square".');
        break;
      }
      case "hold-down": {
        const holdDown = holdDownFromWords(
          rest,
          (text) => {
            const value = parseLength(text, this.units);
            return value !== undefined && value >= 0 ? value : undefined;
          },
          (text) => this.pair(text),
        );
        if (holdDown) this.holdDowns.push(holdDown);
        else example(holdDownExample);
        break;
      }
      case "silence":
        // A silence takes the rest of its comment, so it never comes here as a fact.
        break;
    }
  }

  /** Two lengths parted by x, × or a comma; the unit may stand once, at the end. */
  private pair(text: string): [number, number] | undefined {
    if (text.length > 100) return undefined;
    const parts = text.split(/\s*[x,×]\s*/i);
    if (parts.length !== 2) return undefined;
    const unit = /(?:mm|cm|inch|in|["″])$/i.exec(text)?.[0] ?? "";
    const [a, b] = parts.map((part) =>
      parseLength(/[a-z"″]$/i.test(part) ? part : `${part} ${unit}`, this.units),
    );
    return a === undefined || b === undefined ? undefined : [a, b];
  }

  private declare<K extends LengthFact | "size" | "corner" | "zero" | "material" | "board" | "judgeBy">(
    name: K,
    { place, source }: Fact,
    value: NonNullable<Directives[K]>["value"],
  ): void {
    const before = this.facts[name];
    if (before) {
      if (JSON.stringify(before.value) !== JSON.stringify(value)) {
        const other = before.place.line + 1;
        this.unclear(
          place,
          `${called(name)} is declared on line ${other} already, with another value; that one counts. Remove one.`,
        );
      }
      return;
    }
    Object.assign(this.facts, { [name]: { value, source, place } });
  }

  private tool(tool: Tool, { place }: Fact): void {
    const before = this.tools.get(tool.number);
    if (!before) this.tools.set(tool.number, tool);
    else if (JSON.stringify({ ...before, source: 0 }) !== JSON.stringify({ ...tool, source: 0 })) {
      this.unclear(
        place,
        `Tool ${tool.number} is declared on line ${before.source.line} already, otherwise; that one counts. Remove one.`,
      );
    }
  }

  private leaves(fact: Fact, text: string, example: (text: string) => void): void {
    const value = parseLength(text, this.units);
    if (value !== undefined && value > 0) this.intent(fact, "partway", value);
    else example('Write the thickness to be left, such as "leaves 2 mm".');
  }

  /** A statement about the cut that the comment stands on or ahead of. */
  private intent({ comment, place, source }: Fact, goes: CutIntent["goes"], leaves?: number): void {
    const line = lineOfNextWords(this.program, comment.line);
    if (line === undefined) {
      this.unclear(place, "No line follows that this could be about. Write it ahead of the cut.");
      return;
    }
    const same = (intent: CutIntent) => intent.where.kind === "line" && intent.where.line === line + 1;
    const index = this.intents.findIndex(same);
    const before = this.intents[index];
    if (before && before.goes !== goes) {
      this.unclear(
        place,
        `Line ${before.source.line} says the opposite about the same cut; that one counts. Remove one.`,
      );
    } else if (before?.leaves !== undefined && leaves !== undefined && before.leaves !== leaves) {
      this.unclear(
        place,
        `Line ${before.source.line} says another thickness to be left; that one counts. Remove one.`,
      );
    } else if (before) {
      // "partway; leaves 2 mm": the one with the number says more.
      if (leaves !== undefined) this.intents[index] = { ...before, leaves };
    } else {
      const where = { kind: "line", line: line + 1 } as const;
      this.intents.push({ where, goes, ...(leaves !== undefined ? { leaves } : {}), source });
    }
  }

  private silence({ words, place, comment }: Fact): void {
    const match = /^silence\s+([a-z-]+)(?:\s+because(?:\s+([^]*))?)?$/i.exec(words);
    if (!match) {
      this.unclear(
        place,
        `"${short(words)}" is not clear. Write one rule and the reason, such as "silence pass-repeated because spring pass".`,
      );
      return;
    }
    const rule = match[1].toLowerCase();
    const reason = match[2]?.trim() ?? "";
    if (reason === "") {
      this.problems.push({
        rule: "silence-without-reason",
        file: this.file,
        ...place,
        message: `This silences nothing: its reason is missing. Write "silence ${rule} because" and why.`,
      });
      return;
    }
    const { line } = comment;
    this.silences.push({ rule, line, appliesTo: lineOfNextWords(this.program, line) ?? line, reason });
  }
}

/** The line itself if it has words, else the next one that does; undefined: none follows. Zero-based. */
function lineOfNextWords(program: Program, line: number): number | undefined {
  for (let next = line; next < program.lineCount; next++) {
    if (program.firstWord[next] < program.firstWord[next + 1]) return next;
  }
  return undefined;
}

/** What a message calls a fact, as the beginning of its sentence. */
function called(fact: string): string {
  if (fact === "judgeBy") return "What to judge by";
  return `The ${fact in lengthFacts ? lengthFacts[fact as LengthFact].name : fact}`;
}

/** A quotation that does not fill the screen. */
function short(words: string): string {
  return words.length <= 60 ? words : `${words.slice(0, 57)}...`;
}

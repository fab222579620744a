/** Puts together what is declared: program comment, then job file, then settings, then a stated default. Lengths in mm. */
import { basename, dirname, isAbsolute, join, resolve } from "node:path";
import type { Program } from "../language/program.ts";
import { throughAllowance } from "./allowance.ts";
import { readDirectives, type Directives } from "./directives.ts";
import type { CutIntent, HoldDown, JobFacts, JobProblem, Source, Stock, Tool } from "./facts.ts";
import { JobReader } from "./job-reader.ts";
import { readProfile } from "./profile.ts";

const byDefault: Source = { kind: "default" };
/** Deepest cut allowed into the bed where none is declared, mm: a stated default (common practice, no source). */
export const defaultDeepestBedCut = 3;
/** Half-width of the band around the underside in which a cut counts as meant to go through (design section 5). */
export const throughBandOf = (thickness: number): number => Math.max(1, 0.1 * thickness);

export interface ResolveInput {
  /** Path of the program, as the caller names it. */
  readonly programFile: string;
  readonly program: Program;
  /** The job file; `others`: more of them that list the program. */
  readonly jobFile?: { readonly file: string; readonly text: string; readonly others?: readonly string[] };
  /** The section `cutwright` of the editor's settings. */
  readonly settings?: unknown;
  /** Board asked for by name: wins over everything. */
  readonly board?: string;
}

/** Resolves all facts for a program. Pure; anything wrong is in `problems`. */
export function resolveJob(input: ResolveInput): JobFacts {
  const { programFile, program } = input;
  const problems: JobProblem[] = [];
  const job = input.jobFile && new JobReader(input.jobFile.file, input.jobFile.text);
  const entries = job ? programEntries(job) : [];
  if (job && input.jobFile?.others?.length) {
    const names = [job.file, ...input.jobFile.others].map((file) => basename(file)).join(", ");
    job.problem(
      "job-ambiguous",
      0,
      1,
      `Several job files list this program (${names}); this one is used. Take it out of the others.`,
    );
  }
  const directives = readDirectives(programFile, program, statedUnits(program));
  const settings = readSettings(input.settings, (message) =>
    problems.push({ rule: "job-invalid", file: programFile, line: 0, start: 0, end: 0, message }),
  );

  const own = entries.find((entry) => resolve(entry.path) === resolve(programFile));
  const board =
    job &&
    chooseBoard(job, input.board ?? directives.board?.value ?? own?.board, directives, problems, programFile);
  const stock = stockOf(job, board, directives);
  const tools = new Map<number, Tool>(job ? toolsOf(job) : []);
  for (const tool of directives.tools.values()) tools.set(tool.number, tool);
  const boardPath = ["boards", board ?? ""];
  const allowance = throughAllowance(stock, {
    measuringError:
      board !== undefined ? job?.length([...boardPath, "measuringError"], { least: 0 }) : undefined,
    variation: board !== undefined ? job?.length([...boardPath, "variation"], { least: 0 }) : undefined,
    bedUnevenness: job?.length(["bed", "unevenness"], { least: 0 }),
    touchOffError: job?.length(["touchOffError"], { least: 0 }),
    tape: job?.length(["tape"], { least: 0 }),
    judgeBy: job?.choice(["judgeBy"], ["worst case", "root-sum-square"]),
  });
  const bedThickness = job?.length(["bed", "thickness"], { above: 0 });
  const facts: JobFacts = {
    ...(job ? { jobFile: job.file } : {}),
    programs: entries.map((entry) => resolve(entry.path)),
    boards: job?.keys(["boards"]) ?? [],
    stock,
    tools,
    ...(bedThickness ? { bedThickness } : {}),
    deepestBedCut: job?.length(["bed", "deepestCut"], { least: 0 }) ?? {
      value: defaultDeepestBedCut,
      source: byDefault,
    },
    allowance,
    ...(stock.thickness ? { throughBand: throughBandOf(stock.thickness.value) } : {}),
    // Comments first: where several speak of one cut, the first that fits counts.
    intents: [...directives.intents, ...(job ? intentsOf(job, programFile) : [])],
    silences: directives.silences,
    holdDowns: job ? holdDownsOf(job) : [],
    severities: { ...settings.severities, ...(job ? severitiesOf(job, ["rules"]) : {}) },
    machine: settings.machine,
    problems: [],
  };
  return { ...facts, problems: [...(job?.problems ?? []), ...directives.problems, ...problems] };
}

/** Units of bare numbers in comments: what the program's first G20 or G21 says. */
function statedUnits(program: Program): "mm" | "in" {
  for (let i = 0; i < program.wordCount; i++) {
    if (program.wordLetter[i] !== 71) continue;
    if (program.wordValue[i] === 20) return "in";
    if (program.wordValue[i] === 21) return "mm";
  }
  return "mm";
}

interface ProgramEntry {
  readonly path: string;
  readonly board: string | undefined;
}

function programEntries(job: JobReader): ProgramEntry[] {
  const entries: ProgramEntry[] = [];
  for (let i = 0; i < job.entries(["programs"]); i++) {
    const name = job.string(["programs", i]) ?? job.string(["programs", i, "file"]);
    if (name === undefined) continue;
    if (isAbsolute(name) || /^[a-z]:/i.test(name) || name.split(/[\\/]/).includes("..")) {
      job.invalid(
        ["programs", i],
        "A program must lie beside the job file or below it: write its name without .. or a drive.",
      );
      continue;
    }
    entries.push({ path: join(dirname(job.file), name), board: job.string(["programs", i, "board"]) });
  }
  return entries;
}

/** The programs a job file lists, as absolute paths. */
export function programsOf(file: string, text: string): string[] {
  return programEntries(new JobReader(file, text)).map((entry) => resolve(entry.path));
}

function chooseBoard(
  job: JobReader,
  asked: string | undefined,
  directives: Directives,
  problems: JobProblem[],
  programFile: string,
): string | undefined {
  const names = job.keys(["boards"]);
  if (names.length === 0) return undefined;
  const known = `The boards are ${names.map((name) => `"${name}"`).join(", ")}.`;
  if (asked !== undefined) {
    if (names.includes(asked)) return asked;
    const line = (directives.board?.source.line ?? 1) - 1;
    problems.push({
      rule: "job-invalid",
      file: programFile,
      line,
      start: 0,
      end: 0,
      message: `No board "${asked}" is declared. ${known}`,
    });
  }
  const inForce = job.string(["board"]);
  if (inForce !== undefined && names.includes(inForce)) return inForce;
  if (inForce !== undefined)
    job.invalid(["board"], `No board "${inForce}" is declared; "${names[0]}" is taken. ${known}`);
  else if (names.length > 1) {
    job.problem(
      "job-ambiguous",
      0,
      1,
      `Several boards are declared and none is chosen; "${names[0]}" is taken. Add "board": "${names[0]}".`,
    );
  }
  return names[0];
}

function stockOf(job: JobReader | undefined, board: string | undefined, directives: Directives): Stock {
  const at = (name: string) => ["boards", board ?? "", name];
  const has = job !== undefined && board !== undefined;
  const zero = has ? job.choice(at("zero"), ["top", "bed"]) : undefined;
  const material = has ? job.string(at("material")) : undefined;
  const thickness = directives.thickness ?? (has ? job.length(at("thickness"), { above: 0 }) : undefined);
  const size = directives.size ?? (has ? job.point(at("size"), { above: 0 }) : undefined);
  const corner = directives.corner ?? (has ? job.point(at("corner")) : undefined);
  const stuff =
    directives.material ??
    (has && material ? { value: material, source: job.source(at("material")) } : undefined);
  return {
    ...(board !== undefined ? { name: board } : {}),
    ...(thickness ? { thickness } : {}),
    ...(size ? { size } : {}),
    ...(corner ? { corner } : {}),
    zero:
      directives.zero ??
      (has && zero ? { value: zero, source: job.source(at("zero")) } : { value: "top", source: byDefault }),
    ...(stuff ? { material: stuff } : {}),
  };
}

function* toolsOf(job: JobReader): Generator<[number, Tool]> {
  for (let i = 0; i < job.entries(["tools"]); i++) {
    const at = (name: string) => ["tools", i, name] as const;
    const number = job.whole(at("number"), 0, 65535);
    const shape = job.choice(at("shape"), ["flat", "ball", "V", "bull", "drill"]);
    const diameter = job.length(at("diameter"), { above: 0 })?.value;
    if (number === undefined || shape === undefined || diameter === undefined) continue;
    const degrees = job.value(at("angle"));
    const angle =
      typeof degrees === "number" && degrees > 0 && degrees < 180 ? (degrees * Math.PI) / 180 : undefined;
    if (shape === "V" && angle === undefined) {
      job.invalid(
        ["tools", i],
        'A V cutter needs its full point "angle" in degrees, for example "angle": 60.',
      );
      continue;
    }
    const tip = job.length(at("tipDiameter"), { least: 0 })?.value;
    const corner = job.length(at("cornerRadius"), { above: 0 })?.value;
    if (shape === "bull" && (corner === undefined || corner > diameter / 2)) {
      job.invalid(["tools", i], 'A bull-nose cutter needs its "cornerRadius", at most half the diameter.');
      continue;
    }
    if (tip !== undefined && tip >= diameter) {
      job.invalid(at("tipDiameter"), "The tip must be smaller than the diameter.");
      continue;
    }
    const flutes = job.whole(at("flutes"), 1, 20);
    const cuttingLength = job.length(at("cuttingLength"), { above: 0 })?.value;
    const tool: Tool = {
      number,
      shape,
      diameter,
      ...(angle !== undefined ? { angle } : {}),
      ...(tip !== undefined ? { tipDiameter: tip } : {}),
      ...(corner !== undefined ? { cornerRadius: corner } : {}),
      ...(flutes !== undefined ? { flutes } : {}),
      ...(cuttingLength !== undefined ? { cuttingLength } : {}),
      source: job.source(["tools", i]),
    };
    yield [number, tool];
  }
}

function* intentsList(job: JobReader): Generator<CutIntent> {
  for (let i = 0; i < job.entries(["cuts"]); i++) {
    const at = (name: string) => ["cuts", i, name] as const;
    const goes = job.choice(at("goes"), ["through", "partway"]);
    const operation = job.string(at("operation"));
    const line = job.whole(at("line"), 1, 1e9);
    const place = job.point(at("at"))?.value;
    const where: CutIntent["where"] | undefined =
      operation !== undefined
        ? { kind: "operation", name: operation }
        : line !== undefined
          ? { kind: "line", line }
          : place && { kind: "place", x: place[0], y: place[1] };
    if (goes === undefined) continue;
    if (!where) {
      job.invalid(
        ["cuts", i],
        'Say which cuts are meant: "operation" with its name, "line", or "at" with a place.',
      );
      continue;
    }
    const program = job.string(at("program"));
    const leaves = job.length(at("leaves"), { above: 0 })?.value;
    yield {
      where,
      ...(program !== undefined ? { program: resolve(join(dirname(job.file), program)) } : {}),
      goes,
      ...(leaves !== undefined ? { leaves } : {}),
      source: job.source(["cuts", i]),
    };
  }
}

/** Statements about this program and about every program of the job. */
function intentsOf(job: JobReader, programFile: string): CutIntent[] {
  const own = resolve(programFile);
  return [...intentsList(job)].filter((intent) => intent.program === undefined || intent.program === own);
}

function holdDownsOf(job: JobReader): HoldDown[] {
  const found: HoldDown[] = [];
  for (let i = 0; i < job.entries(["holdDowns"]); i++) {
    const kind = job.choice(["holdDowns", i, "kind"], ["screw", "clamp", "tape"]);
    const at = job.point(["holdDowns", i, "at"])?.value;
    if (!kind || !at) continue;
    const keepOut = job.length(["holdDowns", i, "keepOut"], { least: 0 })?.value ?? 0;
    const height = job.length(["holdDowns", i, "height"], { least: 0 })?.value ?? 0;
    found.push({ kind, at, keepOut, height });
  }
  return found;
}

type Severities = JobFacts["severities"];

function severitiesOf(job: JobReader, path: readonly string[]): Severities {
  const found: Record<string, "error" | "warning" | "info" | "off"> = {};
  for (const rule of job.keys(path)) {
    const severity = job.choice([...path, rule], ["error", "warning", "info", "off"]);
    if (severity) found[rule] = severity;
  }
  return found;
}

function readSettings(
  settings: unknown,
  problem: (message: string) => void,
): { severities: Severities; machine: JobFacts["machine"] } {
  const given =
    typeof settings === "object" && settings !== null ? (settings as Record<string, unknown>) : {};
  const severities: Record<string, "error" | "warning" | "info" | "off"> = {};
  const rules = typeof given.rules === "object" && given.rules !== null ? Object.entries(given.rules) : [];
  for (const [rule, value] of rules) {
    if (value === "error" || value === "warning" || value === "info" || value === "off")
      severities[rule] = value;
    else problem(`The setting cutwright.rules: "${rule}" must be "error", "warning", "info" or "off".`);
  }
  return { severities, machine: readProfile(given.machine, problem) };
}

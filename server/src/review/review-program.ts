/** The review: a program and what is declared for it, to findings. Pure: no files, no clock. Lengths in mm. */
import { groupCuts } from "../cuts/group.ts";
import type { CutTree } from "../cuts/cuts.ts";
import type { JobFacts, Silence } from "../job/facts.ts";
import { toolFor } from "../job/tool-for.ts";
import { lineEnd, type Program } from "../language/program.ts";
import { readProgram } from "../language/read.ts";
import { motionLength } from "../machine/geometry.ts";
import { interpret } from "../machine/interpret.ts";
import { MotionFlag, MotionKind, type Toolpath } from "../machine/motions.ts";
import { coveredByEarlier } from "../stock/cover.ts";
import { heightAt } from "../stock/probe.ts";
import { surfaces } from "../stock/surfaces.ts";
import type { Finding, Related, Severity } from "./finding.ts";
import { judgeThrough } from "./judge-through.ts";
import type { ThroughResult } from "./judgements.ts";
import { lengthText } from "./length-text.ts";
import { linesText } from "./wording.ts";
import { cutterTable, declaredArea, runMaterial, type EarlierRun, type MaterialRun } from "./material-run.ts";
import type { Review, ReviewInput, ReviewSummary, Skin } from "./review.ts";
import type { Draft, Rule, RuleContext } from "./rule.ts";
import { rules } from "./rules/index.ts";

/** Findings of one rule that are listed; the rest are counted in the summary. */
export const mostFindingsOfARule = 300;

/** Reviews a program. Never throws on any text or job. */
export function reviewProgram(input: ReviewInput): Review {
  const { file, text, job } = input;
  const program = readProgram(text);
  const toolpath = interpret(program, job.machine);
  const { top, underside, bed } = surfaces(job.stock);
  const tree = groupCuts(program, toolpath, job, { top, underside });
  const earlier = (input.earlier ?? []).map((run) => ({
    motions: interpret(readProgram(run.text), run.job.machine).motions,
    job: run.job,
  }));
  const material = runMaterial(toolpath.motions, tree, job, top, underside, earlier, input.cell);
  const cutterOf = cutterTable(job);
  const through = judgeThrough(
    toolpath.motions,
    tree,
    underside,
    job.throughBand ?? 0,
    material?.field,
    cutterOf,
  );
  const silenceUse = new Set<Silence>();
  const context = makeContext({
    file,
    program,
    toolpath,
    job,
    tree,
    top,
    underside,
    bedTop: bed,
    earlier,
    material,
    through,
    silenceUse,
  });

  const findings: Finding[] = [];
  const silenced: { finding: Finding; silence: Silence }[] = [];
  const unlisted: string[] = [];
  for (const rule of rules) {
    const severity = job.severities[rule.id];
    if (severity === "off") continue;
    let listed = 0;
    let dropped = 0;
    for (const draft of rule.check(context)) {
      if (listed >= mostFindingsOfARule) {
        dropped++;
        continue;
      }
      listed++;
      const finding = finish(draft, rule, severity, context);
      const silence =
        finding.file === file
          ? silenceOf(finding, job.silences, approachLine(finding, toolpath, tree))
          : undefined;
      if (silence) {
        silenceUse.add(silence);
        silenced.push({ finding, silence });
      } else findings.push(finding);
    }
    if (dropped > 0) unlisted.push(`${dropped} more findings of ${rule.id} are not listed.`);
  }
  findings.sort((a, b) =>
    a.file === b.file ? a.line - b.line || a.start - b.start : a.file < b.file ? -1 : 1,
  );

  return {
    file,
    program,
    toolpath,
    job,
    tree,
    ...(material ? { field: material.field, effects: material.effects } : {}),
    ...(material?.startHeight ? { startHeight: material.startHeight } : {}),
    skins: skinsOf(through),
    findings,
    silenced,
    summary: summarise(program, toolpath, job, tree, top, underside, material, through, unlisted),
  };
}

const ruleIds: ReadonlySet<string> = new Set(rules.map((rule) => rule.id));

interface Parts {
  readonly file: string;
  readonly program: Program;
  readonly toolpath: Toolpath;
  readonly job: JobFacts;
  readonly tree: CutTree;
  readonly top: number | undefined;
  readonly underside: number | undefined;
  readonly bedTop: number | undefined;
  readonly earlier: readonly EarlierRun[];
  readonly material: MaterialRun | undefined;
  readonly through: readonly ThroughResult[];
  readonly silenceUse: ReadonlySet<Silence>;
}

function makeContext(parts: Parts): RuleContext {
  const { file, program, toolpath, job, tree, material } = parts;
  const { motions } = toolpath;
  const length = (mm: number) => lengthText(mm, toolpath.units);
  const area = declaredArea(job);
  const footprint = area && ([area.x0, area.y0, area.x0 + area.width, area.y0 + area.depth] as const);
  const cutterOf = cutterTable(job);
  return {
    file,
    program,
    toolpath,
    job,
    tree,
    top: parts.top,
    underside: parts.underside,
    bedTop: parts.bedTop,
    footprint,
    field: material?.field,
    effects: material?.effects,
    rapidHits: material?.rapidHits ?? [],
    through: parts.through,
    removesNothing: (index) => {
      const pass = tree.passes[index];
      return coveredByEarlier(motions, cutterOf, pass.first, pass.end, {
        ...(parts.top === undefined ? {} : { top: parts.top }),
        ...(footprint ? { footprint } : {}),
        startAt: (x, y) => heightAfter(parts.earlier, parts.top ?? 0, x, y),
      });
    },
    toolOf: (number) => toolFor(job, number),
    length,
    cutName: (index) => {
      const cut = tree.cuts[index];
      const kind = cut.kind[0].toUpperCase() + cut.kind.slice(1);
      return `${kind} in "${tree.operations[cut.operation].name}"`;
    },
    passRelated: (index) => {
      const pass = tree.passes[index];
      const number = tree.cuts[pass.cut].passes.indexOf(index) + 1;
      const total = tree.cuts[pass.cut].passes.length;
      const [start, end] = wordSpan(program, pass.firstLine);
      const message = `Pass ${number} of ${total}, ${linesText(pass.firstLine, pass.lastLine)}: lowest at Z${length(pass.bottom)}.`;
      return { file, line: pass.firstLine + 1, start, end, message };
    },
    thicknessRelated: () => thicknessRelated(file, program, job, length),
    ruleIds,
    unusedSilences: () => job.silences.filter((silence) => !parts.silenceUse.has(silence)),
  };
}

/** Earlier programs with more motions than this are not asked point by point: a pass is then not called useless for them. */
const mostEarlierMotions = 20_000;

/** Exact height at a point after the earlier programs, mm. */
function heightAfter(earlier: readonly EarlierRun[], top: number, x: number, y: number): number {
  let height = top;
  for (const { motions, job } of earlier) {
    if (motions.count <= mostEarlierMotions)
      height = Math.min(height, heightAt(motions, cutterTable(job), top, x, y));
  }
  return height;
}

function thicknessRelated(
  file: string,
  program: Program,
  job: JobFacts,
  length: (mm: number) => string,
): Related[] {
  const { thickness, name } = job.stock;
  if (!thickness) return [];
  const { source } = thickness;
  const board = name ? `The board "${name}"` : "The board";
  const line = source.line ?? 1;
  const inProgram = source.kind === "comment";
  const [start, end] = inProgram ? lineSpan(program, line - 1) : [0, 0];
  return [
    {
      file: inProgram ? file : (source.file ?? file),
      line,
      start,
      end,
      message: `${board} is ${length(thickness.value)} thick, with Z0 on ${job.stock.zero.value === "top" ? "its top" : "the bed"}.`,
    },
  ];
}

function lineSpan(program: Program, line: number): [number, number] {
  const safe = Math.min(Math.max(line, 0), program.lineCount - 1);
  return [program.lineStart[safe], lineEnd(program, safe)];
}

/** From the first word of a line to its last; the whole line where it has none. */
function wordSpan(program: Program, line: number): [number, number] {
  const first = program.firstWord[line];
  const past = program.firstWord[line + 1];
  return past > first ? [program.wordStart[first], program.wordEnd[past - 1]] : lineSpan(program, line);
}

function finish(draft: Draft, rule: Rule, override: Severity | undefined, context: RuleContext): Finding {
  const { program, toolpath, file } = context;
  const [start, end] = draft.file && draft.file !== file ? [0, 0] : wordSpan(program, draft.line);
  const inDoubt = draft.motions !== undefined && isInDoubt(toolpath, draft.motions);
  const because = inDoubt ? ` In doubt: line ${toolpath.doubtFromLine + 1} was not understood.` : "";
  return {
    rule: rule.id,
    severity: override ?? draft.severity ?? rule.severity,
    file: draft.file ?? file,
    line: draft.line + 1,
    endLine: (draft.endLine ?? draft.line) + 1,
    start: draft.start ?? start,
    end: draft.end ?? end,
    message: draft.message + because,
    ...(draft.at ? { at: draft.at } : {}),
    ...(draft.values ? { values: rounded(draft.values) } : {}),
    ...(draft.related?.length ? { related: draft.related } : {}),
    ...(inDoubt ? { inDoubt } : {}),
    ...(draft.motions ? { motions: draft.motions } : {}),
    ...(draft.cut !== undefined ? { cut: draft.cut } : {}),
    ...(draft.pass !== undefined ? { pass: draft.pass } : {}),
    ...(draft.fixes ? { fixes: draft.fixes } : {}),
  };
}

/** Numbers to a millionth: what floating-point sums add beyond that is noise to a reader. */
function rounded(values: Readonly<Record<string, number>>): Record<string, number> {
  return Object.fromEntries(
    Object.entries(values).map(([name, value]) => [name, Math.round(value * 1e6) / 1e6]),
  );
}

function isInDoubt(toolpath: Toolpath, [first, end]: readonly [number, number]): boolean {
  const { flags, count } = toolpath.motions;
  for (let i = first; i < Math.min(end, count); i++) if (flags[i] & MotionFlag.inDoubt) return true;
  return false;
}

/** First line that leads to a finding on a pass: people put their remark ahead of the approach. Zero-based. */
function approachLine(finding: Finding, { motions }: Toolpath, tree: CutTree): number {
  const line = finding.line - 1;
  if (finding.pass === undefined) return line;
  const before = tree.passes[finding.pass].first - 1;
  let first = before;
  while (first >= 0 && tree.passOfMotion[first] < 0) first--;
  return first === before ? line : Math.min(line, motions.line[first + 1]);
}

function silenceOf(finding: Finding, silences: readonly Silence[], from: number): Silence | undefined {
  const line = finding.line - 1;
  return silences.find(
    (s) => s.rule === finding.rule && ((s.appliesTo >= from && s.appliesTo <= line) || s.line === line),
  );
}

function skinsOf(through: readonly ThroughResult[]): Skin[] {
  return through
    .filter((result) => result.left > 0)
    .map((result) => ({ cut: result.cut, thickness: result.left, area: result.area }));
}

function summarise(
  program: Program,
  toolpath: Toolpath,
  job: JobFacts,
  tree: CutTree,
  top: number | undefined,
  underside: number | undefined,
  material: MaterialRun | undefined,
  through: readonly ThroughResult[],
  unlisted: readonly string[],
): ReviewSummary {
  const { motions } = toolpath;
  let feedSeconds = 0;
  let rapidSeconds = 0;
  for (let i = 0; i < motions.count; i++) {
    const kind = motions.kind[i];
    if (kind === MotionKind.dwell) feedSeconds += motions.dwellSeconds.get(i) ?? 0;
    else if (motions.flags[i] & (MotionFlag.startUnknown | MotionFlag.endUnknown)) continue;
    else if (kind === MotionKind.rapid) rapidSeconds += rapidTime(toolpath, job, i);
    else if (motions.feed[i] > 0) feedSeconds += (motionLength(motions, i) / motions.feed[i]) * 60;
  }
  const sum = (values: Float32Array | undefined) => values?.reduce((total, value) => total + value, 0) ?? 0;
  const inDoubt = (result: ThroughResult) => (motions.flags[result.motion] & MotionFlag.inDoubt) !== 0;
  const lowest = tree.cuts.reduce((low, cut) => Math.min(low, cut.bottom), Infinity);
  return {
    lines: program.lineCount,
    motions: motions.count,
    allRead: toolpath.doubtFromLine < 0,
    notJudged: [...notJudged(program, toolpath, job, tree, top, material), ...unlisted],
    ...(material ? { cell: Math.max(material.field.grid.dx, material.field.grid.dy) } : {}),
    removedStock: sum(material?.effects.stockVolume),
    removedBed: sum(material?.effects.bedVolume),
    ...(underside !== undefined ? { deepestInBed: Math.max(0, underside - lowest) } : {}),
    throughCuts: through.length,
    shortCuts: through.filter((result) => result.left > 0).length,
    clearedCuts: through.filter((result) => result.left <= 0 && !inDoubt(result)).length,
    feedSeconds,
    rapidSeconds,
  };
}

function rapidTime(toolpath: Toolpath, job: JobFacts, i: number): number {
  const { x, y, z } = toolpath.motions;
  const [rateX, rateY, rateZ] = job.machine.rapidRate;
  const minutes = Math.max(
    Math.abs(x[i + 1] - x[i]) / rateX,
    Math.abs(y[i + 1] - y[i]) / rateY,
    Math.abs(z[i + 1] - z[i]) / rateZ,
  );
  return minutes * 60;
}

/** Sentences on what this review does not speak of, each with the remedy. */
function notJudged(
  program: Program,
  toolpath: Toolpath,
  job: JobFacts,
  tree: CutTree,
  top: number | undefined,
  material: MaterialRun | undefined,
): string[] {
  const notes: string[] = [];
  if (toolpath.doubtFromLine >= 0) {
    notes.push(`Line ${toolpath.doubtFromLine + 1} was not understood: everything after it is in doubt.`);
  }
  if (!job.stock.thickness && toolpath.motions.count > 0) {
    notes.push("Whether cuts go through: the thickness of the board is not declared.");
  }
  if (top === undefined && toolpath.motions.count > 0) {
    notes.push(
      "The material: with Z0 on the bed, the top of the board is known only once its thickness is declared.",
    );
  } else if (!material && tree.cuts.length > 0) {
    notes.push("The material: the cuts spread over more than 10 m; check the units and the numbers.");
  }
  if (!job.stock.size && tree.cuts.length > 0) {
    notes.push(
      "Whether cuts leave the board: its size is not declared. A board a little larger than the cuts is drawn.",
    );
  } else if (job.stock.size && !job.stock.corner) {
    notes.push("Where the board lies is not declared: its lower-left corner is taken to be at X0 Y0.");
  }
  const lost = cutsAtUnknownPlaces(toolpath);
  if (lost.moves > 0) {
    notes.push(
      `${lost.moves === 1 ? "A cutting move runs" : `${lost.moves} cutting moves run`} (from line ${lost.line + 1}) where X, Y or Z has not been stated: not judged. Start with a rapid to a stated place.`,
    );
  }
  if (program.deletedLines.size > 0) {
    const lines =
      program.deletedLines.size === 1 ? "1 line begins" : `${program.deletedLines.size} lines begin`;
    notes.push(`${lines} with /: reviewed as if the block-delete switch were off, so that they run.`);
  }
  return notes;
}

/** Feeds and arcs whose end is not known on some axis, and the line of the first. */
function cutsAtUnknownPlaces({ motions }: Toolpath): { moves: number; line: number } {
  let moves = 0;
  let line = -1;
  for (let i = 0; i < motions.count; i++) {
    const cuts = motions.kind[i] === MotionKind.feed || motions.kind[i] === MotionKind.arc;
    if (!cuts || !(motions.flags[i] & MotionFlag.endUnknown)) continue;
    if (moves++ === 0) line = motions.line[i];
  }
  return { moves, line };
}

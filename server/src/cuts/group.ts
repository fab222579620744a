/** Motions to passes, passes to cuts, cuts to operations (design section 2). Lengths in mm. */
import type { JobFacts } from "../job/facts.ts";
import { toolFor } from "../job/tool-for.ts";
import type { Program } from "../language/program.ts";
import type { Toolpath } from "../machine/motions.ts";
import type { Cut, CutTree, Pass } from "./cuts.ts";
import { declaredByCut } from "./declared.ts";
import { HeadingReader, type Heading } from "./headings.ts";
import { declaredIntent, inferredIntent } from "./intent.ts";
import { CutMatcher } from "./match.ts";
import { headingKey, makeOperations, type HeadedCut } from "./operations.ts";
import { findPasses, sameLevel, type FoundPass } from "./passes.ts";
import type { Extent } from "./plan-path.ts";
import { shapeOf } from "./shape.ts";
import { findTabs } from "./tabs.ts";
import { grooveWidth } from "./width.ts";

/**
 * The tree of a program. Never fails; a program that cuts nothing gives an empty tree.
 * @param surface Z of the stock's top and underside, mm; undefined where not known
 */
export function groupCuts(
  program: Program,
  toolpath: Toolpath,
  job: JobFacts,
  surface: { readonly top: number | undefined; readonly underside: number | undefined },
): CutTree {
  const { motions } = toolpath;
  const diameters = new Map<number, number>();
  const diameterOf = (tool: number): number => {
    let diameter = diameters.get(tool);
    if (diameter === undefined) diameters.set(tool, (diameter = toolFor(job, tool).tool.diameter));
    return diameter;
  };
  const { top } = surface;
  const widthOf = (pass: FoundPass): number =>
    grooveWidth(toolFor(job, pass.tool).tool, top === undefined ? Infinity : top - pass.bottom);
  const found = findPasses(motions, top, diameterOf);
  const shapes = new Map<FoundPass, Cut["kind"]>();
  const kindOf = (pass: FoundPass): Cut["kind"] => {
    let kind = shapes.get(pass);
    if (!kind) shapes.set(pass, (kind = shapeOf(motions, pass, widthOf(pass))));
    return kind;
  };

  const { drafts, cutOfPass } = joinPasses(program, toolpath, found, widthOf, kindOf);
  const operations = makeOperations(drafts);
  const operationOfCut: number[] = [];
  for (const operation of operations) for (const cut of operation.cuts) operationOfCut[cut] = operation.index;

  const passOfMotion = new Int32Array(motions.count).fill(-1);
  const passes = found.map((pass, index): Pass => {
    passOfMotion.fill(index, pass.first, pass.end);
    return {
      index,
      first: pass.first,
      end: pass.end,
      firstLine: motions.line[pass.first],
      lastLine: motions.line[pass.end - 1],
      bottom: pass.bottom,
      bottomMotion: pass.bottomMotion,
      length: pass.length,
      seconds: pass.seconds,
      extent: pass.extent,
      tabs: findTabs(motions, pass),
      cut: cutOfPass[index],
    };
  });
  const declared = declaredByCut(
    {
      program,
      toolpath,
      passes: found,
      passOfMotion,
      cutOfPass,
      cuts: drafts,
      operations,
      diameterOf,
    },
    job.intents,
  );
  const cuts = drafts.map((draft, index): Cut => {
    const intent = declared.get(index);
    const { bottom } = found[draft.deepestPass];
    return {
      index,
      kind: draft.rows >= fewestRows ? "pocket" : kindOf(found[draft.shapePass]),
      passes: draft.passes,
      operation: operationOfCut[index],
      tool: draft.tool,
      bottom,
      deepestPass: draft.deepestPass,
      extent: draft.passes.map((pass) => found[pass].extent).reduce(union),
      intent: intent
        ? declaredIntent(intent)
        : inferredIntent(bottom, surface.underside, job, toolpath.units),
    };
  });
  return { operations, cuts, passes, passOfMotion };
}

/** Two tracks side by side make a wide slot or ring, three clear an area. */
const fewestRows = 3;

/** A cut in the making. */
interface CutDraft extends HeadedCut {
  lastLine: number;
  readonly passes: number[];
  /** Tracks side by side that were cut with a retract between them. */
  rows: number;
  /** The last of its deepest passes: a level follows the way down to it. */
  deepestPass: number;
  /** Pass with the longest core, the deepest of those: what its kind is told by. */
  shapePass: number;
}

function joinPasses(
  program: Program,
  toolpath: Toolpath,
  found: readonly FoundPass[],
  widthOf: (pass: FoundPass) => number,
  kindOf: (pass: FoundPass) => Cut["kind"],
): { drafts: CutDraft[]; cutOfPass: number[] } {
  const { motions, events, firstMotionOfLine } = toolpath;
  const changes = events.filter((event) => event.kind === "tool");
  const headings = new HeadingReader(program, firstMotionOfLine);
  const isRing = (pass: FoundPass) => ["outline", "round hole"].includes(kindOf(pass));
  const matcher = new CutMatcher(motions, widthOf, isRing);
  const scopes = new Map<string, number>();
  const drafts: CutDraft[] = [];
  const cutOfPass: number[] = [];
  let run = 0;
  let after = -1;
  let heading: Heading | undefined;
  let scopeName = "";
  found.forEach((pass, index) => {
    const firstLine = motions.line[pass.first];
    const lastLine = motions.line[pass.end - 1];
    const runBefore = run;
    while (run < changes.length && changes[run].motion <= pass.first) run++;
    if (run !== runBefore) {
      heading = undefined;
      scopeName = "";
    }
    const own = headings.ahead(after, firstLine);
    after = lastLine;
    if (own && !own.weak) {
      heading = own;
      scopeName = headingKey(own.name);
    }
    const scopeKey = `${run} ${scopeName}`;
    const scope = scopes.get(scopeKey) ?? scopes.size;
    scopes.set(scopeKey, scope);
    const match = matcher.find(pass, scope);
    const cut = match?.cut ?? drafts.length;
    if (!match) {
      matcher.begin(cut, pass, scope);
      if (own) heading = own;
      drafts.push({
        tool: pass.tool,
        run,
        heading,
        firstLine,
        lastLine,
        passes: [],
        rows: 1,
        deepestPass: index,
        shapePass: index,
      });
    }
    const draft = drafts[cut];
    if (match?.row) draft.rows++;
    draft.passes.push(index);
    draft.lastLine = Math.max(draft.lastLine, lastLine);
    if (pass.bottom <= found[draft.deepestPass].bottom + sameLevel / 100) draft.deepestPass = index;
    const shape = found[draft.shapePass];
    if (
      pass.coreLength >= shape.coreLength * 0.9 &&
      (pass.bottom <= shape.bottom || pass.coreLength > shape.coreLength * 1.1)
    )
      draft.shapePass = index;
    cutOfPass.push(cut);
  });
  return { drafts, cutOfPass };
}

function union(a: Extent, b: Extent): Extent {
  return [Math.min(a[0], b[0]), Math.min(a[1], b[1]), Math.max(a[2], b[2]), Math.max(a[3], b[3])];
}

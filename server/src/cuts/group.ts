/** Motions to passes, cuts and operations. Lengths in mm. */
import type { JobFacts } from "../job/facts.ts";
import { toolFor } from "../job/tool-for.ts";
import type { Program } from "../language/program.ts";
import type { Toolpath } from "../machine/motions.ts";
import type { Cut, CutTree, Operation, Pass } from "./cuts.ts";
import { intentOf } from "./intent.ts";
import { matchPasses } from "./match.ts";
import { NameComments } from "./operations.ts";
import { splitPasses, type RawPass } from "./passes.ts";
import { shapeOf } from "./shape.ts";
import { tabsOf } from "./tabs.ts";

/**
 * Groups a program's motions.
 * @param surface Z of the stock top and its underside, undefined where not known
 */
export function groupCuts(
  program: Program,
  toolpath: Toolpath,
  job: JobFacts,
  surface: { top: number | undefined; underside: number | undefined },
): CutTree {
  const { motions, units } = toolpath;
  const raw = splitPasses(motions, surface.top);
  const groups = matchPasses(motions, raw);
  const cutOfPass = new Int32Array(raw.length);
  groups.forEach((passes, cut) => passes.forEach((pass) => (cutOfPass[pass] = cut)));

  const operations = nameOperations(program, toolpath, raw, groups);
  const operationOfCut = new Int32Array(groups.length);
  operations.forEach((operation) => operation.cuts.forEach((cut) => (operationOfCut[cut] = operation.index)));

  const passes: Pass[] = raw.map((pass, index) => ({
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
    tabs: tabsOf(motions, pass),
    cut: cutOfPass[index],
  }));

  const cuts: Cut[] = groups.map((members, index) => {
    const deepestPass = members.reduce(
      (deep, p) => (raw[p].bottom < raw[deep].bottom ? p : deep),
      members[0],
    );
    const deepest = raw[deepestPass];
    const { tool } = toolFor(job, deepest.tool);
    const extent = members.reduce<[number, number, number, number]>(
      ([x0, y0, x1, y1], p) => {
        const e = raw[p].extent;
        return [Math.min(x0, e[0]), Math.min(y0, e[1]), Math.max(x1, e[2]), Math.max(y1, e[3])];
      },
      [Infinity, Infinity, -Infinity, -Infinity],
    );
    const operation = operationOfCut[index];
    const intent = intentOf(
      {
        operation: operations[operation].name,
        extent,
        lines: members.map((p) => [approachLine(toolpath, raw[p].first), passes[p].lastLine] as const),
        bottom: deepest.bottom,
        radius: tool.diameter / 2,
      },
      job,
      surface.underside,
      units,
    );
    return {
      index,
      kind: shapeOf(motions, deepest, tool.diameter),
      passes: members,
      operation,
      tool: deepest.tool,
      bottom: deepest.bottom,
      deepestPass,
      extent,
      intent,
    };
  });

  const passOfMotion = new Int32Array(motions.count).fill(-1);
  raw.forEach((pass, index) => passOfMotion.fill(index, pass.first, pass.end));
  return { operations, cuts, passes, passOfMotion };
}

/** Line of the first motion of the approach to a pass: a remark ahead of the approach speaks of the pass after it. */
function approachLine({ motions }: Toolpath, first: number): number {
  let i = first;
  while (i > 0 && motions.kind[i - 1] === 0 && motions.tool[i - 1] === motions.tool[first]) i--;
  return motions.line[i];
}

function nameOperations(
  program: Program,
  { motions }: Toolpath,
  raw: readonly RawPass[],
  groups: readonly (readonly number[])[],
): Operation[] {
  interface Draft {
    name: string;
    named: boolean;
    tool: number;
    run: number;
    comment: number;
    cuts: number[];
    firstLine: number;
    lastLine: number;
  }
  const comments = new NameComments(program);
  const drafts: Draft[] = [];
  groups.forEach((members, cut) => {
    const pass = raw[members[0]];
    const comment = comments.before(motions.line[pass.first]);
    const last = drafts.at(-1);
    // A comment deeper in the last operation that named no cut of its own (between passes of one cut) splits nothing.
    if (!last || last.run !== pass.run || (comment && comment.line !== last.comment)) {
      const fresh = comment && comment.line !== last?.comment;
      drafts.push({
        name: fresh ? comment.name : `Cuts with tool ${pass.tool}`,
        named: fresh === true,
        tool: pass.tool,
        run: pass.run,
        comment: comment?.line ?? -1,
        cuts: [],
        firstLine: motions.line[pass.first],
        lastLine: motions.line[pass.first],
      });
    }
    const draft = drafts[drafts.length - 1];
    draft.cuts.push(cut);
    for (const p of members) {
      draft.firstLine = Math.min(draft.firstLine, motions.line[raw[p].first]);
      draft.lastLine = Math.max(draft.lastLine, motions.line[raw[p].end - 1]);
    }
  });
  return drafts.map(({ name, named, tool, cuts, firstLine, lastLine }, index) => ({
    index,
    name,
    named,
    tool,
    cuts,
    firstLine,
    lastLine,
  }));
}

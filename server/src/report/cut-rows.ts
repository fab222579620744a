/** Cuts as rows of a table: like cuts of an operation share a row. Lengths in mm. */
import { toolFor } from "../job/tool-for.ts";
import { MotionFlag } from "../machine/motions.ts";
import { lengthText } from "../review/length-text.ts";
import type { Review } from "../review/review.ts";
import { surfaces } from "../stock/surfaces.ts";
import { counted } from "./facts-text.ts";
import { printable } from "./printable.ts";

/** How a cut comes out. */
export interface CutResult {
  readonly state: "through" | "marginal" | "short" | "partway" | "not judged";
  /** Thickness left under its lowest level, mm; below 0: how far it goes below the underside. Undefined: thickness not known. */
  readonly left: number | undefined;
  readonly text: string;
  /** True where a block before it was not understood. */
  readonly inDoubt: boolean;
}

/** Result of one cut. */
export function cutResult(review: Review, index: number): CutResult {
  const { tree, job, toolpath } = review;
  const cut = tree.cuts[index];
  const { underside } = surfaces(job.stock);
  const length = (mm: number) => lengthText(mm, toolpath.units);
  const below = (mm: number) =>
    isNothing(length(mm)) ? "ends at the underside" : `${length(mm)} below the underside`;
  const inDoubt =
    (toolpath.motions.flags[tree.passes[cut.deepestPass].bottomMotion] & MotionFlag.inDoubt) !== 0;
  const doubt = inDoubt ? ", in doubt" : "";
  if (underside === undefined) {
    return {
      state: "not judged",
      left: undefined,
      text: `not judged: thickness not declared${doubt}`,
      inDoubt,
    };
  }
  const left = cut.bottom - underside;
  const answer = (state: CutResult["state"], text: string): CutResult => ({
    state,
    left,
    text: text + doubt,
    inDoubt,
  });
  if (cut.intent.goes === "partway") {
    const meant = cut.intent.leaves === undefined ? "" : ` (meant ${length(cut.intent.leaves)})`;
    if (isNothing(length(left))) return answer("partway", `ends at the underside${meant}`);
    return left > 0
      ? answer("partway", `leaves ${length(left)}${meant}`)
      : answer("partway", `goes ${below(-left)}${meant}`);
  }
  if (cut.intent.goes === "unknown") return answer("not judged", `leaves ${length(Math.max(0, left))}`);
  const skin = review.skins.find((s) => s.cut === index);
  if (skin)
    return { state: "short", left: skin.thickness, text: `${length(skin.thickness)} stays${doubt}`, inDoubt };
  if (left > 1e-6) return answer("through", "through, finished by another cut");
  return -left < job.allowance.overcut - 1e-6
    ? answer("marginal", `not sure: ${below(-left)}, ${length(job.allowance.overcut)} needed`)
    : answer("through", `through: ${below(-left)}`);
}

export interface CutRow {
  /** Index of its operation. */
  readonly operationIndex: number;
  readonly operation: string;
  readonly tool: string;
  /** "24 round holes", "1 outline, 4 tabs". */
  readonly what: string;
  /** Lowest Z in the program's units. */
  readonly lowest: string;
  readonly meant: string;
  readonly result: string;
  readonly state: CutResult["state"];
  /** One-based lines, first and last. */
  readonly lines: readonly [number, number];
  readonly cuts: readonly number[];
}

/** Rows in program order. */
export function cutRows(review: Review): CutRow[] {
  const { tree, toolpath } = review;
  const rows: CutRow[] = [];
  for (const operation of tree.operations) {
    const groups = new Map<string, number[]>();
    for (const index of operation.cuts) {
      const cut = tree.cuts[index];
      const key = [
        cut.kind,
        lengthText(cut.bottom, toolpath.units),
        meantText(review, index),
        cutResult(review, index).text,
        tabsOf(review, index),
      ].join("\n");
      const group = groups.get(key);
      if (group) group.push(index);
      else groups.set(key, [index]);
    }
    for (const cuts of groups.values()) rows.push(rowOf(review, operation.index, cuts));
  }
  return rows;
}

function rowOf(review: Review, operationIndex: number, cuts: readonly number[]): CutRow {
  const { tree, toolpath, job } = review;
  const operation = tree.operations[operationIndex];
  const cut = tree.cuts[cuts[0]];
  const result = cutResult(review, cuts[0]);
  const passes = cuts.flatMap((c) => tree.cuts[c].passes.map((p) => tree.passes[p]));
  const firstLine = passes.reduce((low, pass) => Math.min(low, pass.firstLine), Infinity);
  const lastLine = passes.reduce((high, pass) => Math.max(high, pass.lastLine), 0);
  const resolved = toolFor(job, cut.tool);
  return {
    operationIndex,
    operation: printable(operation.name),
    tool: `T${resolved.tool.number}${resolved.assumed ? " (assumed)" : ""}`,
    what: whatText(review, cuts),
    lowest: `Z${lengthText(cut.bottom, toolpath.units)}`,
    meant: meantText(review, cuts[0]),
    result: result.text,
    state: result.state,
    lines: [firstLine + 1, lastLine + 1],
    cuts,
  };
}

/** Tabs of a cut: its passes leave them at the same places, so the pass with the most counts. */
function tabsOf({ tree }: Review, index: number): number {
  return tree.cuts[index].passes.reduce((most, pass) => Math.max(most, tree.passes[pass].tabs.length), 0);
}

function whatText(review: Review, cuts: readonly number[]): string {
  const what = counted(cuts.length, review.tree.cuts[cuts[0]].kind);
  const tabs = tabsOf(review, cuts[0]);
  if (tabs === 0) return what;
  return `${what}, ${counted(tabs, "tab")}${cuts.length > 1 ? " each" : ""}`;
}

/** Whether a length reads as nothing: "0.00 mm". */
function isNothing(length: string): boolean {
  return !/[1-9]/.test(length);
}

/** "through (declared)", "partway, leaves 12.00 mm (declared)", "not known". */
function meantText(review: Review, index: number): string {
  const { intent } = review.tree.cuts[index];
  if (intent.goes === "unknown") return "not known";
  const leaves =
    intent.leaves === undefined ? "" : `, leaves ${lengthText(intent.leaves, review.toolpath.units)}`;
  return `${intent.goes}${leaves} (${intent.known})`;
}

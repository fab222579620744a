/** A motion in words, for the readout. */
import type { Tool } from "../../server/src/job/facts.ts";
import { MotionFlag, MotionKind } from "../../server/src/machine/motions.ts";
import type { Scene } from "../../server/src/report/scene.ts";
import { feedText, lengthText, placeText, roundLength } from "./lengths.ts";

export interface MotionText {
  /** "line 12". */
  readonly line: string;
  /** The program's own text of that line. */
  readonly code: string;
  /** "straight cut", "rapid" ... */
  readonly kind: string;
  /** Short facts in reading order. */
  readonly facts: readonly string[];
}

/** Describes motion `i`. */
export function motionText(scene: Scene, i: number): MotionText {
  const { motions, units, board } = scene;
  const line = motions.line[i];
  const facts: string[] = [];
  const { x, y, z } = motions;
  const kind = motions.kind[i];
  if (kind === MotionKind.dwell) {
    facts.push(`at ${placeText(x[i], y[i], z[i], units)}`);
  } else {
    facts.push(
      motions.flags[i] & MotionFlag.startUnknown
        ? "from a place not known"
        : `from ${placeText(x[i], y[i], z[i], units)}`,
    );
    facts.push(
      motions.flags[i] & MotionFlag.endUnknown
        ? "to a place not known"
        : `to ${placeText(x[i + 1], y[i + 1], z[i + 1], units)}`,
    );
  }
  if (!(motions.flags[i] & MotionFlag.endUnknown)) facts.push(depthText(scene, z[i + 1]));
  if (kind === MotionKind.feed || kind === MotionKind.arc) {
    facts.push(motions.feed[i] > 0 ? `feed ${feedText(motions.feed[i], units)}` : "no feed set");
  }
  facts.push(toolText(scene, motions.tool[i]));
  const pass = scene.tree.passOfMotion[i] ?? -1;
  if (pass >= 0) facts.push(passText(scene, pass));
  if (motions.flags[i] & MotionFlag.inDoubt) facts.push("in doubt: a block before it was not understood");
  if (board.underside === null) facts.push("thickness not declared");
  return { line: `line ${line + 1}`, code: scene.lines[line]?.trim() ?? "", kind: kindText(scene, i), facts };
}

/** "3.20 mm below the top", "1.40 mm below the underside", "5.00 mm above the top". */
export function depthText(scene: Scene, z: number): string {
  const { units, board } = scene;
  const below = board.top - z;
  if (Math.abs(below) < 5e-4) return "at the board's top";
  if (below < 0) return `${lengthText(-below, units)} above the top`;
  const text = `${lengthText(below, units)} below the top`;
  if (board.underside === null) return text;
  const left = z - board.underside;
  if (left > 5e-4) return `${text}, ${lengthText(left, units)} left under it`;
  return left < -5e-4
    ? `${text}, ${lengthText(-left, units)} below the underside`
    : `${text}, at the underside`;
}

function kindText(scene: Scene, i: number): string {
  const { motions } = scene;
  switch (motions.kind[i]) {
    case MotionKind.rapid:
      return "rapid";
    case MotionKind.dwell:
      return `dwell ${motions.dwellSeconds.get(i) ?? 0} s`;
    case MotionKind.arc:
      return motions.arcs.sweep[motions.arc[i]] < 0 ? "arc, clockwise" : "arc, counter-clockwise";
    default: {
      const { x, y, z } = motions;
      const level = Math.hypot(x[i + 1] - x[i], y[i + 1] - y[i]);
      const drop = z[i + 1] - z[i];
      if (level < 1e-6) return drop < 0 ? "plunge" : drop > 0 ? "lift" : "no movement";
      return drop < -1e-6 ? "ramp down" : drop > 1e-6 ? "ramp up" : "straight cut";
    }
  }
}

/** "tool 1, flat 6 mm". */
export function toolText(scene: Scene, number: number): string {
  const tool = scene.tools.find((entry) => entry.number === number);
  const name = number > 0 ? `tool ${number}` : "tool without a number";
  return tool ? `${name}, ${cutterText(tool, scene.units)}` : name;
}

function cutterText(tool: Tool, units: "mm" | "in"): string {
  const angle = tool.angle === undefined ? "" : ` ${Math.round((tool.angle * 180) / Math.PI)}°`;
  const assumed = tool.source.kind === "default" ? " (assumed)" : "";
  return `${tool.shape}${angle} ${roundLength(tool.diameter, units)}${assumed}`;
}

function passText(scene: Scene, pass: number): string {
  const { passes, cuts, operations } = scene.tree;
  const cut = cuts[passes[pass].cut];
  const nth = cut.passes.indexOf(pass) + 1;
  const operation = operations[cut.operation];
  return `pass ${nth} of ${cut.passes.length} of ${article(cut.kind)} ${cut.kind}${operation ? ` in “${operation.name}”` : ""}`;
}

function article(noun: string): string {
  return /^[aeiou]/.test(noun) ? "an" : "a";
}

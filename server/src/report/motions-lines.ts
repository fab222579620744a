/** Motions as JSON lines (design section 8). Places in mm in the stock frame, feeds in mm/min, dwell in s. */
import { MotionFlag, motionKindNames, planeAxes, planeNames, type Toolpath } from "../machine/motions.ts";
import { toMillionth } from "./to-millionth.ts";

const fullTurn = 2 * Math.PI;

/**
 * One JSON object a motion, each with its line end, in machine order, numbers to a millionth. `line` is one-based. Arcs have
 * `center` (its third coordinate is the start's), `plane`, `turn`, and `turns` from one whole turn on.
 * A place not known (before the first move on an axis, at a reference point) is marked by `startUnknown`
 * or `endUnknown`; motions after a block that was not understood by `inDoubt`.
 */
export function* motionsJsonLines(toolpath: Pick<Toolpath, "motions">): Generator<string> {
  const { motions } = toolpath;
  const { x, y, z, arcs } = motions;
  for (let i = 0; i < motions.count; i++) {
    const from: [number, number, number] = [toMillionth(x[i]), toMillionth(y[i]), toMillionth(z[i])];
    const kind = motionKindNames[motions.kind[i]];
    const arc = motions.arc[i];
    const flags = motions.flags[i];
    yield `${JSON.stringify({
      line: motions.line[i] + 1,
      kind,
      from,
      to: [toMillionth(x[i + 1]), toMillionth(y[i + 1]), toMillionth(z[i + 1])],
      ...(arc >= 0 ? arcFields(arcs, arc, from) : {}),
      feed: toMillionth(motions.feed[i]),
      tool: motions.tool[i],
      spindle: motions.spindle[i],
      ...(kind === "dwell" ? { seconds: toMillionth(motions.dwellSeconds.get(i) ?? 0) } : {}),
      ...(flags & MotionFlag.startUnknown ? { startUnknown: true } : {}),
      ...(flags & MotionFlag.endUnknown ? { endUnknown: true } : {}),
      ...(flags & MotionFlag.inDoubt ? { inDoubt: true } : {}),
    })}\n`;
  }
}

function arcFields(
  arcs: Toolpath["motions"]["arcs"],
  arc: number,
  from: readonly [number, number, number],
): object {
  const plane = arcs.plane[arc];
  const [a, b] = planeAxes[plane];
  const center: [number, number, number] = [...from];
  center[a] = toMillionth(arcs.centreA[arc]);
  center[b] = toMillionth(arcs.centreB[arc]);
  const sweep = arcs.sweep[arc];
  // Rounded so that a full circle says 1 and not 0.9999999999.
  const turns = Number((Math.abs(sweep) / fullTurn).toFixed(9));
  return {
    center,
    plane: planeNames[plane],
    turn: sweep >= 0 ? "ccw" : "cw",
    ...(turns >= 1 ? { turns } : {}),
  };
}

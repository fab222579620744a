/** The places a step stops at: after each motion, each pass, each cut. */
import type { Scene } from "../../server/src/report/scene.ts";

export type StepUnit = "motion" | "pass" | "cut";

/** Numbers of done motions at which a pass, or a cut, is finished; rising, no repeats. */
export interface StepStops {
  readonly pass: Uint32Array;
  readonly cut: Uint32Array;
}

/** Reads the stops of a scene. */
export function stopsOf(scene: Scene): StepStops {
  const passEnds = scene.tree.passes.map((pass) => pass.end);
  const cutEnds = scene.tree.cuts.map((cut) =>
    cut.passes.reduce((end, pass) => Math.max(end, scene.tree.passes[pass].end), 0),
  );
  return { pass: risingOnce(passEnds), cut: risingOnce(cutEnds) };
}

function risingOnce(values: readonly number[]): Uint32Array {
  return Uint32Array.from([...new Set(values)].sort((a, b) => a - b));
}

/** The next place in a direction (+1, -1), as a number of done motions. */
export function nextStop(
  stops: StepStops,
  unit: StepUnit,
  done: number,
  direction: 1 | -1,
  count: number,
): number {
  if (unit === "motion") return Math.min(Math.max(done + direction, 0), count);
  const list = stops[unit];
  if (direction > 0) {
    const index = firstAbove(list, done);
    return index < list.length ? list[index] : count;
  }
  const index = firstAbove(list, done - 1) - 1;
  return index >= 0 ? list[index] : 0;
}

/** How many of the stops are reached after `done` motions. */
export function stopsReached(list: Uint32Array, done: number): number {
  return firstAbove(list, done);
}

/** Index of the first entry greater than `value`; the length where there is none. */
function firstAbove(list: Uint32Array, value: number): number {
  let low = 0;
  let high = list.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (list[middle] > value) high = middle;
    else low = middle + 1;
  }
  return low;
}

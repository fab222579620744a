/** Rounds: a level that is run along again without a retract, as for a spring pass. */
import { MotionKind, type Motions } from "../machine/motions.ts";
import { planLength, type Stretch } from "./plan-path.ts";

/** Places closer than this are one, mm: programs write three or four decimals. */
const same = 1e-4;
/** Motions of a way in at the level that may lie ahead of the first round. */
const longestWayIn = 4;

/**
 * First motions of the second and further rounds of a stretch; empty where it never goes round twice. A round
 * repeats the motions of the one before, so a ring closed by another corner counts as one round.
 */
export function roundStarts(motions: Motions, stretch: Stretch): number[] {
  for (let skip = 0; skip <= longestWayIn && stretch.first + skip < stretch.end; skip++) {
    const first = stretch.first + skip;
    const period = periodFrom(motions, first, stretch.end);
    if (period === 0) continue;
    const starts: number[] = [];
    for (let next = first + period; repeats(motions, first, next, period, stretch.end); next += period) {
      starts.push(next);
    }
    return starts;
  }
  return [];
}

/** Number of motions of the round that begins at `first`; 0 where none is repeated. */
function periodFrom(motions: Motions, first: number, end: number): number {
  let length = 0;
  for (let i = first; i < end; i++) {
    length += planLength(motions, i);
    if (length === 0 || !samePlace(motions, first, i + 1)) continue;
    const period = i + 1 - first;
    if (repeats(motions, first, i + 1, period, end)) return period;
  }
  return 0;
}

function repeats(motions: Motions, first: number, from: number, period: number, end: number): boolean {
  if (from + period > end) return false;
  for (let k = 0; k < period; k++) {
    if (!sameMotion(motions, first + k, from + k)) return false;
  }
  return true;
}

function sameMotion(motions: Motions, a: number, b: number): boolean {
  const { kind, arc, arcs } = motions;
  if (kind[a] !== kind[b] || !samePlace(motions, a + 1, b + 1)) return false;
  if (kind[a] !== MotionKind.arc) return true;
  return (
    Math.abs(arcs.centreA[arc[a]] - arcs.centreA[arc[b]]) <= same &&
    Math.abs(arcs.centreB[arc[a]] - arcs.centreB[arc[b]]) <= same &&
    Math.abs(arcs.sweep[arc[a]] - arcs.sweep[arc[b]]) <= same
  );
}

function samePlace({ x, y, z }: Motions, a: number, b: number): boolean {
  return Math.abs(x[a] - x[b]) <= same && Math.abs(y[a] - y[b]) <= same && Math.abs(z[a] - z[b]) <= same;
}

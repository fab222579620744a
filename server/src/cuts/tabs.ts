/** Tabs: stretches of a level pass where the path rises above the bottom and comes back to it. Lengths in mm. */
import { pointOnMotion } from "../machine/geometry.ts";
import type { Motions } from "../machine/motions.ts";
import type { Tab } from "./cuts.ts";
import { sameLevel, type FoundPass } from "./passes.ts";
import { planLength } from "./plan-path.ts";

/** A rise of less holds nothing, mm (common practice, no source). */
const leastHeight = 0.05;

/**
 * The tabs of a pass, made by steps or by ramps. The way in and the way out lie outside the pass's core and
 * are no tabs; a rise to the top ends the pass, so every tab lies below it.
 */
export function findTabs(motions: Motions, pass: FoundPass): Tab[] {
  const tabs: Tab[] = [];
  if (!pass.level) return tabs;
  const { z } = motions;
  const bottom = pass.bottom + sameLevel;
  let start = -1;
  let high = -Infinity;
  let length = 0;
  for (let i = pass.core.first; i < pass.core.end; i++) {
    if (start < 0) {
      if (z[i + 1] <= bottom) continue;
      start = i;
      high = -Infinity;
      length = 0;
    }
    high = Math.max(high, z[i + 1]);
    length += planLength(motions, i);
    if (z[i + 1] > bottom) continue;
    const height = high - pass.bottom;
    if (height >= leastHeight && length > 0) {
      tabs.push({
        firstMotion: start,
        endMotion: i + 1,
        at: middle(motions, start, i + 1, length),
        height,
        length,
      });
    }
    start = -1;
  }
  return tabs;
}

/** Place half way along a stretch, seen from above. */
function middle(motions: Motions, first: number, end: number, length: number): [number, number] {
  let left = length / 2;
  for (let i = first; i < end; i++) {
    const own = planLength(motions, i);
    if (own > 0 && left <= own) {
      const [x, y] = pointOnMotion(motions, i, left / own);
      return [x, y];
    }
    left -= own;
  }
  return [motions.x[end], motions.y[end]];
}

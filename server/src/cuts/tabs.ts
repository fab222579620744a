/** Tabs: stretches of a pass where the level rises above the bottom and comes back while still in the wood. */
import { motionLength, pointOnMotion } from "../machine/geometry.ts";
import { MotionKind, type Motions } from "../machine/motions.ts";
import type { Tab } from "./cuts.ts";
import type { RawPass } from "./passes.ts";

/** Rises smaller than this are no tab, mm. */
const leastHeight = 0.05;

/** Tabs of a pass; the ramp at its start and the rise at its end are none. Lengths in mm. */
export function tabsOf(motions: Motions, pass: RawPass): Tab[] {
  const { z, kind } = motions;
  const isDown = (level: number) => level <= pass.bottom + leastHeight;
  const tabs: Tab[] = [];
  let wasDown = false;
  let rise = -1;
  for (let i = pass.first; i < pass.end; i++) {
    if (kind[i] === MotionKind.dwell) continue;
    if (isDown(z[i + 1])) {
      if (rise >= 0) {
        const tab = tabBetween(motions, rise, i + 1, pass.bottom);
        if (tab) tabs.push(tab);
      }
      rise = -1;
      wasDown = true;
    } else if (wasDown && rise < 0) rise = i;
  }
  return tabs;
}

function tabBetween(motions: Motions, first: number, end: number, bottom: number): Tab | undefined {
  let height = 0;
  let length = 0;
  for (let i = first; i < end; i++) {
    height = Math.max(height, motions.z[i + 1] - bottom);
    const dz = motions.z[i + 1] - motions.z[i];
    const whole = motionLength(motions, i);
    length += Math.sqrt(Math.max(0, whole * whole - dz * dz));
  }
  // Straight up and down at one place (a peck) leaves nothing standing.
  if (length < 0.01) return undefined;
  let half = length / 2;
  let at: [number, number] = [motions.x[first], motions.y[first]];
  for (let i = first; i < end; i++) {
    const dz = motions.z[i + 1] - motions.z[i];
    const whole = motionLength(motions, i);
    const plan = Math.sqrt(Math.max(0, whole * whole - dz * dz));
    if (half <= plan) {
      const [x, y] = pointOnMotion(motions, i, plan > 0 ? half / plan : 1);
      at = [x, y];
      break;
    }
    half -= plan;
  }
  return { firstMotion: first, endMotion: end, at, height, length };
}

/** Which motion lies under the pointer. */
import type { Orbit } from "./orbit.ts";
import { segmentStride, type PathSegments } from "./path-segments.ts";

/** How far from the pointer a motion may lie, CSS px. */
export const pickReach = 9;

export interface PickLayers {
  readonly cuts: boolean;
  readonly rapids: boolean;
}

/**
 * Motions near a place of the picture (CSS px), best first: the nearest on the picture; of those that lie
 * equally near (within 2 px) cutting before rapid, then the one nearest to the eye. One entry a motion.
 */
export function motionsNear(
  segments: PathSegments,
  orbit: Orbit,
  x: number,
  y: number,
  layers: PickLayers,
): number[] {
  const { data, count } = segments;
  const { right, up, back, target, scale } = orbit;
  const found = new Map<number, { motion: number; distance: number; near: number; cutting: boolean }>();
  // Place of the pointer in mm on the picture plane, so that the loop needs no division.
  const px = (x - orbit.width / 2) / scale + target.dot(right);
  const py = (orbit.height / 2 - y) / scale + target.dot(up);
  const reach = pickReach / scale;
  for (let s = 0, at = 0; s < count; s++, at += segmentStride) {
    const cutting = data[at + 7] > 0;
    if (cutting ? !layers.cuts : !layers.rapids) continue;
    const ax = data[at] * right.x + data[at + 1] * right.y + data[at + 2] * right.z - px;
    const bx = data[at + 3] * right.x + data[at + 4] * right.y + data[at + 5] * right.z - px;
    if ((ax > reach && bx > reach) || (ax < -reach && bx < -reach)) continue;
    const ay = data[at] * up.x + data[at + 1] * up.y + data[at + 2] * up.z - py;
    const by = data[at + 3] * up.x + data[at + 4] * up.y + data[at + 5] * up.z - py;
    if ((ay > reach && by > reach) || (ay < -reach && by < -reach)) continue;
    const [dx, dy] = [bx - ax, by - ay];
    const square = dx * dx + dy * dy;
    const t = square > 0 ? Math.min(Math.max(-(ax * dx + ay * dy) / square, 0), 1) : 0;
    const distance = Math.hypot(ax + t * dx, ay + t * dy) * scale;
    if (distance > pickReach) continue;
    const nearA = data[at] * back.x + data[at + 1] * back.y + data[at + 2] * back.z;
    const nearB = data[at + 3] * back.x + data[at + 4] * back.y + data[at + 5] * back.z;
    const motion = data[at + 6];
    const known = found.get(motion);
    if (!known || distance < known.distance)
      found.set(motion, { motion, distance, near: nearA + t * (nearB - nearA), cutting });
  }
  const band = (distance: number) => Math.floor(distance / 2);
  return [...found.values()]
    .sort(
      (a, b) =>
        band(a.distance) - band(b.distance) ||
        Number(b.cutting) - Number(a.cutting) ||
        b.near - a.near ||
        a.motion - b.motion,
    )
    .map((entry) => entry.motion);
}

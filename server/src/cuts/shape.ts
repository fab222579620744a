/** What a cut is, told from the path of its deepest pass seen from above. Lengths in mm. */
import { arcRadii, pointOnMotion } from "../machine/geometry.ts";
import type { Motions } from "../machine/motions.ts";
import type { CutKind } from "./cuts.ts";
import type { FoundPass } from "./passes.ts";
import {
  distanceToMotion,
  longerSide,
  planLength,
  pointsAlong,
  stretchExtent,
  stretchLength,
  turnsInPlan,
  type Stretch,
} from "./plan-path.ts";
import { besideAt, sameTrack } from "./width.ts";

/** A tool that moves less in the plane than this drills, mm. */
const still = 0.05;
/** Places closer than this are one place of a path, mm. */
const samePlace = 0.02;
/** A ring of which this many tool diameters or more stay as a core is an outline (a part or a large opening). */
const largestCore = 3;
/** Share of the path that must have a neighbouring track before it covers an area. */
const coveredShare = 0.5;
/** Distances to path pieces that one shape may cost; bounds the work on passes of many motions. */
const mostDistances = 200_000;

/**
 * Kind of the cut a pass follows.
 * - no movement in the plane: drilled hole
 * - a full circle with less than three tool diameters left inside: round hole
 * - tracks side by side, closer than the groove is wide: pocket (a narrow ring that leaves no core is a slot)
 * - a path that closes around something: outline
 * - anything else: slot
 * @param width of the groove it leaves (the tool's diameter, for a flat cutter), mm
 */
export function shapeOf(motions: Motions, pass: FoundPass, width: number): CutKind {
  if (longerSide(pass.coreExtent) < still) return "drilled hole";
  const loop = largestLoop(motions, pass.core);
  const loopLength = loop ? loop.length : 0;
  if (loop) {
    const circle = circleOf(motions, loop);
    // The rest are ways from the centre to the circle and back; a longer rest clears the inside.
    if (circle && pass.coreLength - loopLength - circle.again <= 0.6 * loopLength) {
      return 2 * circle.radius - width < largestCore * width ? "round hole" : "outline";
    }
  }
  if (coversArea(motions, pass, width, loopLength)) {
    const [minX, minY, maxX, maxY] = pass.coreExtent;
    const oneRing = loopLength >= 0.7 * pass.coreLength;
    const slim = longerSide(pass.coreExtent) >= 1.5 * Math.min(maxX - minX, maxY - minY);
    return oneRing && slim ? "slot" : "pocket";
  }
  return loop ? "outline" : "slot";
}

interface Loop extends Stretch {
  readonly length: number;
  /** Whole stretch it was found in. */
  readonly within: Stretch;
}

/**
 * The longest simple loop of a path: it comes back to a corner and encloses something. A loop once found is
 * taken out of the path, so that a way from the centre to a circle and back does not become part of it.
 */
function largestLoop(motions: Motions, within: Stretch): Loop | undefined {
  const count = within.end - within.first;
  // The path without the loops taken out, corner by corner: place, entry, length and area up to there.
  const keys = new Float64Array(count + 1);
  const entries = new Int32Array(count + 1);
  const length = new Float64Array(count + 1);
  const area = new Float64Array(count + 1);
  const depthOf = new Map<number, number>();
  let best: Loop | undefined;
  let top = -1;
  for (let i = within.first; i < within.end; i++) {
    const own = planLength(motions, i);
    if (own <= 0) continue;
    if (top < 0) {
      top = 0;
      keys[0] = placeKey(motions, i);
      entries[0] = i;
      depthOf.set(keys[0], 0);
    }
    const key = placeKey(motions, i + 1);
    const newLength = length[top] + own;
    const newArea = area[top] + areaBeside(motions, i);
    const before = depthOf.get(key);
    if (before === undefined) {
      top++;
      keys[top] = key;
      entries[top] = i + 1;
      length[top] = newLength;
      area[top] = newArea;
      depthOf.set(key, top);
      continue;
    }
    const round = newLength - length[before];
    // One arc of many turns winds up length without area.
    const wound = before === top && turnsInPlan(motions, i);
    if ((wound || encloses(Math.abs(newArea - area[before]), round)) && round > (best?.length ?? 0)) {
      best = { first: entries[before], end: i + 1, length: round, within };
    }
    for (; top > before; top--) depthOf.delete(keys[top]);
    entries[top] = i + 1;
  }
  return best ?? overrunLoop(motions, within);
}

/** A loop without a common corner: its end runs past its start, on the same track. */
function overrunLoop(motions: Motions, within: Stretch): Loop | undefined {
  const { x, y } = motions;
  const endX = x[within.end];
  const endY = y[within.end];
  const whole = stretchLength(motions, within);
  let passed = 0;
  for (let i = within.first; i < within.end && passed <= whole / 2; i++) {
    passed += planLength(motions, i);
    if (distanceToMotion(motions, i, endX, endY) > samePlace) continue;
    const length = whole - passed;
    let area = (endX * y[i + 1] - x[i + 1] * endY) / 2;
    for (let k = i + 1; k < within.end; k++) area += areaBeside(motions, k);
    return encloses(Math.abs(area), length) ? { first: i, end: within.end, length, within } : undefined;
  }
  return undefined;
}

/** A way there and back encloses nothing; a ring a hundred times as long as wide still does. */
function encloses(area: number, length: number): boolean {
  return area > 0.002 * length * length;
}

/** Signed area between the origin and a motion: sums to the enclosed area over a loop, mm^2. */
function areaBeside(motions: Motions, i: number): number {
  if (planLength(motions, i) <= 0) return 0;
  const { x, y } = motions;
  const chord = (x[i] * y[i + 1] - x[i + 1] * y[i]) / 2;
  if (!turnsInPlan(motions, i)) return chord;
  const sweep = motions.arcs.sweep[motions.arc[i]];
  const { start, end } = arcRadii(motions, i);
  const radius = (start + end) / 2;
  return chord + (radius * radius * (sweep - Math.sin(sweep))) / 2;
}

/** Number of a place on a raster that no written decimal falls on the edge of. */
function placeKey(motions: Motions, entry: number): number {
  const edge = 0.00371;
  const column = Math.round((motions.x[entry] + edge) / samePlace);
  const row = Math.round((motions.y[entry] + edge) / samePlace);
  // 2^26 rows of 0.02 mm are 1.3 km; further off, two places may be taken for one.
  return column * 67_108_864 + row;
}

/**
 * The circle a loop runs on, if it does. `again`: length outside the loop that runs on the same circle, mm
 * (more turns of a helix, a second time round).
 */
function circleOf(motions: Motions, loop: Loop): { radius: number; again: number } | undefined {
  const [minX, minY, maxX, maxY] = stretchExtent(motions, loop);
  if (Math.abs(maxX - minX - maxY + minY) > 0.1 * (maxX - minX)) return undefined;
  const [centreX, centreY] = centreOf(motions, loop);
  const { x, y } = motions;
  const radiusAt = (px: number, py: number) => Math.hypot(px - centreX, py - centreY);
  const radius = meanRadius(motions, loop, radiusAt);
  const reach = Math.max(0.05, 0.01 * radius);
  // The middle of a chord lies inside the circle: by 8 % of the radius for an octagon, more for fewer sides.
  const runsOn = (i: number) => {
    if (Math.abs(radiusAt(x[i], y[i]) - radius) > reach) return false;
    if (Math.abs(radiusAt(x[i + 1], y[i + 1]) - radius) > reach) return false;
    const [px, py] = pointOnMotion(motions, i, 0.5);
    const off = radiusAt(px, py) - radius;
    return off <= reach && off >= (turnsInPlan(motions, i) ? -reach : -0.1 * radius - reach);
  };
  let again = 0;
  for (let i = loop.within.first; i < loop.within.end; i++) {
    const length = planLength(motions, i);
    if (length <= 0) continue;
    const inLoop = i >= loop.first && i < loop.end;
    if (runsOn(i)) again += inLoop ? 0 : length;
    else if (inLoop) return undefined;
  }
  return { radius, again };
}

/** Centre of gravity of a line, which for a ring of even or uneven chords and arcs is its centre. */
function centreOf(motions: Motions, loop: Stretch): [number, number] {
  let sumX = 0;
  let sumY = 0;
  let weight = 0;
  for (let i = loop.first; i < loop.end; i++) {
    const length = planLength(motions, i);
    if (length <= 0) continue;
    const pieces = turnsInPlan(motions, i) ? arcPieces(motions, i) : 1;
    for (let s = 0; s < pieces; s++) {
      const [px, py] = pointOnMotion(motions, i, (s + 0.5) / pieces);
      sumX += (px * length) / pieces;
      sumY += (py * length) / pieces;
    }
    weight += length;
  }
  return [sumX / weight, sumY / weight];
}

function meanRadius(motions: Motions, loop: Stretch, radiusAt: (x: number, y: number) => number): number {
  let sum = 0;
  let count = 0;
  for (let i = loop.first; i < loop.end; i++) {
    if (planLength(motions, i) <= 0) continue;
    sum += radiusAt(motions.x[i + 1], motions.y[i + 1]);
    count++;
  }
  return sum / count;
}

/** Pieces of an arc, of an eighth of a turn or less. */
function arcPieces(motions: Motions, i: number): number {
  return Math.ceil(Math.abs(motions.arcs.sweep[motions.arc[i]]) / (Math.PI / 4)) || 1;
}

/**
 * Whether most of the path has another track beside it, nearer than the groove is wide but not on the path
 * itself. A second time on the same track (a helix, a spring pass, a ramp to and fro) covers nothing more.
 * Near along the path does not count: at a corner the other leg is always close.
 */
function coversArea(motions: Motions, pass: FoundPass, width: number, loopLength: number): boolean {
  const { core, coreLength } = pass;
  if (coreLength < 2 * width && loopLength === 0) return false;
  const count = core.end - core.first;
  // Four probes a groove's width along the path tell enough; long paths are bounded by the work.
  const wanted = Math.ceil((4 * coreLength) / width);
  const probes = Math.max(12, Math.min(96, wanted, Math.floor(mostDistances / count)));
  const apart = Math.min(1.5 * width, coreLength / 4);
  const closed = loopLength >= 0.95 * coreLength;
  const along = new Float64Array(count + 1);
  for (let k = 0; k < count; k++) along[k + 1] = along[k] + planLength(motions, core.first + k);
  const points = pointsAlong(motions, core, coreLength, probes);
  const { x, y, arc } = motions;
  let beside = 0;
  for (const point of points) {
    for (let k = 0; k < count; k++) {
      if (along[k + 1] === along[k]) continue;
      const i = core.first + k;
      if (arc[i] < 0) {
        if (point.x < x[i] - width && point.x < x[i + 1] - width) continue;
        if (point.x > x[i] + width && point.x > x[i + 1] + width) continue;
        if (point.y < y[i] - width && point.y < y[i + 1] - width) continue;
        if (point.y > y[i] + width && point.y > y[i + 1] + width) continue;
      }
      let gap = along[k] > point.along ? along[k] - point.along : point.along - along[k + 1];
      if (closed)
        gap = Math.min(gap, coreLength - Math.max(along[k + 1] - point.along, point.along - along[k]));
      if (gap < apart) continue;
      const distance = distanceToMotion(motions, i, point.x, point.y);
      if (distance > sameTrack * width && distance < besideAt * width) {
        beside++;
        break;
      }
    }
  }
  return beside >= coveredShare * points.length;
}

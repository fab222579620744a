/** The board from above as inline SVG: outline, zero, hold-downs, where to measure, and the cuts in order. */
import type { CutTree } from "../cuts/cuts.ts";
import { toolFor } from "../job/tool-for.ts";
import { pointOnMotion } from "../machine/geometry.ts";
import { MotionFlag, MotionKind, type Motions } from "../machine/motions.ts";
import type { Review } from "../review/review.ts";
import { escapeHtml } from "./html.ts";
import { footprintOf } from "./make-scene.ts";

/** Corners of a straight-line picture of an arc, at most this far from it, mm. */
const chordError = 0.1;
/** Most path points drawn; more would not be seen on paper. */
const mostPoints = 60_000;

/** A place to measure the thickness at: letter and place in the plane, mm. */
export interface MeasuringPlace {
  readonly letter: string;
  readonly at: readonly [number, number];
}

/** Four places on the left and right edges, near the corners: where a caliper reaches. */
export function measuringPlaces(review: Review): MeasuringPlace[] {
  const { corner, size } = footprintOf(review);
  const inset = size[1] * 0.12;
  const [left, right] = [corner[0], corner[0] + size[0]];
  const [low, high] = [corner[1] + inset, corner[1] + size[1] - inset];
  return [
    { letter: "A", at: [left, low] },
    { letter: "B", at: [right, low] },
    { letter: "C", at: [right, high] },
    { letter: "D", at: [left, high] },
  ];
}

/** One drawing for the programs that cut a board. Operations are numbered from 1 through all of them. */
export function planView(reviews: readonly Review[]): string {
  const { corner, size } = footprintOf(reviews[0]);
  const [width, depth] = size;
  const pad = Math.max(width, depth) * 0.06;
  const unit = Math.max(width, depth) / 100;
  // SVG's Y points down: places are mirrored one by one, so that lettering stays upright.
  const sx = (x: number) => round(x - corner[0]);
  const sy = (y: number) => round(corner[1] + depth - y);
  const left = Math.min(0, sx(0)) - pad;
  const right = Math.max(width, sx(0)) + pad;
  const upper = Math.min(0, sy(0)) - pad;
  const lower = Math.max(depth, sy(0)) + pad;
  const parts: string[] = [
    `<svg class="plan" viewBox="${round(left)} ${round(upper)} ${round(right - left)} ${round(lower - upper)}" role="img" aria-label="Board from above with the cuts in order">`,
    `<rect class="board" x="0" y="0" width="${round(width)}" height="${round(depth)}" stroke-width="${round(unit * 0.3)}"/>`,
  ];
  let number = 0;
  const budget = { points: mostPoints };
  const badges: [number, number][] = [[sx(0), sy(0)]];
  const labels: string[] = [];
  for (const review of reviews) {
    const { motions } = review.toolpath;
    for (const operation of review.tree.operations) {
      number++;
      const { diameter } = toolFor(review.job, operation.tool).tool;
      const path = operation.cuts.map((cut) => cutPath(motions, review.tree, cut, sx, sy, budget)).join("");
      if (path === "") continue;
      parts.push(
        `<path class="kerf" d="${path}" stroke-width="${round(diameter)}"/>`,
        `<path class="line" d="${path}" stroke-width="${round(unit * 0.25)}"/>`,
      );
      const start = startOf(motions, review.tree, operation.cuts[0]);
      const [px, py] = freePlace(sx(motions.x[start]), sy(motions.y[start]), unit, badges);
      badges.push([px, py]);
      labels.push(
        `<circle class="badge" cx="${px}" cy="${py}" r="${round(unit * 2.1)}" stroke-width="${round(unit * 0.3)}"/>`,
        text(px, py + unit, unit * 2.7, `${number}`, "badge-text"),
      );
    }
  }
  for (const hold of reviews[0].job.holdDowns) {
    const [x, y] = [sx(hold.at[0]), sy(hold.at[1])];
    parts.push(
      `<circle class="keep-out" cx="${x}" cy="${y}" r="${round(hold.keepOut)}" stroke-width="${round(unit * 0.3)}" stroke-dasharray="${round(unit)}"/>`,
      `<path class="hold" d="M${round(x - unit)} ${y}h${round(2 * unit)}M${x} ${round(y - unit)}v${round(2 * unit)}" stroke-width="${round(unit * 0.4)}"/>`,
      text(x, y - hold.keepOut - unit, unit * 2.2, hold.kind, "note"),
    );
  }
  for (const { letter, at } of measuringPlaces(reviews[0])) {
    const outward = at[0] > corner[0] ? 1 : -1;
    const [edge, y] = [sx(at[0]), sy(at[1])];
    const r = unit * 1.9;
    const x = edge + outward * (r + unit);
    parts.push(
      `<path class="measure" d="M${edge} ${y}h${round(outward * unit)}" stroke-width="${round(unit * 0.3)}"/>`,
      `<rect class="measure" x="${round(x - r)}" y="${round(y - r)}" width="${round(2 * r)}" height="${round(2 * r)}" stroke-width="${round(unit * 0.3)}"/>`,
      text(x, y + unit * 0.95, unit * 2.6, letter, "measure-text"),
    );
  }
  parts.push(...labels, zeroMark(sx(0), sy(0), unit), "</svg>");
  return parts.join("\n");
}

/** A place for a number beside a point, so that neither a hole nor another number is hidden. */
function freePlace(
  x: number,
  y: number,
  unit: number,
  taken: readonly (readonly [number, number])[],
): [number, number] {
  for (const distance of [3.4, 6, 9, 12]) {
    for (let eighth = 0; eighth < 8; eighth++) {
      const angle = (eighth * Math.PI) / 4 - Math.PI / 4;
      const place: [number, number] = [
        round(x + distance * unit * Math.cos(angle)),
        round(y + distance * unit * Math.sin(angle)),
      ];
      if (taken.every((other) => Math.hypot(other[0] - place[0], other[1] - place[1]) > 4.8 * unit))
        return place;
    }
  }
  return [round(x), round(y)];
}

/** Program zero with the X and Y directions. */
function zeroMark(x: number, y: number, unit: number): string {
  const arm = unit * 9;
  const tip = unit * 1.3;
  return [
    `<path class="zero" d="M${x} ${y}h${round(arm)}m${round(-tip)} ${round(-tip / 2)}l${round(tip)} ${round(tip / 2)}l${round(-tip)} ${round(tip / 2)}M${x} ${y}v${round(-arm)}m${round(-tip / 2)} ${round(tip)}l${round(tip / 2)} ${round(-tip)}l${round(tip / 2)} ${round(tip)}" stroke-width="${round(unit * 0.5)}"/>`,
    `<circle class="zero-dot" cx="${x}" cy="${y}" r="${round(unit * 0.9)}"/>`,
    text(x + arm + unit * 1.2, y + unit * 0.8, unit * 2.4, "X", "zero-text"),
    text(x, y - arm - unit * 0.8, unit * 2.4, "Y", "zero-text"),
    text(x - unit * 1.4, y + unit * 3, unit * 2.4, "0", "zero-text"),
  ].join("\n");
}

/** Path data of a cut's deepest pass. */
function cutPath(
  motions: Motions,
  tree: CutTree,
  cut: number,
  sx: (x: number) => number,
  sy: (y: number) => number,
  budget: { points: number },
): string {
  const pass = tree.passes[tree.cuts[cut].deepestPass];
  const parts: string[] = [];
  let started = false;
  for (let i = pass.first; i < pass.end && budget.points > 0; i++) {
    const kind = motions.kind[i];
    if (kind === MotionKind.rapid || kind === MotionKind.dwell || motions.flags[i] & MotionFlag.startUnknown)
      continue;
    if (!started) parts.push(`M${sx(motions.x[i])} ${sy(motions.y[i])}`);
    started = true;
    const steps = stepsOf(motions, i);
    for (let step = 1; step <= steps; step++) {
      const [x, y] = pointOnMotion(motions, i, step / steps);
      parts.push(`L${sx(x)} ${sy(y)}`);
      budget.points--;
    }
  }
  return parts.join("");
}

/** Straight pieces that draw a motion within the chord error. */
function stepsOf(motions: Motions, i: number): number {
  const arc = motions.arc[i];
  if (arc < 0) return 1;
  const radius = Math.max(
    0.01,
    Math.hypot(motions.x[i] - motions.arcs.centreA[arc], motions.y[i] - motions.arcs.centreB[arc]),
  );
  const step = 2 * Math.acos(Math.max(0, 1 - chordError / radius));
  return Math.min(720, Math.max(4, Math.ceil(Math.abs(motions.arcs.sweep[arc]) / step)));
}

/** Place index where the cut's deepest pass starts. */
function startOf(motions: Motions, tree: CutTree, cut: number): number {
  const pass = tree.passes[tree.cuts[cut].deepestPass];
  for (let i = pass.first; i < pass.end; i++) {
    if (motions.kind[i] !== MotionKind.rapid && !(motions.flags[i] & MotionFlag.startUnknown)) return i;
  }
  return pass.first;
}

function text(x: number, y: number, size: number, words: string, style: string): string {
  return `<text class="${style}" x="${round(x)}" y="${round(y)}" font-size="${round(size)}" text-anchor="middle">${escapeHtml(words)}</text>`;
}

/** Hundredths of a millimetre are finer than any printer. */
function round(value: number): number {
  return Math.round(value * 100) / 100;
}

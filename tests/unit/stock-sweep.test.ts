/**
 * The closed forms against dense sampling: a second, independent way to the same surface. Each sample bounds
 * the true minimum from both sides, so no tolerance is a matter of taste.
 */
import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Tool } from "../../server/src/job/facts.ts";
import { motionExtent, pointOnMotion } from "../../server/src/machine/geometry.ts";
import { MotionFlag, Plane, type Motions } from "../../server/src/machine/motions.ts";
import { sagitta } from "../../server/src/stock/chords.ts";
import { cutterFrom } from "../../server/src/stock/cutter.ts";
import { surfaceOver } from "../../server/src/stock/sweep.ts";
import { MotionsBuilder } from "./motions-builder.ts";
import { anyMotion, anyTool, tool } from "./stock-arbitrary.ts";

/** The profile straight from its definition, independent of the code under test. */
function profile(t: Tool, r: number): number {
  const radius = t.diameter / 2;
  switch (t.shape) {
    case "flat":
      return 0;
    case "ball":
      return radius - Math.sqrt(Math.max(0, radius ** 2 - r ** 2));
    case "V":
    case "drill":
      return Math.max(0, r - (t.tipDiameter ?? 0) / 2) / Math.tan((t.angle ?? (118 * Math.PI) / 180) / 2);
    case "bull": {
      const corner = t.cornerRadius!;
      const past = Math.max(0, r - (radius - corner));
      return corner - Math.sqrt(Math.max(0, corner ** 2 - past ** 2));
    }
  }
}

const samples = 3000;

/** Bounds of the swept surface over a point, from samples of motion 1. */
function bounds(motions: Motions, t: Tool, px: number, py: number): { low: number; high: number } {
  const radius = t.diameter / 2;
  let [low, high] = [Infinity, Infinity];
  if (motions.flags[1] & MotionFlag.endUnknown) return { low, high };
  const endOnly = (motions.flags[1] & MotionFlag.startUnknown) !== 0;
  let longest = 0;
  let before: [number, number, number] | undefined;
  const places: [number, number, number][] = [];
  for (let k = endOnly ? samples : 0; k <= samples; k++) {
    const p = pointOnMotion(motions, 1, k / samples);
    if (before) longest = Math.max(longest, Math.hypot(p[0] - before[0], p[1] - before[1], p[2] - before[2]));
    before = p;
    places.push(p);
  }
  // A chord may stand off by its sagitta, and a changing radius is followed to a like distance.
  const off = 2 * sagitta + 2e-4;
  const near = longest / 2 + off;
  for (const [x, y, z] of places) {
    const r = Math.hypot(px - x, py - y);
    if (r <= radius - off) high = Math.min(high, z + profile(t, r + off) + off);
    if (r <= radius + near) low = Math.min(low, z - near + profile(t, Math.max(0, r - near)));
  }
  return { low, high };
}

describe("swept surface of one motion", () => {
  it("lies between the bounds that dense sampling gives, for every cutter and kind of motion", () => {
    const seen = new Map<string, number>();
    let hits = 0;
    fc.assert(
      fc.property(
        anyTool,
        anyMotion,
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.double({ min: 0, max: 1.1, noNaN: true }),
        fc.double({ min: 0, max: 6.3, noNaN: true }),
        (t, { name, motions }, share, distance, direction) => {
          const [x, y] = pointOnMotion(motions, 1, share);
          const px = x + ((distance * t.diameter) / 2) * Math.cos(direction);
          const py = y + ((distance * t.diameter) / 2) * Math.sin(direction);
          const height = surfaceOver(motions, 1, cutterFrom(t), px, py);
          const { low, high } = bounds(motions, t, px, py);
          seen.set(name, (seen.get(name) ?? 0) + 1);
          if (height < Infinity) hits++;
          expect(height, `${name} ${t.shape}`).toBeLessThanOrEqual(high + 1e-9);
          expect(height, `${name} ${t.shape}`).toBeGreaterThanOrEqual(low - 1e-9);
          expect(height).toBeGreaterThanOrEqual(motionExtent(motions, 1)[2] - 0.02);
        },
      ),
      { numRuns: 4000, seed: 20 },
    );
    expect(seen.size).toBe(13);
    expect(hits).toBeGreaterThan(2500);
  });
});

describe("places worked out by hand", () => {
  const flat = cutterFrom(tool("flat", 6));
  const ball = cutterFrom(tool("ball", 6));

  it("plunge: a disc at the lower end, rim included", () => {
    const motions = new MotionsBuilder([10, 10, 5]).feed(10, 10, -4).done();
    expect(surfaceOver(motions, 1, flat, 13, 10)).toBe(-4);
    expect(surfaceOver(motions, 1, flat, 13.001, 10)).toBe(Infinity);
    expect(surfaceOver(motions, 1, ball, 10, 10)).toBe(-4);
    expect(surfaceOver(motions, 1, ball, 13, 10)).toBe(-1);
  });

  it("45 degree ramp of a ball: its centre line runs parallel, the lowest point trails it", () => {
    // From (0,0,0) down to (20,0,-20): the swept tube has radius 3 around the ball's centre line z = 3 - x,
    // so over the line its underside is 3*sqrt(2) lower than the centre line.
    const motions = new MotionsBuilder([0, 0, 0]).feed(20, 0, -20).done();
    expect(surfaceOver(motions, 1, ball, 10, 0)).toBeCloseTo(3 - 10 - 3 * Math.SQRT2, 12);
  });

  it("flat cutter down a ramp: over a point it has passed lies its depth one radius on", () => {
    const motions = new MotionsBuilder([0, 0, 0]).feed(100, 0, -10).done();
    expect(surfaceOver(motions, 1, flat, 50, 0)).toBeCloseTo(-5.3, 12);
    expect(surfaceOver(motions, 1, flat, 101, 0)).toBeCloseTo(-10, 12);
  });

  it("flat cutter down a helix of three turns: the last turn counts, from one reach ahead", () => {
    const motions = new MotionsBuilder([10, 0, 0]).arc([10, 0, -6], [0, 0], 6 * Math.PI).done();
    expect(surfaceOver(motions, 1, flat, 10, 0)).toBe(-6);
    // Opposite the end: half the window is acos((100 + 100 - 9) / 200).
    const ahead = Math.acos(191 / 200);
    expect(surfaceOver(motions, 1, flat, -10, 0)).toBeCloseTo(
      (-6 * (5 * Math.PI + ahead)) / (6 * Math.PI),
      9,
    );
    expect(surfaceOver(motions, 1, flat, 0, 0)).toBe(Infinity);
  });

  it("flat cutter up a helix: the first reach of the point counts", () => {
    const motions = new MotionsBuilder([10, 0, -6]).arc([10, 0, 0], [0, 0], -6 * Math.PI).done();
    const before = Math.acos(191 / 200);
    expect(surfaceOver(motions, 1, flat, -10, 0)).toBeCloseTo(
      -6 + (6 * (Math.PI - before)) / (6 * Math.PI),
      9,
    );
    expect(surfaceOver(motions, 1, flat, 10, 0)).toBe(-6);
  });

  it("a little more and a little less than half a turn: the ends are round, and no more", () => {
    for (const degrees of [170, 190, 350]) {
      const turn = (degrees * Math.PI) / 180;
      const end: [number, number, number] = [10 * Math.cos(turn), 10 * Math.sin(turn), -2];
      const motions = new MotionsBuilder([10, 0, -2]).arc(end, [0, 0], turn).done();
      const at = (angle: number) => surfaceOver(motions, 1, flat, 10 * Math.cos(angle), 10 * Math.sin(angle));
      // A cutter on the circle reaches along it to a chord of its radius.
      const reach = 2 * Math.asin(3 / 20);
      for (const inside of [0.01, turn / 2, turn - 0.01, turn + reach - 1e-6, -reach + 1e-6]) {
        expect(at(inside)).toBe(-2);
      }
      if (degrees === 350) continue;
      for (const outside of [turn + reach + 1e-6, -reach - 1e-6, turn / 2 + Math.PI]) {
        expect(at(outside)).toBe(Infinity);
      }
    }
  });

  it("full circle: the ring is covered and its middle is not", () => {
    const motions = new MotionsBuilder([10, 0, -2]).arc([10, 0, -2], [0, 0], -2 * Math.PI).done();
    expect(surfaceOver(motions, 1, flat, 0, -12.9)).toBe(-2);
    expect(surfaceOver(motions, 1, flat, 0, -7.1)).toBe(-2);
    expect(surfaceOver(motions, 1, flat, 0, -6.9)).toBe(Infinity);
    expect(surfaceOver(motions, 1, flat, 0, 0)).toBe(Infinity);
  });

  it("arc in the ZX plane: a dip below both its ends", () => {
    // Half circle of radius 5 from (-5, 0, 0) through (0, 0, -5) to (5, 0, 0); counter-clockwise is from Z to X.
    const motions = new MotionsBuilder([-5, 0, 0]).arc([5, 0, 0], [0, 0], -Math.PI, Plane.zx).done();
    const [x, , z] = pointOnMotion(motions, 1, 0.5);
    expect([x, z]).toEqual([expect.closeTo(0, 12), expect.closeTo(-5, 12)]);
    expect(surfaceOver(motions, 1, ball, 0, 0)).toBeCloseTo(-5, 3);
  });

  it("start not known: the end alone; end not known, or a dwell: nothing", () => {
    const from = new MotionsBuilder([0, 0, 0]).feed(20, 0, -1, MotionFlag.startUnknown).done();
    expect(surfaceOver(from, 1, flat, 10, 0)).toBe(Infinity);
    expect(surfaceOver(from, 1, flat, 20, 2)).toBe(-1);
    const to = new MotionsBuilder([0, 0, 0]).feed(20, 0, -1, MotionFlag.endUnknown).done();
    expect(surfaceOver(to, 1, flat, 20, 0)).toBe(Infinity);
    const dwell = new MotionsBuilder([0, 0, -1]).dwell().done();
    expect(surfaceOver(dwell, 1, flat, 0, 0)).toBe(Infinity);
  });
});

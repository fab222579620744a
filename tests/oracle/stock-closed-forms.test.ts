/**
 * Removed volume against closed forms. The volumes of cylinder, cone, spherical cap, circular segment and ring
 * are elementary geometry (tables of areas and volumes in Machinery's Handbook, from memory); the ramp and the
 * bull nose are integrated in the comment beside them.
 */
import { describe, expect, it } from "vitest";
import type { Motions } from "../../server/src/machine/motions.ts";
import { cutterFrom, type Cutter } from "../../server/src/stock/cutter.ts";
import { makeGrid } from "../../server/src/stock/grid.ts";
import { Material } from "../../server/src/stock/material.ts";
import { MotionsBuilder } from "../unit/motions-builder.ts";
import { tool } from "../unit/stock-arbitrary.ts";

/** Places and turns of the cut on the grid, and sizes of the board: a lucky one proves little. */
const placements = 48;

/** The cut as drawn around (0, 0), within 25 mm of it, in the frame of one placement. */
type Draw = (frame: Frame) => Motions;

interface Frame {
  readonly at: (x: number, y: number) => [number, number];
  readonly start: (x: number, y: number, z: number) => MotionsBuilder;
}

function frame(angle: number): Frame {
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  // Quarter turns exactly: the cosine of 90 degrees is not 0 in floating point.
  const [cos, sin] = [c, s].map((v) => (Math.abs(v - Math.round(v)) < 1e-12 ? Math.round(v) : v));
  const at = (x: number, y: number): [number, number] => [x * cos - y * sin, x * sin + y * cos];
  return { at, start: (x, y, z) => new MotionsBuilder([...at(x, y), z]) };
}

function removed(
  motions: Motions,
  cutter: Cutter,
  cell: number,
  placement: number,
  underside = -30,
): { stock: number; bed: number } {
  // Steps of the golden ratio and its kin: an even spread. The board's sides are no whole number of cells.
  const spread = (step: number) => (placement * step) % 1;
  const area = {
    x0: -30 - spread(0.6180339887),
    y0: -30 - spread(0.7548776662),
    width: 61 + 3 * spread(0.5698402911),
    depth: 61 + 3 * spread(0.8191725134),
  };
  const material = new Material(makeGrid(area, cell), 0, underside, undefined, { measure: true });
  let [stock, bed] = [0, 0];
  for (let i = 1; i < motions.count; i++) {
    const removal = material.apply(motions, i, cutter);
    stock += removal.stock;
    bed += removal.bed;
  }
  return { stock, bed };
}

/** Largest and root mean square of the relative error over all placements. */
function errors(draw: Draw, cutter: Cutter, cell: number, volume: number): { most: number; rms: number } {
  let [most, squares] = [0, 0];
  for (let placement = 0; placement < placements; placement++) {
    // Every third along X, every third along Y, the others at odd angles.
    const angle = placement % 3 === 0 ? 0 : placement % 3 === 1 ? Math.PI / 2 : placement * 0.731;
    const error = removed(draw(frame(angle)), cutter, cell, placement).stock / volume - 1;
    most = Math.max(most, Math.abs(error));
    squares += error * error;
  }
  return { most, rms: Math.sqrt(squares / placements) };
}

/**
 * At the default cell, a tenth of the diameter, every error is below 1 %; at a quarter of it a third or less.
 * A groove with a round or pointed bottom is 5 to 10 cells wide, and each counts as its middle: more is stated.
 */
function expectVolume(draw: Draw, cutter: Cutter, volume: number, most = 0.01): void {
  const cell = cutter.radius / 5;
  const coarse = errors(draw, cutter, cell, volume);
  const fine = errors(draw, cutter, cell / 4, volume);
  expect(coarse.most).toBeLessThan(most);
  expect(fine.rms).toBeLessThan(coarse.rms / 3);
}

const R = 3;
const flat = cutterFrom(tool("flat", 2 * R));
const ball = cutterFrom(tool("ball", 2 * R));
const disc = Math.PI * R * R;

describe("flat cutter", () => {
  it("slot: length x width plus one disc, times depth", () => {
    expectVolume(
      ({ at, start }) =>
        start(-20, 0, 5)
          .feed(...at(-20, 0), -4)
          .feed(...at(20, 0))
          .done(),
      flat,
      (40 * 2 * R + disc) * 4,
    );
  });

  it("slot in three levels, there and back", () => {
    expectVolume(
      ({ at, start }) => {
        const builder = start(-20, 0, 5);
        for (const z of [-2, -4, -6]) {
          builder
            .feed(...at(-20, 0), z)
            .feed(...at(20, 0))
            .feed(...at(-20, 0));
        }
        return builder.done();
      },
      flat,
      (40 * 2 * R + disc) * 6,
    );
  });

  it("slot in short motions", () => {
    expectVolume(
      ({ at, start }) => {
        const builder = start(-20, 0, 5).feed(...at(-20, 0), -4);
        for (let x = -20; x <= 20; x += 0.5) builder.feed(...at(x, 0));
        return builder.done();
      },
      flat,
      (40 * 2 * R + disc) * 4,
    );
  });

  it("slot widened from both sides in passes that share an edge: widths add up", () => {
    expectVolume(
      ({ at, start }) =>
        start(-20, 0, -4)
          .feed(...at(20, 0))
          .rapid(...at(20, 0), 5)
          .rapid(...at(20, 2 * R))
          .feed(...at(20, 2 * R), -4)
          .feed(...at(-20, 2 * R))
          .done(),
      flat,
      // The discs' quarters between the two ends stay.
      (40 * 4 * R + 2 * disc) * 4,
    );
  });

  it("rectangular pocket with rounded corners, stepped down in two levels", () => {
    const area = (30 + 2 * R) * (20 + 2 * R) - (4 - Math.PI) * R * R;
    expectVolume(
      ({ at, start }) => {
        const builder = start(-15, -10, 5);
        for (const z of [-2, -5]) {
          builder.rapid(...at(-15, -10), 5).feed(...at(-15, -10), z);
          for (let y = -10; y <= 10; y += 5) {
            builder
              .feed(...at(-15, y))
              .feed(...at(15, y))
              .feed(...at(-15, y));
          }
          for (const [x, y] of [
            [-15, -10],
            [15, -10],
            [15, 10],
            [-15, 10],
            [-15, -10],
          ]) {
            builder.feed(...at(x, y));
          }
        }
        return builder.done();
      },
      flat,
      area * 5,
    );
  });

  it("cross of two slots: both less the square that they share", () => {
    expectVolume(
      ({ at, start }) =>
        start(-20, 0, -4)
          .feed(...at(20, 0))
          .rapid(...at(20, 0), 5)
          .rapid(...at(0, -20))
          .feed(...at(0, -20), -4)
          .feed(...at(0, 20))
          .done(),
      flat,
      (2 * (40 * 2 * R + disc) - (2 * R) ** 2) * 4,
    );
  });

  it("rebate beside a deeper slot, repeated: each depth keeps its width", () => {
    // The rebate's edge lies 1 mm beyond the slot's on one side and 1 mm within it on the other.
    expectVolume(
      ({ at, start }) => {
        const builder = start(-20, 0, 5);
        for (let again = 0; again < 2; again++) {
          builder.feed(...at(-20, 0), -6).feed(...at(20, 0));
          builder
            .rapid(...at(20, 0), 5)
            .rapid(...at(20, 1))
            .feed(...at(20, 1), -2)
            .feed(...at(-20, 1))
            .rapid(...at(-20, 1), 5)
            .rapid(...at(-20, 0));
        }
        return builder.done();
      },
      flat,
      // Beside the slot: the strip 1 mm wide, and two half discs 1 mm apart.
      (40 * 2 * R + disc) * 6 + (40 * 1 + disc - lens(R, 1)) * 2,
    );
  });

  it("ramp: depth x (radius x length + disc)", () => {
    // On the line at the distance d from the track, with w^2 = R^2 - d^2, the depth over the place x is
    // m min(L, x + w) for x from -w to L + w: m (L^2/2 + 2 w L). Over d: m (R L^2 + pi R^2 L), m L = depth.
    expectVolume(
      ({ at, start }) =>
        start(-20, 0, 0)
          .feed(...at(20, 0), -6)
          .done(),
      flat,
      6 * (R * 40 + disc),
    );
  });

  it("hole: a cylinder", () => {
    expectVolume(
      ({ at, start }) =>
        start(0, 0, 5)
          .feed(...at(0, 0), -7)
          .done(),
      flat,
      disc * 7,
    );
  });

  it("full circle: a ring", () => {
    expectVolume(
      ({ at, start }) =>
        start(10, 0, -4)
          .arc([...at(10, 0), -4], [0, 0], 2 * Math.PI)
          .done(),
      flat,
      Math.PI * (13 ** 2 - 7 ** 2) * 4,
    );
  });

  it("ring in two half circles", () => {
    expectVolume(
      ({ at, start }) =>
        start(10, 0, -4)
          .arc([...at(-10, 0), -4], [0, 0], -Math.PI)
          .arc([...at(10, 0), -4], [0, 0], -Math.PI)
          .done(),
      flat,
      Math.PI * (13 ** 2 - 7 ** 2) * 4,
    );
  });

  it("helical bore with a last level round: a ring as deep as the helix", () => {
    expectVolume(
      ({ at, start }) =>
        start(5, 0, 0)
          .arc([...at(5, 0), -10], [0, 0], -10 * Math.PI)
          .arc([...at(5, 0), -10], [0, 0], -2 * Math.PI)
          .done(),
      flat,
      Math.PI * (8 ** 2 - 2 ** 2) * 10,
    );
  });

  it("helix that closes over its middle: the whole hole", () => {
    expectVolume(
      ({ at, start }) =>
        start(2, 0, 0)
          .arc([...at(2, 0), -10], [0, 0], 12 * Math.PI)
          .arc([...at(2, 0), -10], [0, 0], 2 * Math.PI)
          .done(),
      flat,
      Math.PI * 5 ** 2 * 10,
    );
  });

  it("through an 18 mm board and 0.5 mm into the bed: each has its share", () => {
    const area = 40 * 2 * R + disc;
    for (let placement = 0; placement < placements; placement++) {
      const { at, start } = frame(placement * 0.731);
      const motions = start(-20, 0, 5)
        .feed(...at(-20, 0), -18.5)
        .feed(...at(20, 0))
        .done();
      const { stock, bed } = removed(motions, flat, 0.6, placement, -18);
      expect(Math.abs(stock / (area * 18) - 1)).toBeLessThan(0.01);
      expect(Math.abs(bed / (area * 0.5) - 1)).toBeLessThan(0.01);
    }
  });
});

/** Area that two discs of radius `r` at the distance `d` share (elementary geometry). */
function lens(r: number, d: number): number {
  return 2 * r * r * Math.acos(d / (2 * r)) - (d / 2) * Math.sqrt(4 * r * r - d * d);
}

describe("pointed and round cutters", () => {
  it("drilled hole: cylinder and the cone of the 118 degree point", () => {
    const drill = cutterFrom(tool("drill", 8, { angle: (118 * Math.PI) / 180 }));
    const point = 4 / Math.tan((59 * Math.PI) / 180);
    expectVolume(
      ({ at, start }) =>
        start(0, 0, 5)
          .feed(...at(0, 0), -12)
          .done(),
      drill,
      Math.PI * 16 * (12 - point + point / 3),
    );
  });

  it("ball groove half as deep as the radius: circular segment times length, and a spherical cap", () => {
    const depth = R / 2;
    const segment = R * R * Math.acos((R - depth) / R) - (R - depth) * Math.sqrt(2 * R * depth - depth ** 2);
    expectVolume(
      ({ at, start }) =>
        start(-20, 0, 5)
          .feed(...at(-20, 0), -depth)
          .feed(...at(20, 0))
          .done(),
      ball,
      segment * 40 + (Math.PI * depth ** 2 * (3 * R - depth)) / 3,
    );
  });

  it("ball deeper than its radius: with walls, half a cylinder and half a ball below", () => {
    expectVolume(
      ({ at, start }) =>
        start(-20, 0, 5)
          .feed(...at(-20, 0), -5)
          .feed(...at(20, 0))
          .done(),
      ball,
      (40 * 2 * R + disc) * 2 + (disc / 2) * 40 + (2 / 3) * Math.PI * R ** 3,
    );
  });

  it("ball round a full circle: the segment times the way of its centroid (Pappus), which lies on the circle", () => {
    expectVolume(
      ({ at, start }) =>
        start(10, 0, -R)
          .arc([...at(10, 0), -R], [0, 0], 2 * Math.PI)
          .done(),
      ball,
      (disc / 2) * 2 * Math.PI * 10,
      0.015,
    );
  });

  it("V groove of 60 degrees: triangle times length, and a cone", () => {
    const v = cutterFrom(tool("V", 12, { angle: Math.PI / 3 }));
    const half = 5 * Math.tan(Math.PI / 6);
    expectVolume(
      ({ at, start }) =>
        start(-20, 0, 5)
          .feed(...at(-20, 0), -5)
          .feed(...at(20, 0))
          .done(),
      v,
      half * 5 * 40 + (Math.PI * half ** 2 * 5) / 3,
      0.04,
    );
  });

  it("bull nose plunged: the cylinder less what the corner leaves standing", () => {
    // Corner c on the flat radius a: 2 pi times the integral over s from 0 to c of (a + s)(c - sqrt(c^2 - s^2)).
    const [a, c] = [3, 2];
    const bull = cutterFrom(tool("bull", 10, { cornerRadius: 2 }));
    const corner = 2 * Math.PI * (a * c * c * (1 - Math.PI / 4) + c ** 3 / 6);
    expectVolume(
      ({ at, start }) =>
        start(0, 0, 5)
          .feed(...at(0, 0), -6)
          .done(),
      bull,
      Math.PI * 25 * 6 - corner,
      0.015,
    );
  });

  it("ball stepping over: the ridge between two grooves is as high as R - sqrt(R^2 - (step/2)^2)", () => {
    // Cusp height of a ball cutter; elementary geometry.
    const step = 1.2;
    const motions = new MotionsBuilder([0, 0, -2]).feed(50, 0).rapid(50, step).feed(0, step).done();
    const grid = makeGrid({ x0: 10, y0: step / 2 - 0.005, width: 10, depth: 0.01 }, 0.01);
    const material = new Material(grid, 0, -30);
    for (let i = 1; i < motions.count; i++) material.apply(motions, i, ball);
    const ridge = material.field.height.reduce((high, z) => Math.max(high, z), -Infinity);
    expect(ridge).toBeCloseTo(-2 + R - Math.sqrt(R ** 2 - (step / 2) ** 2), 6);
  });
});

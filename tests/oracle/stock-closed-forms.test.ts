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

/** Places of the grid under the cut: volumes are counted in cells, so that a lucky place proves little. */
const shifts = 16;

function removed(
  motions: Motions,
  cutter: Cutter,
  cell: number,
  shift: number,
  underside = -30,
): { stock: number; bed: number } {
  // Steps of the golden ratio: shifts spread evenly over a cell in both directions.
  const along = (shift * 0.6180339887) % 1;
  const across = (shift * 0.7548776662) % 1;
  // 96 and 72 mm hold whole numbers of the cells used, as a slot along an axis holds ten rows of them.
  const grid = makeGrid({ x0: -20 - along * cell, y0: -20 - across * cell, width: 96, depth: 72 }, cell);
  const material = new Material(grid, 0, underside);
  let [stock, bed] = [0, 0];
  for (let i = 1; i < motions.count; i++) {
    const removal = material.apply(motions, i, cutter);
    stock += removal.stock;
    bed += removal.bed;
  }
  return { stock, bed };
}

/** Mean and root mean square of the relative error over all shifts. */
function errors(
  motions: Motions,
  cutter: Cutter,
  cell: number,
  volume: number,
): { mean: number; rms: number } {
  let [sum, squares] = [0, 0];
  for (let shift = 0; shift < shifts; shift++) {
    const error = removed(motions, cutter, cell, shift).stock / volume - 1;
    sum += error;
    squares += error * error;
  }
  return { mean: sum / shifts, rms: Math.sqrt(squares / shifts) };
}

/**
 * At the default cell (a tenth of the diameter) and at a quarter of it: no bias, and an error below 1 % that
 * shrinks with the cell. A hole of 80 to 220 cells has single errors up to twice that.
 */
function expectVolume(motions: Motions, cutter: Cutter, volume: number, most = 0.01): void {
  const cell = cutter.radius / 5;
  const coarse = errors(motions, cutter, cell, volume);
  const fine = errors(motions, cutter, cell / 4, volume);
  expect(Math.abs(coarse.mean)).toBeLessThan(0.005);
  expect(coarse.rms).toBeLessThan(most);
  expect(Math.abs(fine.mean)).toBeLessThan(0.001);
  expect(fine.rms).toBeLessThan(0.003);
  expect(fine.rms).toBeLessThan(coarse.rms);
}

const R = 3;
const flat = cutterFrom(tool("flat", 2 * R));
const ball = cutterFrom(tool("ball", 2 * R));
const disc = Math.PI * R * R;

describe("flat cutter", () => {
  it("slot at a slant: length x width plus one disc, times depth", () => {
    const motions = new MotionsBuilder([0, 0, 5]).feed(0, 0, -4).feed(40, 30).done();
    expectVolume(motions, flat, (50 * 2 * R + disc) * 4);
  });

  it("slot along X", () => {
    const motions = new MotionsBuilder([0, 0, 5]).feed(0, 0, -4).feed(50, 0).done();
    expectVolume(motions, flat, (50 * 2 * R + disc) * 4);
  });

  it("rectangular pocket with rounded corners, stepped down in two levels", () => {
    const builder = new MotionsBuilder([0, 0, 5]);
    for (const z of [-2, -5]) {
      builder.rapid(0, 0, 5).feed(0, 0, z);
      for (let y = 0; y <= 30; y += 5) builder.feed(0, y).feed(40, y).feed(0, y);
      builder.feed(0, 0).feed(40, 0).feed(40, 30).feed(0, 30).feed(0, 0);
    }
    const area = (40 + 2 * R) * (30 + 2 * R) - (4 - Math.PI) * R * R;
    expectVolume(builder.done(), flat, area * 5);
  });

  it("ramp: depth x (radius x length + disc)", () => {
    // On the line at the distance d from the track, with w^2 = R^2 - d^2, the depth over the place x is
    // m min(L, x + w) for x from -w to L + w: m (L^2/2 + 2 w L). Over d: m (R L^2 + pi R^2 L), m L = depth.
    const motions = new MotionsBuilder([0, 0, 0]).feed(40, 30, -6).done();
    expectVolume(motions, flat, 6 * (R * 50 + disc));
  });

  it("full circle: a ring", () => {
    const motions = new MotionsBuilder([25, 15, -4]).arc([25, 15, -4], [15, 15], 2 * Math.PI).done();
    expectVolume(motions, flat, Math.PI * (13 ** 2 - 7 ** 2) * 4);
  });

  it("helical bore with a last level round: a ring as deep as the helix", () => {
    const motions = new MotionsBuilder([20, 15, 0])
      .arc([20, 15, -10], [15, 15], -10 * Math.PI)
      .arc([20, 15, -10], [15, 15], -2 * Math.PI)
      .done();
    expectVolume(motions, flat, Math.PI * (8 ** 2 - 2 ** 2) * 10);
  });

  it("helix that closes over its middle: the whole hole", () => {
    const motions = new MotionsBuilder([17, 15, 0])
      .arc([17, 15, -10], [15, 15], 12 * Math.PI)
      .arc([17, 15, -10], [15, 15], 2 * Math.PI)
      .done();
    expectVolume(motions, flat, Math.PI * 5 ** 2 * 10, 0.02);
  });

  it("through an 18 mm board and 0.5 mm into the bed: each has its share", () => {
    const motions = new MotionsBuilder([0, 0, 5]).feed(0, 0, -18.5).feed(40, 30).done();
    const { stock, bed } = removed(motions, flat, 0.15, 1, -18);
    const area = 50 * 2 * R + disc;
    expect(stock / (area * 18)).toBeCloseTo(1, 2);
    expect(bed / (area * 0.5)).toBeCloseTo(1, 2);
  });
});

describe("pointed and round cutters", () => {
  it("drilled hole: cylinder and the cone of the 118 degree point", () => {
    const drill = cutterFrom(tool("drill", 8, { angle: (118 * Math.PI) / 180 }));
    const point = 4 / Math.tan((59 * Math.PI) / 180);
    const motions = new MotionsBuilder([20, 15, 5]).feed(20, 15, -12).done();
    expectVolume(motions, drill, Math.PI * 16 * (12 - point + point / 3), 0.02);
  });

  it("ball groove half as deep as the radius: circular segment times length, and a spherical cap", () => {
    const depth = R / 2;
    const motions = new MotionsBuilder([0, 0, 5]).feed(0, 0, -depth).feed(40, 30).done();
    const segment = R * R * Math.acos((R - depth) / R) - (R - depth) * Math.sqrt(2 * R * depth - depth ** 2);
    expectVolume(motions, ball, segment * 50 + (Math.PI * depth ** 2 * (3 * R - depth)) / 3);
  });

  it("ball round a full circle: the segment times the way of its centroid (Pappus), which lies on the circle", () => {
    const motions = new MotionsBuilder([25, 15, -R]).arc([25, 15, -R], [15, 15], 2 * Math.PI).done();
    expectVolume(motions, ball, ((Math.PI * R * R) / 2) * 2 * Math.PI * 10);
  });

  it("V groove of 60 degrees: triangle times length, and a cone", () => {
    const v = cutterFrom(tool("V", 12, { angle: Math.PI / 3 }));
    const half = 5 * Math.tan(Math.PI / 6);
    const motions = new MotionsBuilder([0, 0, 5]).feed(0, 0, -5).feed(40, 30).done();
    expectVolume(motions, v, half * 5 * 50 + (Math.PI * half ** 2 * 5) / 3);
  });

  it("bull nose plunged: the cylinder less what the corner leaves standing", () => {
    // Corner c on the flat radius a: 2 pi times the integral over s from 0 to c of (a + s)(c - sqrt(c^2 - s^2)).
    const [a, c] = [3, 2];
    const bull = cutterFrom(tool("bull", 10, { cornerRadius: 2 }));
    const corner = 2 * Math.PI * (a * c * c * (1 - Math.PI / 4) + c ** 3 / 6);
    const motions = new MotionsBuilder([20, 15, 5]).feed(20, 15, -6).done();
    expectVolume(motions, bull, Math.PI * 25 * 6 - corner, 0.02);
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

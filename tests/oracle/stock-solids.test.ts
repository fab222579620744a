/**
 * The height field against exact solid subtraction by manifold-3d (npm, Apache-2.0): the board less the swept
 * solid of every motion. A solid is everything over the cutter's path up to above the board. Its circles have
 * 128 edges (48 for balls), which costs 0.04 % (0.3 %) of their area.
 */
import type { CrossSection, Manifold, ManifoldToplevel } from "manifold-3d";
import load from "manifold-3d";
import { beforeAll, describe, expect, it } from "vitest";
import { pointOnMotion } from "../../server/src/machine/geometry.ts";
import type { Motions } from "../../server/src/machine/motions.ts";
import { cutterFrom } from "../../server/src/stock/cutter.ts";
import { makeGrid } from "../../server/src/stock/grid.ts";
import { Material } from "../../server/src/stock/material.ts";
import { MotionsBuilder } from "../unit/motions-builder.ts";
import { tool } from "../unit/stock-arbitrary.ts";

const edges = 128;
const ballEdges = 48;
const board = { x0: 0, y0: 0, width: 120, depth: 80 };
const thickness = 18;
const above = 10;
let solids: ManifoldToplevel;

beforeAll(async () => {
  solids = await load();
  solids.setup();
});

/** Arcs are followed in steps of 7.5 degrees: at the 10 mm of the outline a chord is off by 0.02 mm. */
function steps(motions: Motions, i: number): number {
  const arc = motions.arc[i];
  return arc < 0 ? 1 : Math.ceil(Math.abs(motions.arcs.sweep[arc]) / (Math.PI / 24));
}

/** Region that a level motion of a flat cutter covers: the union of short capsules along it. */
function swathe(motions: Motions, i: number, radius: number): CrossSection {
  const { CrossSection } = solids;
  const count = steps(motions, i);
  const discs: CrossSection[] = [];
  for (let k = 0; k <= count; k++) {
    const [x, y] = pointOnMotion(motions, i, k / count);
    discs.push(CrossSection.circle(radius, edges).translate([x, y]));
  }
  const capsules = discs.slice(1).map((disc, k) => CrossSection.hull([discs[k], disc]));
  const region = CrossSection.union(capsules);
  for (const part of [...discs, ...capsules]) part.delete();
  return region;
}

/**
 * Everything over the path of one motion of a flat or ball cutter, up to above the board. A short straight
 * sweep of a convex cutter is the hull of its two ends.
 */
function sweptSolid(motions: Motions, i: number, radius: number, isBall: boolean): Manifold {
  const { Manifold } = solids;
  if (!isBall && motions.z[i] === motions.z[i + 1]) {
    const region = swathe(motions, i, radius);
    const solid = region.extrude(above + 60).translate([0, 0, motions.z[i]]);
    region.delete();
    return solid;
  }
  const round = isBall ? ballEdges : edges;
  const cutterAt = (t: number): Manifold => {
    const [x, y, z] = pointOnMotion(motions, i, t);
    const bottom = isBall ? z + radius : z;
    const shank = Manifold.cylinder(above + 60, radius, radius, round).translate([x, y, bottom]);
    if (!isBall) return shank;
    const tip = Manifold.sphere(radius, round).translate([x, y, bottom]);
    const cutter = Manifold.hull([shank, tip]);
    shank.delete();
    tip.delete();
    return cutter;
  };
  const count = steps(motions, i);
  const places: Manifold[] = [];
  for (let k = 0; k <= count; k++) places.push(cutterAt(k / count));
  const hulls = places.slice(1).map((place, k) => Manifold.hull([places[k], place]));
  const solid = Manifold.union(hulls);
  for (const part of [...places, ...hulls]) part.delete();
  return solid;
}

const levels = [-0.5, -2.9, -5, -9, -14, -17.9];

interface Amounts {
  /** Removed, mm^3. */
  readonly stock: number;
  readonly bed: number;
  /** Area still standing at each of the levels, mm^2. */
  readonly standing: readonly number[];
}

function exact(motions: Motions, diameter: number, isBall: boolean): Amounts {
  const { Manifold } = solids;
  const swept: Manifold[] = [];
  for (let i = 1; i < motions.count; i++) swept.push(sweptSolid(motions, i, diameter / 2, isBall));
  const cut = Manifold.union(swept);
  const { x0, y0, width, depth } = board;
  const slab = Manifold.cube([width, depth, thickness]).translate([x0, y0, -thickness]);
  const bedSlab = Manifold.cube([width, depth, 10]).translate([x0, y0, -thickness - 10]);
  const left = slab.subtract(cut);
  return {
    stock: slab.volume() - left.volume(),
    bed: bedSlab.volume() - bedSlab.subtract(cut).volume(),
    standing: levels.map((z) => left.slice(z).area()),
  };
}

function byCells(motions: Motions, diameter: number, isBall: boolean, cell: number): Amounts {
  const cutter = cutterFrom(tool(isBall ? "ball" : "flat", diameter));
  const material = new Material(makeGrid(board, cell), 0, -thickness, undefined, { measure: true });
  let [stock, bed] = [0, 0];
  for (let i = 1; i < motions.count; i++) {
    const removal = material.apply(motions, i, cutter);
    stock += removal.stock;
    bed += removal.bed;
  }
  const { height, grid } = material.field;
  const cellArea = grid.dx * grid.dy;
  return { stock, bed, standing: levels.map((z) => height.filter((h) => h > z).length * cellArea) };
}

/** A rounded outline in steps; a ramp there and back; a helical hole; a half circle over the board's edge. */
function program(outlineLevels: readonly number[]): Motions {
  const builder = new MotionsBuilder([20, 15, 5]);
  const quarter = Math.PI / 2;
  for (const z of outlineLevels) {
    builder
      .feed(20, 15, z)
      .feed(80, 15)
      .arc([90, 25, z], [80, 25], quarter)
      .feed(90, 55)
      .arc([80, 65, z], [80, 55], quarter)
      .feed(20, 65)
      .arc([10, 55, z], [20, 55], quarter)
      .feed(10, 25)
      .arc([20, 15, z], [20, 25], quarter);
  }
  builder.rapid(20, 15, 5).rapid(25, 30).feed(25, 30, 0).feed(60, 35.5, -4).feed(25, 30);
  builder.rapid(25, 30, 5).rapid(75, 50, 5).feed(75, 50, 0);
  // Two and a half turns down, clockwise, and a last level turn.
  builder
    .arc([67, 50, -10], [71, 50], -5 * Math.PI)
    .arc([67, 50, -10], [71, 50], -2 * Math.PI)
    .rapid(67, 50, 5)
    .rapid(40, 50);
  builder.rapid(100, 80).feed(100, 80, -3).arc([112, 80, -3], [106, 80], Math.PI);
  return builder.done();
}

function off(found: number, truth: number): number {
  return Math.abs(found / truth - 1);
}

describe("height field and exact solids", () => {
  it("flat 6 mm: removed volume and the bed's share agree within 0.2 %, standing areas within 1 %, closer with smaller cells", () => {
    const motions = program([-6, -12, -18.4]);
    const truth = exact(motions, 6, false);
    expect(truth.stock).toBeGreaterThan(20_000);
    expect(truth.bed).toBeGreaterThan(400);
    for (const cell of [0.6, 0.57, 0.53]) {
      const { stock, bed } = byCells(motions, 6, false, cell);
      expect(off(stock, truth.stock)).toBeLessThan(0.002);
      expect(off(bed, truth.bed)).toBeLessThan(0.002);
    }
    const found = byCells(motions, 6, false, 0.6);
    found.standing.forEach((area, k) => expect(off(area, truth.standing[k])).toBeLessThan(0.01));
    const fine = byCells(motions, 6, false, 0.15);
    // No closer than the polygons that stand for circles there.
    expect(off(fine.stock, truth.stock)).toBeLessThan(0.0005);
    expect(off(fine.stock, truth.stock)).toBeLessThan(
      off(byCells(motions, 6, false, 1.2).stock, truth.stock),
    );
  });

  it("ball 6 mm: removed volume and standing areas agree within 1 %", () => {
    const motions = program([-5]);
    const truth = exact(motions, 6, true);
    const found = byCells(motions, 6, true, 0.6);
    expect(truth.stock).toBeGreaterThan(5_000);
    expect(off(found.stock, truth.stock)).toBeLessThan(0.01);
    found.standing.forEach((area, k) => expect(off(area, truth.standing[k])).toBeLessThan(0.01));
  });
});

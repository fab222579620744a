import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { ToolShape } from "../../server/src/job/facts.ts";
import { MotionFlag, type Motions } from "../../server/src/machine/motions.ts";
import { cutterFrom, heightAboveTip, type Cutter } from "../../server/src/stock/cutter.ts";
import { makeGrid } from "../../server/src/stock/grid.ts";
import { Material } from "../../server/src/stock/material.ts";
import { heightAt } from "../../server/src/stock/probe.ts";
import { surfaceOver } from "../../server/src/stock/sweep.ts";
import { MotionsBuilder } from "./motions-builder.ts";
import { anyCutter, anyMotion, tool } from "./stock-arbitrary.ts";

const flat = cutterFrom(tool("flat", 6));
const ball = cutterFrom(tool("ball", 6));
const board = { x0: 0, y0: 0, width: 60, depth: 40 };
const grid = makeGrid(board, 0.6);
const cellArea = grid.dx * grid.dy;

function cellAt(material: Material, x: number, y: number): number {
  const { grid: g } = material.field;
  return Math.floor((y - g.y0) / g.dy) * g.columns + Math.floor((x - g.x0) / g.dx);
}

describe("grid", () => {
  it("divides the area evenly, with cells no larger than asked", () => {
    expect(makeGrid({ x0: -10, y0: -5, width: 300, depth: 200 }, 0.6)).toEqual({
      x0: -10,
      y0: -5,
      dx: 0.6,
      dy: expect.closeTo(200 / 334, 12),
      columns: 500,
      rows: 334,
    });
  });

  it("keeps to the most cells allowed, for long thin areas too", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 10_000, noNaN: true }),
        fc.double({ min: 1, max: 10_000, noNaN: true }),
        fc.double({ min: 0.05, max: 2, noNaN: true }),
        fc.integer({ min: 1, max: 5000 }),
        (width, depth, cell, most) => {
          const { dx, dy, columns, rows } = makeGrid({ x0: 0, y0: 0, width, depth }, cell, most);
          expect(columns * rows).toBeLessThanOrEqual(most);
          expect(dx * columns).toBeCloseTo(width, 6);
          expect(dy * rows).toBeCloseTo(depth, 6);
        },
      ),
    );
  });
});

describe("cutters", () => {
  it("V of 60 degrees with a 1 mm tip: rises 1 / tan 30 degrees per mm past the tip", () => {
    const v = cutterFrom(tool("V", 12, { angle: Math.PI / 3, tipDiameter: 1 }));
    expect(heightAboveTip(v, 0.25)).toBe(0);
    expect(heightAboveTip(v, 36)).toBeCloseTo(5.5 * Math.sqrt(3), 12);
  });
  it("bull nose: flat, then a quarter circle up to the corner radius", () => {
    const bull = cutterFrom(tool("bull", 10, { cornerRadius: 2 }));
    expect(heightAboveTip(bull, 9)).toBe(0);
    expect(heightAboveTip(bull, 16)).toBeCloseTo(2 - Math.sqrt(3), 12);
    expect(heightAboveTip(bull, 25)).toBe(2);
  });
  it("bull nose whose corner is the whole radius is a ball; without a corner it is flat", () => {
    expect(cutterFrom(tool("bull", 6, { cornerRadius: 3 }))).toEqual(ball);
    expect(cutterFrom(tool("bull", 6))).toEqual(flat);
  });
});

describe("material after one motion", () => {
  it("holds the exact surface over each cell centre, in single precision, and nothing else", () => {
    let lowered = 0;
    fc.assert(
      fc.property(anyCutter, anyMotion, (cutter, { name, motions }) => {
        const g = makeGrid({ x0: -18, y0: -16, width: 37, depth: 31 }, 1.1);
        const material = new Material(g, 0.5, -4);
        material.apply(motions, 1, cutter);
        const { height, setBy, throughBy, top, underside } = material.field;
        for (let row = 0; row < g.rows; row++) {
          for (let column = 0; column < g.columns; column++) {
            const cell = row * g.columns + column;
            const x = g.x0 + (column + 0.5) * g.dx;
            const y = g.y0 + (row + 0.5) * g.dy;
            const exact = Math.fround(surfaceOver(motions, 1, cutter, x, y));
            const expected = Math.min(exact, top);
            // Chords are skipped where their lowest place is no lower: the last digit may differ.
            if (!(Math.abs(height[cell] - expected) <= 1e-6))
              expect.fail(`${name} at ${x}, ${y}: ${height[cell]} not ${expected}`);
            if (expected < top - 1e-4 !== (setBy[cell] === 1 && height[cell] < top - 1e-4)) {
              expect.fail(`${name} at ${x}, ${y}: set by ${setBy[cell]}`);
            }
            if (height[cell] <= underside !== (throughBy[cell] === 1)) {
              expect.fail(`${name} at ${x}, ${y}: through by ${throughBy[cell]}`);
            }
            if (expected < top) lowered++;
          }
        }
      }),
      { numRuns: 1500, seed: 7 },
    );
    expect(lowered).toBeGreaterThan(25_000);
  });

  it("tells the volume that the field lost, in the stock and in the bed", () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(anyCutter, anyMotion), { minLength: 1, maxLength: 4 }), (steps) => {
        const g = makeGrid({ x0: -18, y0: -16, width: 37, depth: 31 }, 1.3);
        const material = new Material(g, 0.5, -4);
        const { height, top, underside } = material.field;
        let [stock, bed] = [0, 0];
        for (const [cutter, { motions }] of steps) {
          const removal = material.apply(motions, 1, cutter);
          stock += removal.stock;
          bed += removal.bed;
        }
        let [lostStock, lostBed] = [0, 0];
        for (const z of height) {
          lostStock += top - Math.max(z, underside);
          lostBed += Math.max(0, underside - z);
        }
        expect(stock).toBeCloseTo(lostStock * g.dx * g.dy, 1);
        expect(bed).toBeCloseTo(lostBed * g.dx * g.dy, 1);
      }),
      { numRuns: 200, seed: 3 },
    );
  });
});

const thousandths = (min: number, max: number) =>
  fc.integer({ min: min * 1000, max: max * 1000 }).map((value) => value / 1000);

/** Chains of motions of one cutter, as programs have them: each goes on where the one before ended. */
const chain = fc
  .tuple(
    fc.constantFrom(...["flat", "flat", "ball", "bull", "V"].map((shape) => shape as ToolShape)),
    fc.array(
      fc.tuple(
        fc.constantFrom(
          "level",
          "level",
          "along X",
          "along Y",
          "ramp",
          "plunge",
          "back",
          "arc",
          "fast" as const,
        ),
        thousandths(-7, 7),
        thousandths(-7, 7),
        thousandths(-5, 1),
      ),
      { minLength: 1, maxLength: 12 },
    ),
  )
  .map(([shape, steps]) => {
    const builder = new MotionsBuilder([0, 0, -1]);
    let [x, y, z] = [0, 0, -1];
    let last = [0, 0, -1];
    for (const [step, dx, dy, down] of steps) {
      const from = [x, y, z];
      if (step === "back") [x, y, z] = last;
      else if (step === "plunge") z = down;
      else {
        if (step !== "along Y") x += dx;
        if (step !== "along X" && step !== "arc") y += dy;
        if (step === "ramp") z = down;
      }
      if (step === "arc") builder.arc([x, y, z], [x - dx / 2, y], dy < 0 ? Math.PI : -Math.PI);
      else if (step === "fast") builder.rapid(x, y, z);
      else builder.feed(x, y, z);
      last = from;
    }
    return { motions: builder.done(), cutter: cutterFrom(tool(shape, 3, { cornerRadius: 0.7, angle: 1.5 })) };
  });

const chainGrid = makeGrid({ x0: -11.03, y0: -10.07, width: 23, depth: 21 }, 0.61);

describe("volumes by parts of cells", () => {
  const on = { measure: true };

  it("heights, setters and firsts through are the same without", () => {
    fc.assert(
      fc.property(chain, ({ motions, cutter }) => {
        const measured = new Material(chainGrid, 0, -3, undefined, on);
        const plain = new Material(chainGrid, 0, -3);
        for (let i = 1; i < motions.count; i++) {
          measured.apply(motions, i, cutter);
          plain.apply(motions, i, cutter);
        }
        expect(measured.field).toEqual(plain.field);
      }),
      { numRuns: 300, seed: 5 },
    );
  });

  it("heights after a chain of motions are those of each by itself", () => {
    fc.assert(
      fc.property(chain, ({ motions, cutter }) => {
        const { grid: g, height } = carved(motions, cutter);
        for (let cell = 0; cell < height.length; cell += 7) {
          const x = g.x0 + ((cell % g.columns) + 0.5) * g.dx;
          const y = g.y0 + (Math.floor(cell / g.columns) + 0.5) * g.dy;
          let lowest = 0;
          for (let i = 1; i < motions.count; i++)
            lowest = Math.min(lowest, surfaceOver(motions, i, cutter, x, y));
          expect(Math.abs(height[cell] - lowest)).toBeLessThan(1e-6);
        }
      }),
      { numRuns: 300, seed: 6 },
    );
    function carved(motions: Motions, cutter: Cutter) {
      const material = new Material(chainGrid, 0, -3);
      for (let i = 1; i < motions.count; i++) material.apply(motions, i, cutter);
      return material.field;
    }
  });

  it("the sum of what motions took is what is missing, of the stock and of the bed", () => {
    let total = 0;
    fc.assert(
      fc.property(fc.array(chain, { minLength: 1, maxLength: 3 }), (chains) => {
        const material = new Material(chainGrid, 0, -3, undefined, on);
        let [stock, bed] = [0, 0];
        for (const { motions, cutter } of chains) {
          for (let i = 1; i < motions.count; i++) {
            const removal = material.apply(motions, i, cutter);
            expect(removal.stock).toBeGreaterThanOrEqual(0);
            expect(removal.bed).toBeGreaterThanOrEqual(0);
            stock += removal.stock;
            bed += removal.bed;
          }
        }
        const missing = material.missing();
        // A cell lowered by less than 0.00001 mm is not counted.
        expect(Math.abs(stock - missing.stock)).toBeLessThan(0.005);
        expect(Math.abs(bed - missing.bed)).toBeLessThan(0.005);
        total += stock;
      }),
      { numRuns: 300, seed: 8 },
    );
    expect(total).toBeGreaterThan(10_000);
  });

  it("motions that were made before take exactly nothing, whatever came between", () => {
    fc.assert(
      fc.property(fc.array(chain, { minLength: 1, maxLength: 3 }), (chains) => {
        const material = new Material(chainGrid, 0, -3, undefined, on);
        const apply = () =>
          chains.flatMap(({ motions, cutter }) =>
            Array.from({ length: motions.count }, (_, i) => material.apply(motions, i, cutter)),
          );
        apply();
        for (const removal of apply()) expect(removal).toEqual({ stock: 0, bed: 0 });
        // Nor do they after the next program has taken over.
        const next = new Material(chainGrid, 0, -3, material, on);
        expect(next.missing()).toEqual(material.missing());
        expect(next.field.setBy.every((by) => by < 0)).toBe(true);
        for (const { motions, cutter } of chains) {
          for (let i = 0; i < motions.count; i++) {
            expect(next.apply(motions, i, cutter)).toEqual({ stock: 0, bed: 0 });
          }
        }
      }),
      { numRuns: 300, seed: 9 },
    );
  });

  it("a pass 0.1 mm beside a slot that crosses no cell's centre takes its sliver", () => {
    // Rows of 0.6 mm with centres at 22.5 and 23.1: the slot's edge goes from 22.8 to 22.9.
    const slot = new MotionsBuilder([10, 19.8, -4]).feed(50, 19.8).feed(50, 19.9).feed(10, 19.9).done();
    const material = new Material(grid, 0, -18.3, undefined, on);
    material.apply(slot, 1, flat);
    material.apply(slot, 2, flat);
    const before = material.field.height.slice();
    const { stock } = material.apply(slot, 3, flat);
    const along = before.map((z, cell) => z - material.field.height[cell]).slice(38 * grid.columns);
    expect(along.every((change) => change === 0)).toBe(true);
    expect(Math.abs(stock / (40 * 0.1 * 4) - 1)).toBeLessThan(0.1);
  });

  it("slots and holes of a cutter narrower than the cells", () => {
    const thin = cutterFrom(tool("flat", 0.4));
    for (let k = 0; k < 20; k++) {
      const [x, y] = [10 + 0.137 * k, 20 + 0.219 * k];
      const motions = new MotionsBuilder([x, y, 5])
        .feed(x, y, -2)
        .feed(x + 30, y, -2)
        .done();
      const material = new Material(grid, 0, -18.3, undefined, on);
      const hole = material.apply(motions, 1, thin).stock;
      const slot = hole + material.apply(motions, 2, thin).stock;
      expect(hole).toBeGreaterThan(0);
      expect(hole).toBeLessThan(3 * Math.PI * 0.04 * 2);
      expect(Math.abs(slot / (30 * 0.4 * 2) - 1)).toBeLessThan(0.1);
    }
  });
});

describe("material after several motions", () => {
  const motions = new MotionsBuilder([10, 20, 5])
    .feed(10, 20, -3) // 1: plunge
    .feed(50, 20) // 2: slot
    .feed(10, 20) // 3: the same slot back
    .feed(10, 20, -18.3) // 4: to the underside
    .feed(50, 20) // 5
    .feed(50, 20, -19) // 6: into the bed
    .feed(10, 20) // 7
    .done();
  const material = new Material(grid, 0, -18.3);
  const removed = [0];
  for (let i = 1; i < motions.count; i++) removed.push(material.apply(motions, i, flat).stock);

  it("a pass at the same level takes nothing", () => {
    expect(removed[2]).toBeGreaterThan(600);
    expect(removed[3]).toBe(0);
  });

  it("the underside itself counts as through, and what goes deeper is the bed's", () => {
    const cell = cellAt(material, 30, 20);
    expect(material.field.throughBy[cell]).toBe(5);
    expect(material.field.setBy[cell]).toBe(7);
    expect(removed[7]).toBe(0);
    expect(material.field.height[cell]).toBe(Math.fround(-19));
  });

  it("without an underside nothing is the bed's", () => {
    const open = new Material(grid, 0, -Infinity);
    let bed = 0;
    for (let i = 1; i < motions.count; i++) bed += open.apply(motions, i, flat).bed;
    expect(bed).toBe(0);
    expect(open.field.throughBy.every((by) => by === -1)).toBe(true);
  });

  it("earlier programs' cells count as set by -2 and are not changed in the array handed in", () => {
    const start = material.field.height.slice();
    const next = new Material(grid, 0, -18.3, start);
    const cell = cellAt(material, 30, 20);
    expect(next.field.setBy[cell]).toBe(-2);
    expect(next.field.throughBy[cell]).toBe(-2);
    expect(next.field.setBy[0]).toBe(-1);
    for (let i = 1; i < motions.count; i++)
      expect(next.apply(motions, i, flat)).toEqual({ stock: 0, bed: 0 });
    const wide = new MotionsBuilder([5, 5, -1]).feed(5, 30).done();
    next.apply(wide, 1, flat);
    expect(start).toEqual(material.field.height);
  });

  it("a probe without a grid agrees", () => {
    expect(heightAt(motions, () => flat, 0, 30, 20)).toBe(-19);
    expect(heightAt(motions, () => flat, 0, 30, 25)).toBe(0);
    expect(heightAt(motions, () => flat, 0, 30, 22.999)).toBe(-19);
  });

  it("motions off the board, and motions whose end is not known, take nothing", () => {
    const off = new MotionsBuilder([-50, -50, -3])
      .feed(-50, 500)
      .feed(1e9, 20, -3, MotionFlag.endUnknown)
      .feed(NaN, NaN, -3)
      .done();
    const untouched = new Material(grid, 0, -18.3);
    for (let i = 1; i < off.count; i++) expect(untouched.apply(off, i, flat).stock).toBe(0);
    expect(untouched.field.height.every((z) => z === 0)).toBe(true);
  });
});

describe("rapids that meet material", () => {
  const start = new MotionsBuilder([10, 20, 5]).feed(10, 20, -3).feed(50, 20);

  function after(motions: ReturnType<MotionsBuilder["done"]>, cutter: Cutter): Material {
    const material = new Material(grid, 0, -18.3);
    for (let i = 1; i < motions.count - 1; i++) material.apply(motions, i, cutter);
    return material;
  }

  for (const [name, cutter] of [
    ["flat", flat],
    ["ball", ball],
    ["V", cutterFrom(tool("V", 6, { angle: 1 }))],
    ["bull", cutterFrom(tool("bull", 6, { cornerRadius: 1 }))],
  ] as const) {
    it(`${name}: straight up out of the kerf, and back along it, meets nothing`, () => {
      const up = new MotionsBuilder([10, 20, 5])
        .feed(10, 20, -3)
        .feed(50.123, 20.7)
        .rapid(50.123, 20.7, 5)
        .done();
      expect(after(up, cutter).meets(up, 3, cutter, 0.01)).toBeUndefined();
      const back = new MotionsBuilder([10, 20, 5]).feed(10, 20, -3).feed(50.123, 20.7).rapid(10, 20).done();
      expect(after(back, cutter).meets(back, 3, cutter, 0.01)).toBeUndefined();
    });
  }

  it("sideways out of the kerf meets the full depth, and the field stays as it was", () => {
    const motions = start.rapid(50, 30).done();
    const material = after(motions, flat);
    const before = material.field.height.slice();
    const hit = material.meets(motions, 3, flat, 0.01)!;
    expect(hit.depth).toBe(3);
    expect(hit.at[2]).toBe(-3);
    // Outside the kerf, which ends around (50, 20).
    expect(Math.hypot(hit.at[0] - 50, hit.at[1] - 20)).toBeGreaterThan(2.99);
    expect(material.field.height).toEqual(before);
  });

  it("slanting out, the tail rubs the side it leaves: the depth is the material above the cutter there", () => {
    const motions = new MotionsBuilder([10, 20, 5]).feed(10, 20, -3).rapid(20, 20, 1).done();
    const hit = after(motions, flat).meets(motions, 2, flat, 0.01)!;
    // Just past the hole's rim the cutter's trailing edge is what passes lowest: it starts at -3 there.
    expect(hit.depth).toBeGreaterThan(2.7);
    expect(hit.depth).toBeLessThanOrEqual(3);
  });

  it("less than the tolerance below the top is not told", () => {
    const motions = new MotionsBuilder([10, 20, -0.009]).rapid(50, 20).rapid(50, 30, -0.02).done();
    const material = new Material(grid, 0, -18.3);
    expect(material.meets(motions, 1, flat, 0.01)).toBeUndefined();
    expect(material.meets(motions, 2, flat, 0.01)?.depth).toBeCloseTo(0.02, 6);
  });

  it("rubbing the kerf's side by less than 0.01 mm is not told, by 0.05 mm it is", () => {
    // Cells of 0.005 mm across the upper side of a slot that reaches to y = 23.
    const side = makeGrid({ x0: 20, y0: 22.9, width: 1, depth: 0.2 }, 0.005);
    for (const [away, told] of [
      [0.008, false],
      [0.05, true],
    ] as const) {
      const motions = new MotionsBuilder([10, 20, -3])
        .feed(50, 20)
        .rapid(50, 20 + away)
        .rapid(10, 20 + away)
        .done();
      const material = new Material(side, 0, -18.3);
      material.apply(motions, 1, flat);
      expect(material.meets(motions, 3, flat, 0.01) !== undefined).toBe(told);
    }
  });

  it("above the board meets nothing", () => {
    const motions = new MotionsBuilder([10, 20, 5]).rapid(50, 20, 0).done();
    expect(new Material(grid, 0, -18.3).meets(motions, 1, flat, 0.01)).toBeUndefined();
  });
});

it("cell area used in the volumes is that of the grid", () => {
  const motions = new MotionsBuilder([30, 20, 5]).feed(30, 20, -2).done();
  const material = new Material(grid, 0, -18.3);
  const { stock } = material.apply(motions, 1, flat);
  const cells = material.field.setBy.filter((by) => by === 1).length;
  expect(stock).toBeCloseTo(2 * cells * cellArea, 9);
});

import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { cutterFrom } from "../../server/src/stock/cutter.ts";
import { makeGrid } from "../../server/src/stock/grid.ts";
import { Material } from "../../server/src/stock/material.ts";
import { Playback } from "../../server/src/stock/playback.ts";
import { MotionsBuilder } from "./motions-builder.ts";
import { tool } from "./stock-arbitrary.ts";

const cutters = [cutterFrom(tool("flat", 6)), cutterFrom(tool("ball", 4))];
const cutterOf = (number: number) => cutters[number - 1];

/** A wandering program of two tools that goes over its own traces and below the underside. */
function wander(motionCount: number) {
  const builder = new MotionsBuilder([20, 20, 2]);
  let state = 99;
  const random = () => (state = (state * 16807) % 2147483647) / 2147483647;
  for (let k = 1; k < motionCount; k++) {
    if (k === motionCount >> 1) builder.useTool(2);
    builder.feed(40 * random(), 30 * random(), 3 - 9 * random());
  }
  return builder.done();
}

describe("playback", () => {
  for (const [name, cell] of [
    ["many keyframes", 1],
    ["few keyframes", 0.025],
  ] as const) {
    it(`shows the same material in any order as carving afresh: ${name}`, () => {
      const motions = wander(cell < 1 ? 14 : 300);
      const grid = makeGrid({ x0: 0, y0: 0, width: 40, depth: 30 }, cell);
      const start = new Float32Array(grid.columns * grid.rows).fill(0);
      start.fill(-1, 0, grid.columns * 3);
      start.fill(-7, grid.columns * 3, grid.columns * 4);
      const playback = new Playback(motions, cutterOf, grid, 0, -4, start);
      fc.assert(
        fc.property(
          fc.array(fc.integer({ min: -2, max: motions.count + 2 }), { minLength: 1, maxLength: 5 }),
          (stops) => {
            for (const stop of stops) {
              const shown = playback.seek(stop);
              const fresh = new Material(grid, 0, -4, start);
              const end = Math.min(Math.max(stop, 0), motions.count);
              for (let i = 0; i < end; i++) fresh.apply(motions, i, cutterOf(motions.tool[i]));
              expect(playback.motionCount).toBe(end);
              expect(Buffer.compare(bytes(shown.height), bytes(fresh.field.height))).toBe(0);
              expect(Buffer.compare(bytes(shown.setBy), bytes(fresh.field.setBy))).toBe(0);
              expect(Buffer.compare(bytes(shown.throughBy), bytes(fresh.field.throughBy))).toBe(0);
            }
          },
        ),
        { numRuns: cell < 1 ? 4 : 60, seed: 11 },
      );
    });
  }
});

function bytes(array: Float32Array | Int32Array): Buffer {
  return Buffer.from(array.buffer, array.byteOffset, array.byteLength);
}

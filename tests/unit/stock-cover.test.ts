import { describe, expect, it } from "vitest";
import { coveredByEarlier } from "../../server/src/stock/cover.ts";
import { cutterFrom } from "../../server/src/stock/cutter.ts";
import { MotionsBuilder } from "./motions-builder.ts";
import { tool } from "./stock-arbitrary.ts";

const flat = cutterFrom(tool("flat", 6));
const ball = cutterFrom(tool("ball", 6));
const shapes = [
  ["flat", flat],
  ["ball", ball],
  ["V", cutterFrom(tool("V", 6, { angle: 1 }))],
  ["bull", cutterFrom(tool("bull", 6, { cornerRadius: 1 }))],
] as const;

/** A rounded rectangle at a level, `out` mm outside its nominal size, from the middle of its lower edge. */
function outline(builder: MotionsBuilder, z: number, out: number, clockwise = false): MotionsBuilder {
  const [x0, y0, x1, y1, r] = [20 - out, 20 - out, 80 + out, 60 + out, 5 + out];
  builder.rapid(50, y0, 5).feed(50, y0, z);
  const quarter = Math.PI / 2;
  if (clockwise) {
    return builder
      .feed(x0 + r, y0)
      .arc([x0, y0 + r, z], [x0 + r, y0 + r], -quarter)
      .feed(x0, y1 - r)
      .arc([x0 + r, y1, z], [x0 + r, y1 - r], -quarter)
      .feed(x1 - r, y1)
      .arc([x1, y1 - r, z], [x1 - r, y1 - r], -quarter)
      .feed(x1, y0 + r)
      .arc([x1 - r, y0, z], [x1 - r, y0 + r], -quarter)
      .feed(50, y0);
  }
  return builder
    .feed(x1 - r, y0)
    .arc([x1, y0 + r, z], [x1 - r, y0 + r], quarter)
    .feed(x1, y1 - r)
    .arc([x1 - r, y1, z], [x1 - r, y1 - r], quarter)
    .feed(x0 + r, y1)
    .arc([x0, y1 - r, z], [x0 + r, y1 - r], quarter)
    .feed(x0, y0 + r)
    .arc([x0 + r, y0, z], [x0 + r, y0 + r], quarter)
    .feed(50, y0);
}

describe("a pass that takes nothing", () => {
  for (const [name, cutter] of shapes) {
    it(`${name}: the same outline again, in either direction`, () => {
      for (const clockwise of [false, true]) {
        const builder = outline(new MotionsBuilder(), -3, 0);
        const first = builder.count;
        const motions = outline(builder, -3, 0, clockwise).done();
        expect(coveredByEarlier(motions, () => cutter, first, motions.count)).toBe(true);
      }
    });
    it(`${name}: 0.02 mm deeper, wider or narrower takes something`, () => {
      for (const [z, out] of [
        [-3.02, 0],
        [-3, 0.02],
        [-3, -0.02],
      ]) {
        const builder = outline(new MotionsBuilder(), -3, 0);
        const first = builder.count;
        const motions = outline(builder, z, out).done();
        expect(coveredByEarlier(motions, () => cutter, first, motions.count)).toBe(false);
      }
    });
  }

  it("a shallower pass over a deeper one, and a narrower slot inside a pocket, take nothing", () => {
    const builder = new MotionsBuilder([0, 0, -4]);
    for (let y = 0; y <= 20; y += 4) builder.feed(0, y).feed(40, y).feed(0, y);
    const first = builder.count;
    const motions = builder.rapid(5, 7, 5).feed(5, 7, -4).feed(35, 13).feed(20, 2, -2).done();
    expect(coveredByEarlier(motions, () => flat, first, motions.count)).toBe(true);
  });

  it("a ridge of 0.02 mm between two slots is something", () => {
    const builder = new MotionsBuilder([0, 0, -4]).feed(40, 0).rapid(40, 6.02).feed(0, 6.02);
    const first = builder.count;
    const motions = builder.feed(0, 3.01).feed(40, 3.01).done();
    expect(coveredByEarlier(motions, () => cutterFrom(tool("flat", 6)), first, motions.count)).toBe(false);
  });

  it("air above the top or beside the board is nothing, where these are known", () => {
    const motions = new MotionsBuilder([10, 10, 0]).feed(40, 10).feed(40, 10, -3).done();
    expect(coveredByEarlier(motions, () => flat, 1, 2)).toBe(false);
    expect(coveredByEarlier(motions, () => flat, 1, 2, { top: 0 })).toBe(true);
    expect(coveredByEarlier(motions, () => flat, 1, 3, { top: 0 })).toBe(false);
    expect(coveredByEarlier(motions, () => flat, 1, 3, { top: 0, footprint: [50, 0, 90, 90] })).toBe(true);
  });

  it("what an earlier program left counts, where it is known", () => {
    const motions = new MotionsBuilder([10, 10, -3]).feed(40, 10).done();
    expect(coveredByEarlier(motions, () => flat, 1, 2, { startAt: () => -3 })).toBe(true);
    expect(coveredByEarlier(motions, () => flat, 1, 2, { startAt: () => -2.9 })).toBe(false);
  });
});

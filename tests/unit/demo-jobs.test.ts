// The demo programs hold what the documentation and other tests rely on.
import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { MotionKind } from "../../server/src/machine/motions.ts";
import { demoPrograms } from "../jobs/make-demo-jobs.mjs";
import { problemsOf, toolpathOf } from "../support/engine.ts";

const textOf = (name: string) => readFileSync(new URL(`../jobs/${name}`, import.meta.url), "utf8");
const rounded = (values: Iterable<number>) =>
  [...new Set([...values].map((value) => Math.round(value * 1e6) / 1e6))].sort((a, b) => b - a);

/** Where the cutting motions of a program end, mm. */
function cutting(text: string) {
  const { motions } = toolpathOf(text);
  const found = Array.from({ length: motions.count }, (_, i) => i).filter(
    (i) => motions.kind[i] === MotionKind.feed || motions.kind[i] === MotionKind.arc,
  );
  const ends = (column: Float64Array) => found.map((i) => column[i + 1]);
  return {
    x: ends(motions.x),
    y: ends(motions.y),
    z: ends(motions.z),
    feed: rounded(found.map((i) => motions.feed[i])),
    tool: rounded(found.map((i) => motions.tool[i])),
    spindle: rounded(found.map((i) => motions.spindle[i])),
  };
}

it.each(Object.keys(demoPrograms))("%s is read without a problem", (name) => {
  expect(problemsOf(textOf(name))).toEqual([]);
});

describe("the seed board", () => {
  it("inside: a rebate 6 mm deep and twenty holes to exactly -18 mm, in steps of 3 mm", () => {
    const { x, y, z, tool, spindle } = cutting(textOf("seed-board/seed-board-inside.nc"));
    expect(Math.min(...z)).toBe(-18);
    const deepest = z.flatMap((depth, i) => (depth === -18 ? [i] : []));
    const columns = [40, 95, 150, 205, 260];
    const rows = [45, 85, 125, 165];
    // The circular ones end 3 mm beside their centre.
    const nearest = (centres: number[], at: number) => centres.find((centre) => Math.abs(centre - at) <= 3);
    const places = new Set(deepest.map((i) => `${nearest(columns, x[i])} ${nearest(rows, y[i])}`));
    expect([...places].sort()).toEqual(columns.flatMap((a) => rows.map((b) => `${a} ${b}`)).sort());
    expect(rounded(z.filter((_, i) => y[i] < 20))).toEqual([-3, -6]);
    expect([tool, spindle]).toEqual([[1], [18000]]);
  });

  it("outline: six levels, the cutter's centre 3 mm outside 300 x 200 mm", () => {
    const { x, y, z, feed } = cutting(textOf("seed-board/seed-board-outline.nc"));
    expect(rounded(z)).toEqual([-3, -6, -9, -12, -15, -18]);
    expect([Math.min(...x), Math.max(...x), Math.min(...y), Math.max(...y)]).toEqual([-3, 303, -3, 203]);
    expect(feed).toEqual([1200, 600, 300]);
  });
});

describe("the label rack", () => {
  it("is in inches, has three cutters and declares nothing", () => {
    const text = textOf("label-rack/label-rack.nc");
    const { z, tool } = cutting(text);
    expect(tool).toEqual([3, 2, 1]);
    // 0.04 in engraved, slots of 0.125 and 0.25 in, a groove from 0.02 to 0.12 in; 1 in is 25.4 mm.
    expect(rounded(z)).toEqual(rounded([0.02, 0.04, 0.12, 0.125, 0.25].map((inches) => -inches * 25.4)));
    expect(text).not.toMatch(/cutwright/i);
  });
});

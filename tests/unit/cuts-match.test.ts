/** Which passes make one cut. */
import { describe, expect, it } from "vitest";
import { cutting, rectangle, told } from "../support/cuts.ts";

const slot = (x0: number, x1: number, y: number, z: number) => [
  `G0 X${x0} Y${y}`,
  `G1 Z${z} F300`,
  `G1 X${x1} F1200`,
  "G0 Z5",
];
const ring = (z: number, ...way: string[]) => [
  `G0 X0 Y0`,
  `G1 Z${z} F300`,
  ...(way.length ? way : rectangle(0, 0, 80, 50)),
  "G0 Z5",
];

describe("passes join into a cut", () => {
  it("level by level, with other cuts between them", () => {
    const levels = [-3, -6, -9].flatMap((z) => [10, 20, 30].flatMap((y) => slot(0, 50, y, z)));
    const result = cutting(...levels);
    expect(told(result)).toEqual(["slot -3 -6 -9", "slot -3 -6 -9", "slot -3 -6 -9"]);
    expect(result.tree.cuts[1].passes).toEqual([1, 4, 7]);
  });

  it("in alternating directions", () => {
    expect(told(cutting(...slot(0, 50, 0, -3), ...slot(50, 0, 0, -6), ...slot(0, 50, 0, -9)))).toEqual([
      "slot -3 -6 -9",
    ]);
    expect(told(cutting(...ring(-3), ...ring(-6, ...rectangle(0, 0, 80, 50, true))))).toEqual([
      "outline -3 -6",
    ]);
  });

  it("of a ring begun at another place", () => {
    const other = ["G0 X40 Y0", "G1 Z-6 F300", "G1 X80", "G1 Y50", "G1 X0", "G1 Y0", "G1 X40"];
    expect(told(cutting(...ring(-3), ...other))).toEqual(["outline -3 -6"]);
  });

  it("of a circle written once with arcs and once with chords", () => {
    const chords = Array.from({ length: 90 }, (_, k) => {
      const angle = (2 * Math.PI * (k + 1)) / 90;
      return `G1 X${(20 * Math.cos(angle)).toFixed(3)} Y${(20 * Math.sin(angle)).toFixed(3)}`;
    });
    const result = cutting("G0 X20 Y0", "G1 Z-3 F300", "G2 X20 Y0 I-20 J0", "G1 Z-6", ...chords);
    expect(told(result)).toEqual(["outline -3 -6"]);
  });

  it("with a way in of another form", () => {
    const leadIn = ["G0 X-4 Y0", "G1 Z-3 F300", "G1 X0", ...rectangle(0, 0, 80, 50), "G0 Z5"];
    const ramp = ["G0 X0 Y0 Z0", "G1 X40 Z-6 F600", "G1 X0", ...rectangle(0, 0, 80, 50), "G0 Z5"];
    expect(told(cutting(...leadIn, ...ramp, ...ring(-9)))).toEqual(["outline -3 -6 -9"]);
  });

  it("when the last one has tabs", () => {
    const tabbed = ["G1 X30", "G1 Z-14", "G1 X40", "G1 Z-18", "G1 X80", "G1 Y50", "G1 X0", "G1 Y0"];
    expect(told(cutting(...ring(-9), ...ring(-18, ...tabbed)))).toEqual(["outline -9 -18"]);
  });

  it("when the tool was lifted over the tabs of the last level", () => {
    const pieces = [
      ...slot(0, 30, 0, -18),
      ...["G0 X40 Y0", "G1 Z-18 F300", "G1 X80", "G1 Y50", "G1 X60", "G0 Z5"],
      ...["G0 X50 Y50", "G1 Z-18 F300", "G1 X0", "G1 Y0", "G0 Z5"],
    ];
    expect(told(cutting(...ring(-9), ...pieces))).toEqual(["outline -9 -18 -18 -18"]);
  });

  it("of a spring pass at the same depth", () => {
    const result = cutting(...ring(-6), ...ring(-6));
    expect(told(result)).toEqual(["outline -6 -6"]);
    expect(result.tree.cuts[0].deepestPass).toBe(1);
  });

  it("of rounds in one contact, each a pass", () => {
    const round = rectangle(0, 0, 80, 50);
    const result = cutting(
      "G0 X-5 Y0",
      "G1 Z-6 F300",
      "G1 X0",
      ...round,
      ...round,
      ...round,
      "G1 X5",
      "G0 Z5",
    );
    expect(told(result)).toEqual(["outline -6 -6 -6"]);
    expect(told(cutting("G0 X0 Y0", "G1 Z-6 F300", ...round, ...round, ...round, "G1 X5", "G0 Z5"))).toEqual([
      "outline -6 -6 -6",
    ]);
    const circle = "G3 X5 Y0 I-5 J0";
    expect(told(cutting("G0 X5 Y0", "G1 Z-3 F300", circle, "G1 Z-6", circle, circle))).toEqual([
      "round hole -3 -6 -6",
    ]);
  });

  it("of a pocket cleared in rows with a retract after each, level by level", () => {
    const rows = (z: number) => [0, 2.5, 5, 7.5].flatMap((y) => slot(0, 60, y, z));
    expect(told(cutting(...rows(-3), ...rows(-6)))).toEqual(["pocket -3 -3 -3 -3 -6 -6 -6 -6"]);
    const disc = [-9, -6, -3, 0, 3, 6, 9].flatMap((y) => {
      const half = Math.sqrt(144 - y * y);
      return slot(Number(-half.toFixed(3)), Number(half.toFixed(3)), y, -3);
    });
    expect(told(cutting(...disc))).toEqual(["pocket -3 -3 -3 -3 -3 -3 -3"]);
    expect(told(cutting(...slot(0, 60, 0, -3), ...slot(0, 60, 2, -3)))).toEqual(["slot -3 -3"]);
  });

  it("of a carved surface in rows with a retract after each", () => {
    const row = (y: number) => [
      `G0 X0 Y${y}`,
      "G1 Z-1 F300",
      ...Array.from(
        { length: 30 },
        (_, k) => `G1 X${k + 1} Z${(-3 - 2 * Math.sin(k / 5 + y / 3)).toFixed(3)}`,
      ),
      "G0 Z5",
    ];
    const result = cutting(...[0, 0.5, 1, 1.5, 2].flatMap(row));
    expect(result.tree.cuts.map((cut) => [cut.kind, cut.passes.length])).toEqual([["pocket", 5]]);
  });

  it("of a hole pecked by rapids", () => {
    expect(told(cutting("G0 X9 Y9", "G1 Z-4 F200", "G0 Z1", "G0 Z-3", "G1 Z-8", "G0 Z5"))).toEqual([
      "drilled hole -4 -8",
    ]);
  });
});

describe("passes stay apart", () => {
  it("side by side", () => {
    expect(told(cutting(...slot(0, 200, 10, -3), ...slot(0, 200, 16.2, -3)))).toEqual(["slot -3", "slot -3"]);
  });

  it("in two tools", () => {
    expect(told(cutting(...ring(-6), "T2 M6", "G0 Z5", ...ring(-9)))).toEqual(["outline -6", "outline -9"]);
  });

  it("where an allowance for finishing lies between them", () => {
    const finish = ["G0 X0.2 Y0.2", "G1 Z-6 F300", ...rectangle(0.2, 0.2, 79.8, 49.8), "G0 Z5"];
    expect(told(cutting(...ring(-6), ...finish))).toEqual(["outline -6", "outline -6"]);
  });

  it("with equal extents and other paths", () => {
    const diagonal = ["G0 X0 Y0", "G1 Z-6 F300", "G1 X80 Y50", "G0 Z5"];
    expect(told(cutting(...ring(-3), ...diagonal))).toEqual(["outline -3", "slot -6"]);
  });

  it("under two headings", () => {
    expect(
      told(cutting("(Groove)", ...slot(0, 50, 0, -3), "(Groove for the label)", ...slot(0, 50, 0, -6))),
    ).toEqual(["slot -3", "slot -6"]);
  });
});

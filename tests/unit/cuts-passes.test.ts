/** Passes: where they begin and end, how deep and long they are. */
import { describe, expect, it } from "vitest";
import { cutting, group, head, rectangle, short, tail, told } from "../support/cuts.ts";

const square = rectangle(0, 0, 40, 40);

describe("passes", () => {
  it("end at a retract by rapid", () => {
    const result = cutting(
      "G0 X0 Y0",
      "G1 Z-3 F300",
      "G1 X50 F1200",
      "G0 Z5",
      "G0 X0",
      "G1 Z-6 F300",
      "G1 X50 F1200",
    );
    expect(told(result)).toEqual(["slot -3 -6"]);
    const [first, second] = result.tree.passes;
    expect(first.length).toBeCloseTo(5 + 3 + 50, 9);
    expect(first.extent).toEqual([0, 0, 50, 0]);
    expect(second.first).toBeGreaterThan(first.end);
  });

  it("count seconds at the programmed feed, dwells included, and do not break at a dwell", () => {
    const result = cutting("G0 X0 Y0 Z0", "G1 Z-3 F300", "G4 P2", "G1 X50 F1200");
    expect(result.tree.passes).toHaveLength(1);
    // 3 mm at 300 mm/min, 2 s, 50 mm at 1200 mm/min.
    expect(result.tree.passes[0].seconds).toBeCloseTo(0.6 + 2 + 2.5, 9);
  });

  it("end at a retract by feed to the top, and the air after it belongs to none", () => {
    const result = cutting("G0 X0 Y0", "G1 Z-3 F300", "G1 X50", "G1 Z0", "G1 X60", "G1 Z-3", "G1 X90");
    expect(told(result)).toEqual(["slot -3", "slot -3"]);
    const { passOfMotion } = result.tree;
    const inAir = [...passOfMotion].filter((pass, i) => pass < 0 && result.toolpath.motions.kind[i] === 1);
    expect(inAir).toHaveLength(1);
  });

  it("begin anew where a plunge reaches a lower level in one contact", () => {
    const result = cutting(
      "G0 X0 Y0",
      "G1 Z-3 F300",
      ...square,
      "G1 Z-6 F300",
      ...square,
      "G1 Z-9 F300",
      ...square,
    );
    expect(told(result)).toEqual(["outline -3 -6 -9"]);
    // The plunge leads into its level.
    const { motions } = result.toolpath;
    for (const pass of result.tree.passes) expect(motions.z[pass.first + 1]).toBeCloseTo(pass.bottom, 9);
  });

  it("begin anew where a ramp reaches a lower level, and the ramp belongs to the level it leads to", () => {
    const ramped = (z: number) => [`G1 X20 Z${z} F600`, "G1 X40", "G1 Y40", "G1 X0", "G1 Y0", "G1 X20"];
    const second = ["G1 X40 Z-6", "G1 Y40", "G1 X0", "G1 Y0", "G1 X40"];
    const result = cutting("G0 X0 Y0 Z0", ...ramped(-3), ...second);
    expect(told(result)).toEqual(["outline -3 -6"]);
    expect(result.toolpath.motions.line[result.tree.passes[1].first]).toBe(5 + 1 + 6);
  });

  it("take a plunge in two steps as one", () => {
    expect(told(cutting("G0 X0 Y0", "G1 Z-1 F300", "G1 Z-3", "G1 X50"))).toEqual(["slot -3"]);
  });

  it("take a ramp to and fro as one way down", () => {
    const result = cutting("G0 X0 Y0 Z0", "G1 X30 Z-1 F600", "G1 X0 Z-2", "G1 X30 Z-3", "G1 X0", "G1 X30");
    expect(told(result)).toEqual(["slot -3"]);
  });

  it("make one pass of a helix and the round at its bottom, with the exact depth", () => {
    const turns = Array.from({ length: 9 }, (_, k) => `G3 X10 Y0 I-4 J0 Z${-2 * (k + 1)}`);
    const result = cutting("G0 X10 Y0 Z0", "F600", ...turns, "G3 X10 Y0 I-4 J0");
    expect(told(result)).toEqual(["round hole -18"]);
    expect(result.tree.passes[0].bottom).toBe(-18);
  });

  it("make one pass of a carved surface that goes up and down", () => {
    const wave = Array.from(
      { length: 60 },
      (_, k) => `G1 X${k + 1} Z${(-3 - 2 * Math.sin(k / 4) - k / 100).toFixed(3)}`,
    );
    expect(cutting("G0 X0 Y0", "G1 Z-3 F300", ...wave).tree.passes).toHaveLength(1);
  });

  it("are one for each peck, of one drilled hole", () => {
    const result = cutting("G0 X20 Y20", "G98 G83 X20 Y20 Z-18.5 R1 Q5 F200", "X40", "G80");
    expect(told(result)).toEqual(["drilled hole -4 -9 -14 -18.5", "drilled hole -4 -9 -14 -18.5"]);
  });

  it("keep pecks by feed to the same place together", () => {
    const result = cutting("G0 X5 Y5", "G1 Z-6 F200", "G1 Z-5", "G1 Z-12", "G1 Z-11", "G1 Z-19");
    expect(told(result)).toEqual(["drilled hole -19"]);
  });

  it("find the lowest point of an upright arc", () => {
    const result = cutting("G0 X0 Y0 Z0", "G18 G2 X20 Z0 I10 K0 F600", "G17");
    expect(result.tree.passes).toHaveLength(1);
    expect(short(result.tree.passes[0].bottom)).toBe("-10");
  });

  it("end at a tool change", () => {
    const result = cutting("G0 X0 Y0", "G1 Z-3 F300", "G1 X50", "T2 M6", "G1 X90");
    expect(result.tree.cuts.map((cut) => cut.tool)).toEqual([1, 2]);
  });

  it("are none above the top and none of rapids alone", () => {
    expect(cutting("G0 X0 Y0", "G1 Z0 F300", "G1 X50", "G0 Z-1", "G0 Z5").tree.passes).toEqual([]);
    expect(group("").tree).toMatchObject({ operations: [], cuts: [], passes: [] });
  });
});

describe("passes of a program whose top is not known (zero on the bed, no thickness)", () => {
  const onBed = "(cutwright: zero bed; tool 1 flat 6 mm)\nG21 G90\nT1 M6\nG0 Z25\nG0 X0 Y0\n";

  it("end at a feed straight up, which is no cutting", () => {
    const result = group(`${onBed}G1 Z6 F300\nG1 X50\nG1 Z25\nG0 X0\nG1 Z0 F300\nG1 X50\nG1 Z25${tail}`);
    expect(told(result)).toEqual(["slot 6 0"]);
    for (const pass of result.tree.passes) {
      expect(result.toolpath.motions.z[pass.end]).toBeCloseTo(pass.bottom, 9);
    }
  });

  it("keep a tab by steps inside", () => {
    const result = group(`${onBed}G1 Z0 F300\nG1 X50\nG1 Z4\nG1 X60\nG1 Z0\nG1 X100\nG1 Z25${tail}`);
    expect(told(result)).toEqual(["slot 0"]);
    expect(result.tree.passes[0].tabs).toHaveLength(1);
  });

  it("leave out air at the height that rapids travel at", () => {
    const result = group(`${onBed}G1 X50 F900\nG1 Z6\nG1 X90${tail}`);
    expect(result.tree.passes).toHaveLength(1);
    expect(result.tree.passes[0].extent).toEqual([50, 0, 90, 0]);
  });
});

it("leaves motions that end at an unknown place out of every pass", () => {
  const result = group(`${head}G28\nG1 Z-3 F300\nG1 X50 Y0\nG1 X60${tail}`);
  const { flags } = result.toolpath.motions;
  [...result.tree.passOfMotion].forEach((pass, i) => {
    if (flags[i] & 2) expect(pass).toBe(-1);
  });
  expect(result.tree.passes).toHaveLength(1);
});

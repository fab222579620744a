/** What a cut is called. The tool is a flat cutter of 6 mm. */
import { describe, expect, it } from "vitest";
import { cutting, group, rectangle, tail, told } from "../support/cuts.ts";
import { grooveWidth } from "../../server/src/cuts/width.ts";
import type { Tool } from "../../server/src/job/facts.ts";

const at = (x: number, y: number, z: number, ...way: string[]) => [
  `G0 X${x} Y${y}`,
  `G1 Z${z} F300`,
  ...way,
  "G0 Z5",
];
const circle = (r: number, z: number) => at(r, 0, z, `G3 X${r} Y0 I${-r} J0 F900`);
const kinds = (...lines: string[]) => told(cutting(...lines)).map((text) => text.replace(/ -.*/, ""));

/** Rows 10 to 10 + width, stepped over by `step`. */
function rows(length: number, width: number, step: number): string[] {
  const way: string[] = [];
  for (let y = 0, right = true; y <= width; y += step, right = !right) {
    way.push(`G1 Y${y}`, `G1 X${right ? length : 0}`);
  }
  return way;
}

describe("kind", () => {
  it("drilled hole: no movement in the plane", () => {
    expect(kinds("G0 X1 Y1", "G81 X1 Y1 Z-5 R1 F200", "G80")).toEqual(["drilled hole"]);
  });

  it("round hole: a circle with little left inside", () => {
    // Core left inside: 2 x 3 - 6 = 0 mm and 2 x 11.9 - 6 = 17.8 mm, under three diameters.
    expect(kinds(...circle(3, -5), ...circle(11.9, -5))).toEqual(["round hole", "round hole"]);
  });

  it("round hole in two half circles, from the centre and back to it", () => {
    const way = ["G1 X5 F900", "G3 X-5 Y0 I-5 J0", "G3 X5 Y0 I5 J0", "G1 X0"];
    expect(kinds(...at(0, 0, -5, ...way))).toEqual(["round hole"]);
  });

  it("round hole with arcs as way in and out", () => {
    const way = ["G3 X5 Y0 I2.5 J0 F900", "G3 X5 Y0 I-5 J0", "G3 X0 Y0 I-2.5 J0"];
    expect(kinds(...at(0, 0, -5, ...way))).toEqual(["round hole"]);
  });

  it("round hole of chords, but not a square or a hexagon", () => {
    const polygon = (sides: number) =>
      at(
        8,
        0,
        -5,
        ...Array.from({ length: sides }, (_, k) => {
          const angle = (2 * Math.PI * (k + 1)) / sides;
          return `G1 X${(8 * Math.cos(angle)).toFixed(4)} Y${(8 * Math.sin(angle)).toFixed(4)}`;
        }),
      );
    expect(kinds(...polygon(24))).toEqual(["round hole"]);
    expect(kinds(...polygon(9))).toEqual(["round hole"]);
    expect(kinds(...polygon(6))).toEqual(["outline"]);
    expect(kinds(...polygon(4))).toEqual(["outline"]);
  });

  it("outline: a larger circle, a rectangle, a ring with way in and out", () => {
    expect(kinds(...circle(12.1, -5))).toEqual(["outline"]);
    expect(kinds(...at(0, 0, -5, ...rectangle(0, 0, 60, 40)))).toEqual(["outline"]);
    const led = ["G1 X0 F900", ...rectangle(0, 0, 60, 40), "G1 X5", "G1 Y-5"];
    expect(kinds(...at(-5, 0, -5, ...led))).toEqual(["outline"]);
  });

  it("outline: an end that runs past its beginning, without a common corner", () => {
    expect(kinds(...at(30, 0, -5, "G1 X60", "G1 Y40", "G1 X0", "G1 Y0", "G1 X36"))).toEqual(["outline"]);
  });

  it("outline: a ring cut twice in one contact, and one spiralled down", () => {
    expect(kinds(...at(0, 0, -5, ...rectangle(0, 0, 60, 40), ...rectangle(0, 0, 60, 40)))).toEqual([
      "outline",
    ]);
    const spiral = Array.from({ length: 12 }, (_, k) => {
      const [x, y] = [
        [60, 0],
        [60, 40],
        [0, 40],
        [0, 0],
      ][k % 4];
      return `G1 X${x} Y${y} Z${-(k + 1)}`;
    });
    expect(kinds("G0 X0 Y0 Z0", "F900", ...spiral)).toEqual(["outline"]);
  });

  it("slot: an open path, also around a corner and to and fro", () => {
    expect(kinds(...at(0, 0, -5, "G1 X50"))).toEqual(["slot"]);
    expect(kinds(...at(0, 0, -5, "G1 X50", "G1 Y50", "G3 X30 Y70 I-20 J0"))).toEqual(["slot"]);
    expect(kinds(...at(0, 0, -5, "G1 X50", "G1 X0", "G1 X50"))).toEqual(["slot"]);
    expect(kinds(...at(0, 0, -5, "G1 X4"))).toEqual(["slot"]);
  });

  it("slot: a slim ring that leaves no core", () => {
    expect(kinds(...at(0, 0, -5, ...rectangle(0, 0, 50, 4)))).toEqual(["slot"]);
  });

  it("pocket: rows, rings, a spiral", () => {
    expect(kinds(...at(0, 0, -5, ...rows(60, 40, 2.5)))).toEqual(["pocket"]);
    expect(kinds(...at(0, 0, -5, ...rows(60, 40, 5.5)))).toEqual(["pocket"]);
    expect(kinds(...at(0, 0, -5, ...rows(10, 60, 2.4)))).toEqual(["pocket"]);
    const rings = [4, 8, 12, 16].flatMap((d) => [`G1 X${-d} Y${-d}`, ...rectangle(-d, -d, d, d)]);
    expect(kinds(...at(0, 0, -5, ...rings))).toEqual(["pocket"]);
    const circles = [3, 6, 9, 12].flatMap((r) => [`G1 X${r} Y0`, `G3 X${r} Y0 I${-r} J0`]);
    expect(kinds(...at(0, 0, -5, ...circles))).toEqual(["pocket"]);
  });

  it("pocket, then a finishing pass along its wall", () => {
    const finish = at(-1, -1, -10, ...rectangle(-1, -1, 61, 41));
    expect(
      told(cutting(...at(0, 0, -5, ...rows(60, 40, 2.5)), ...at(0, 0, -10, ...rows(60, 40, 2.5)), ...finish)),
    ).toEqual(["pocket -5 -10", "outline -10"]);
  });

  it("pocket levels in one contact", () => {
    const result = cutting(
      ...at(0, 0, -5, ...rows(60, 20, 2.5), "G1 X0 Y0", "G1 Z-10", ...rows(60, 20, 2.5)),
    );
    expect(told(result)).toEqual(["pocket -5 -10"]);
  });
});

describe("a pointed cutter is judged by the groove it leaves", () => {
  const engraved = (tool: string) =>
    told(
      group(
        `(cutwright: thickness 18 mm; tool 1 ${tool})\nG21 G90\nT1 M6\nG0 Z5\n` +
          [0, 3, 6, 9].flatMap((y) => [`G0 X0 Y${y}`, "G1 Z-0.5 F300", "G1 X20", "G0 Z5"]).join("\n") +
          tail,
      ),
    );

  it("so that strokes of letters stay strokes", () => {
    expect(engraved("V 60 deg 12 mm")).toEqual(["slot -0.5", "slot -0.5", "slot -0.5", "slot -0.5"]);
    expect(engraved("flat 6 mm")).toEqual(["pocket -0.5 -0.5 -0.5 -0.5"]);
  });

  it("whose width follows from its form", () => {
    const tool = (shape: Tool["shape"], more: Partial<Tool> = {}): Tool => ({
      number: 1,
      shape,
      diameter: 10,
      source: { kind: "default" },
      ...more,
    });
    // Closed forms: a cone of 90 degrees is twice as wide as deep; a circle's chord at depth d is 2 sqrt(d (2r - d)).
    expect(grooveWidth(tool("V", { angle: Math.PI / 2 }), 2)).toBeCloseTo(4, 12);
    expect(grooveWidth(tool("V", { angle: Math.PI / 2, tipDiameter: 1 }), 2)).toBeCloseTo(5, 12);
    expect(grooveWidth(tool("V", { angle: Math.PI / 2 }), 7)).toBe(10);
    expect(grooveWidth(tool("V"), 2)).toBe(10);
    expect(grooveWidth(tool("drill", { angle: Math.PI / 2 }), Infinity)).toBe(10);
    expect(grooveWidth(tool("ball"), 2)).toBeCloseTo(8, 12);
    expect(grooveWidth(tool("ball"), 6)).toBe(10);
    expect(grooveWidth(tool("bull", { cornerRadius: 2 }), 2)).toBe(10);
    expect(grooveWidth(tool("bull", { cornerRadius: 5 }), 2)).toBeCloseTo(8, 12);
    expect(grooveWidth(tool("flat"), 0)).toBe(10);
  });
});

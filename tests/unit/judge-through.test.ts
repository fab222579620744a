/** Cuts that reach the underside somewhere but not everywhere, and those that other cuts finish. */
import { describe, expect, it } from "vitest";
import { reviewText } from "../support/review.ts";

const head =
  "(cutwright: thickness 18 mm; size 200 x 120 mm; corner -60 mm, -60 mm; tool 1 flat 6 mm; tool 2 flat 3 mm)\nG21 G90 G17\nT1 M6\nS18000 M3\nG0 Z5\n";
const tail = "\nG0 Z5\nM5\nM30";
const short = (program: string) =>
  reviewText(head + program + tail).findings.filter((finding) => finding.rule === "through-cut-short");

describe("only part of the path reaches the underside", () => {
  const helix = "G0 X20 Y0\nG1 Z0 F300\nG3 I-20 Z-18.4 P18 F1200";

  it("a helix without a last level round leaves a ramp of skin", () => {
    const [finding] = short(helix);
    expect(finding.message).toContain("only part of its path");
    // The last turn falls from -17.378 to -18.4; the flat cutter's leading edge takes a little more at its start.
    expect(finding.values?.left).toBeGreaterThan(0.55);
    expect(finding.values?.left).toBeLessThan(0.623);
  });

  it("with one it leaves none", () => {
    expect(short(`${helix}\nG3 I-20`)).toEqual([]);
  });

  it("a slot that climbs at its end, or falls from its start, leaves a wedge", () => {
    const [climb] = short("G0 X0 Y0\nG1 Z-19 F300\nG1 X50 F1200\nG1 X100 Z-17.5\nG1 X101 Z-17.5");
    // At X101 the ramp, 0.03 a mm, has passed 3 mm behind: -17.5 - 2 mm x 0.03. The last sample lies just before.
    expect(climb.values?.left).toBeGreaterThan(0.41);
    expect(climb.values?.left).toBeLessThan(0.4401);
    // Falling by 0.02 a mm, the flat cutter's leading edge is 3 mm x 0.02 lower than its axis: 0.8 - 0.06.
    const [fall] = short("G0 X0 Y0\nG1 Z-17.2 F300\nG1 X90 Z-19 F1200");
    expect(fall.values?.left).toBeCloseTo(0.74, 2);
  });

  it("a ramp that leads in beside the path is meant to stay above", () => {
    expect(short("G0 X-40 Y0\nG1 Z0 F300\nG1 X0 Y0 Z-19 F600\nG1 X100 F1200")).toEqual([]);
  });

  it("tabs do not make a cut short", () => {
    expect(short("G0 X0 Y0\nG1 Z-19 F300\nG1 X40 F1200\nG1 Z-15\nG1 X60\nG1 Z-19\nG1 X100")).toEqual([]);
  });
});

describe("another cut finishes the job", () => {
  it("a deeper cut with another cutter along the same line clears the finding", () => {
    const shallow = "G0 X0 Y0\nG1 Z-17.5 F300\nG1 X60 F1200\nG0 Z5";
    expect(short(shallow)).toHaveLength(1);
    const deeper = "\nT2 M6\nM3\nG0 X-1 Y0\nG1 Z-19 F300\nG1 X61 F1200";
    expect(short(shallow + deeper)).toEqual([]);
    const half = "\nT2 M6\nM3\nG0 X0 Y0\nG1 Z-19 F300\nG1 X30 F1200";
    expect(short(shallow + half)).toHaveLength(1);
  });
});

it("rows of a pocket that goes through are all looked at", () => {
  const rows = (last: number) =>
    `G0 X0 Y0\nG1 Z-19 F300\nG1 X60 F1200\nG1 Y4\nG1 X0\nG1 Y8\nG1 Z${last}\nG1 X60\nG1 Y12\nG1 Z-19\nG1 X0`;
  expect(short(rows(-19))).toEqual([]);
  const [finding] = short(rows(-17.5));
  // What rises and comes back reads as a tab: it is told in the outline, not as a short cut.
  expect(finding).toBeUndefined();
});

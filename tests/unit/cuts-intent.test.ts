/** What cuts are meant to do: inferred from their depth, or declared by comment or job file. */
import { describe, expect, it } from "vitest";
import type { Intent } from "../../server/src/cuts/cuts.ts";
import { group, head, rectangle, tail } from "../support/cuts.ts";

const slot = (y: number, z: number) => [`G0 X0 Y${y}`, `G1 Z${z} F300`, "G1 X50 F1200", "G0 Z5"];
const intentsOf = (lines: readonly string[], job?: string): Intent[] =>
  group(head + lines.join("\n") + tail, job).tree.cuts.map((cut) => cut.intent);
const goes = (lines: readonly string[], job?: string) => intentsOf(lines, job).map((intent) => intent.goes);
const jobWith = (...cuts: string[]) =>
  `{ "units": "mm", "programs": ["bench.nc"], "cuts": [${cuts.join(", ")}] }`;

describe("inferred from the depth (18 mm board, band 1.8 mm)", () => {
  it("through within the band of the underside and below it, partway above", () => {
    expect(goes([...slot(0, -16.2), ...slot(20, -16.1), ...slot(40, -19)])).toEqual([
      "through",
      "partway",
      "through",
    ]);
  });

  it("says by how much", () => {
    const because = intentsOf([...slot(0, -17.4), ...slot(20, -9), ...slot(40, -18.5), ...slot(60, -18)]).map(
      (i) => i.because,
    );
    expect(because).toEqual([
      "its deepest level is 0.6 mm above the underside",
      "its deepest level is 9 mm above the underside",
      "its deepest level is 0.5 mm below the underside",
      "its deepest level lies at the underside",
    ]);
  });

  it("speaks in the program's units", () => {
    const text =
      "(cutwright: thickness 3/4 in)\nG20 G90\nT1 M6\nG0 Z.2\nG0 X0 Y0\nG1 Z-.7 F12\nG1 X2\nG0 Z.2\nM30\n";
    expect(group(text).tree.cuts[0].intent.because).toBe("its deepest level is 0.05 in above the underside");
  });

  it("unknown without a thickness", () => {
    const { tree } = group(`G21 G90\nT1 M6\nG0 Z5\n${slot(0, -3).join("\n")}${tail}`);
    expect(tree.cuts[0].intent).toEqual({
      goes: "unknown",
      known: "not known",
      because: "the thickness of the board is not declared",
    });
  });

  it("with zero on the bed the underside is known without a thickness", () => {
    const { tree } = group(
      `(cutwright: zero bed)\nG21 G90\nT1 M6\nG0 Z30\n${[...slot(0, 0.5), ...slot(20, 6)].join("\n").replaceAll("G0 Z5", "G0 Z30")}${tail}`,
    );
    expect(tree.cuts.map((cut) => cut.intent.goes)).toEqual(["through", "partway"]);
  });
});

describe("declared by a comment", () => {
  it("about the next cut only", () => {
    const lines = [...slot(0, -9), "(cutwright: through)", ...slot(20, -9), ...slot(40, -9)];
    expect(goes(lines)).toEqual(["partway", "through", "partway"]);
    expect(intentsOf(lines)[1]).toMatchObject({
      known: "declared",
      because: "declared in the comment on line 10",
    });
  });

  it("about the whole operation when it stands in the comments ahead of it", () => {
    const lines = [
      ...slot(0, -18),
      "(Label slots)",
      "(cutwright: leaves 1.5 mm)",
      ...slot(20, -18),
      ...slot(40, -18),
    ];
    expect(intentsOf(lines).map((intent) => [intent.goes, intent.leaves])).toEqual([
      ["through", undefined],
      ["partway", 1.5],
      ["partway", 1.5],
    ]);
    const above = [
      ...slot(0, -18),
      "(cutwright: partway)",
      "(Label slots)",
      ...slot(20, -18),
      ...slot(40, -18),
    ];
    expect(goes(above)).toEqual(["through", "partway", "partway"]);
  });

  it("about the whole operation when it stands ahead of its tool change", () => {
    const lines = [
      ...slot(0, -18),
      "(cutwright: partway)",
      "T2 M6",
      "G0 Z5",
      ...slot(20, -18),
      ...slot(40, -18),
    ];
    expect(goes(lines)).toEqual(["through", "partway", "partway"]);
  });

  it("between the passes of a cut told level by level it is about the cut of the next pass", () => {
    const lines = [...slot(0, -3), ...slot(20, -3), "(cutwright: through)", ...slot(0, -6), ...slot(20, -6)];
    expect(goes(lines)).toEqual(["through", "partway"]);
  });
});

describe("declared in the job file", () => {
  const lines = ["(Grooves)", ...slot(0, -9), ...slot(20, -9), "(Outline)", ...slot(60, -9)];

  it("by operation, whatever the case", () => {
    const job = jobWith('{ "operation": "grooves", "goes": "through" }');
    expect(goes(lines, job)).toEqual(["through", "through", "partway"]);
    expect(intentsOf(lines, job)[0].because).toBe("declared in bench.job.json");
  });

  it("by a line in the cut, or on the way to it", () => {
    expect(goes(lines, jobWith('{ "line": 9, "goes": "through" }'))).toEqual([
      "through",
      "partway",
      "partway",
    ]);
    expect(goes(lines, jobWith('{ "line": 11, "goes": "through" }'))).toEqual([
      "partway",
      "through",
      "partway",
    ]);
    expect(goes(lines, jobWith('{ "line": 900, "goes": "through" }'))).toEqual([
      "partway",
      "partway",
      "partway",
    ]);
  });

  it("by a place on its path, not by one beside it", () => {
    expect(goes(lines, jobWith('{ "at": [25, 22.9], "goes": "through" }'))).toEqual([
      "partway",
      "through",
      "partway",
    ]);
    expect(goes(lines, jobWith('{ "at": [25, 40], "goes": "through" }'))).toEqual([
      "partway",
      "partway",
      "partway",
    ]);
  });

  it("by a place inside a ring: the smallest around it", () => {
    const rings = [
      ...["G0 X0 Y0", "G1 Z-9 F300", ...rectangle(0, 0, 100, 100), "G0 Z5"],
      ...["G0 X40 Y40", "G1 Z-9 F300", ...rectangle(40, 40, 70, 70), "G0 Z5"],
    ];
    expect(goes(rings, jobWith('{ "at": [55, 55], "goes": "through" }'))).toEqual(["partway", "through"]);
    expect(goes(rings, jobWith('{ "at": [2, 50], "goes": "through" }'))).toEqual(["through", "partway"]);
  });

  it("yields to a comment, and the narrower statement wins over the wider", () => {
    const commented = ["(Grooves)", "(cutwright: partway)", ...slot(0, -9)];
    expect(goes(commented, jobWith('{ "at": [25, 0], "goes": "through" }'))).toEqual(["partway"]);
    const both = jobWith(
      '{ "at": [25, 0], "goes": "through" }',
      '{ "operation": "Grooves", "goes": "partway" }',
    );
    expect(goes(lines, both)).toEqual(["through", "partway", "partway"]);
  });
});

/** Operations: where they part and what they are called. */
import { describe, expect, it } from "vitest";
import { headingOf } from "../../server/src/cuts/headings.ts";
import { cutting, group, head, tail } from "../support/cuts.ts";

const slot = (y: number, z = -3) => [`G0 X0 Y${y}`, `G1 Z${z} F300`, "G1 X50 F1200", "G0 Z5"];
const names = (...lines: string[]) =>
  cutting(...lines).tree.operations.map((operation) => `${operation.name}: ${operation.cuts.length}`);
const namesOf = (text: string) => group(text).tree.operations.map((operation) => operation.name);

describe("operations", () => {
  it("take the comment ahead of their first cut and its following cuts", () => {
    const lines = ["(Grooves)", ...slot(0), ...slot(20), "", "; Label slots", ...slot(40)];
    expect(names(...lines)).toEqual(["Grooves: 2", "Label slots: 1"]);
    const { operations } = cutting(...lines).tree;
    expect(operations.map(({ firstLine, lastLine, named }) => [firstLine, lastLine, named])).toEqual(
      [
        [5, 12],
        [15, 18],
      ].map(([first, last]) => [first, last, true]),
    );
  });

  it("part at a tool change and are named after the tool where no comment names them", () => {
    expect(names(...slot(0), "T2 M6", "G0 Z5", ...slot(20))).toEqual([
      "Cuts with tool 1: 1",
      "Cuts with tool 2: 1",
    ]);
    expect(names("(Grooves)", ...slot(0), "(Names)", "T2 M6", "G0 Z5", ...slot(20))).toEqual([
      "Grooves: 1",
      "Names: 1",
    ]);
    expect(cutting(...slot(0)).tree.operations[0].named).toBe(false);
    expect(namesOf(`G21 G90\nG0 Z5\n${slot(0).join("\n")}${tail}`)).toEqual(["Cuts"]);
  });

  it("do not part at comments about a level, a tool, a movement or a declaration", () => {
    const level = (text: string, z: number) => [text, ...slot(0, z)];
    expect(
      names(
        "(Groove)",
        ...level("(pass 1 of 6)", -3),
        ...level("(Level 2, Z -6 mm)", -6),
        ...level("(plunge)", -7),
        ...level("(Tool 1: 6 mm flat)", -8),
        ...level("(cutwright: through)", -9),
        ...level("(Feed: 1200 mm/min)", -10),
        ...level("(-----)", -11),
        ...level("(next depth)", -12),
      ),
    ).toEqual(["Groove: 1"]);
  });

  it("do not part at a repeated heading that only counts the level up", () => {
    expect(names("(Outline, pass 1 of 2)", ...slot(0, -3), "(Outline, pass 2 of 2)", ...slot(0, -6))).toEqual(
      ["Outline: 1"],
    );
    expect(names("(Outline)", ...slot(0), "(outline)", ...slot(9))).toEqual(["Outline: 2"]);
  });

  it("keep a spring or finishing pass on the same path in its cut; on a path of its own it has a name", () => {
    expect(names("(Groove)", ...slot(0), "(Finishing pass)", ...slot(0))).toEqual(["Groove: 1"]);
    expect(names("(Groove)", ...slot(0), "(Finishing pass)", ...slot(0.3))).toEqual([
      "Groove: 1",
      "Finishing pass: 1",
    ]);
  });

  it("take the title of a block of comments, not the notes under it", () => {
    expect(names(...slot(90), "(Outline)", "(keep the clamps clear of the left edge)", ...slot(0))).toEqual([
      "Cuts with tool 1: 1",
      "Outline: 1",
    ]);
    expect(names(...slot(90), "(end of grooves)", "(=== Outline ===)", ...slot(0))[1]).toBe("Outline: 1");
  });

  it("take the nearest block of comments", () => {
    expect(names("(Groove)", "G0 Z5", "(Groove for labels)", ...slot(0))).toEqual(["Groove for labels: 1"]);
  });

  it("are not named by the comments that open the file, unless the cut follows at once", () => {
    expect(
      namesOf(`(Bulb tray)\n(spring batch)\nG21 G90\nT1 M6\nG0 Z5\n${slot(0).join("\n")}${tail}`),
    ).toEqual(["Cuts with tool 1"]);
    expect(namesOf(`(Bulb tray)\n(Drain grooves)\nG21 G90 G0 Z5\n${slot(0).join("\n")}${tail}`)).toEqual([
      "Drain grooves",
    ]);
    expect(
      namesOf(`(Bulb tray)\nG21 G90\n(Drain grooves)\nT1 M6\nG0 Z5\n${slot(0).join("\n")}${tail}`),
    ).toEqual(["Drain grooves"]);
  });

  it("are not named by comments beside words or in the midst of a pass", () => {
    expect(
      names("G0 X0 Y0", "G1 Z-3 F300", "G1 X50 (far end)", "(half way)", "G1 X90", "G0 Z5", ...slot(40)),
    ).toEqual(["Cuts with tool 1: 2"]);
  });

  it("hold cuts told level by level under repeated headings", () => {
    const lines = [-3, -6].flatMap((z) => ["(Grooves)", ...slot(0, z), "(Label slots)", ...slot(20, z)]);
    expect(names(...lines)).toEqual(["Grooves: 1", "Label slots: 1"]);
  });
});

describe("headings", () => {
  it.each([
    ["Operation 3: Outline", "Outline"],
    ["*** Peg holes, 6 mm ***", "Peg holes, 6 mm"],
    ["Outline Z=-3.5 mm", "Outline"],
    ["Tool rack slots", "Tool rack slots"],
    ["Außenkontur", "Außenkontur"],
    ["Rebate depth 6", "Rebate"],
  ])("%s names %s", (text, name) => {
    expect(headingOf(text, 0)?.name).toBe(name);
  });

  it.each([
    "T1 flat 6 mm",
    "Tool: 6 mm flat end mill",
    "2 flute upcut bit D=6",
    "Pass 2",
    "12.5",
    "Retract to safe height",
    "Date: 12 May",
    "End of grooves",
    "finished",
  ])("%s names nothing", (text) => {
    expect(headingOf(text, 0)).toBeUndefined();
  });
});

it("a heading is not lost when its first pass continues an earlier cut", () => {
  const result = group(
    `${head}(Grooves)\n${slot(0).join("\n")}\n(Slots)\n${slot(20).join("\n")}\n(Grooves)\n${[...slot(0, -6), ...slot(40)].join("\n")}${tail}`,
  );
  expect(result.tree.operations.map((operation) => operation.name)).toEqual(["Grooves", "Slots", "Grooves"]);
});

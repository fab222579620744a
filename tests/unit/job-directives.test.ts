import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { readDirectives } from "../../server/src/job/directives.ts";
import { readProgram } from "../../server/src/language/read.ts";

const read = (text: string, units: "mm" | "in" = "mm") => readDirectives("tray.nc", readProgram(text), units);
/** Rule, exact words and message of each problem. */
const told = (text: string) =>
  read(text).problems.map((p) => ({
    rule: p.rule,
    words: text.slice(p.start, p.end),
    line: p.line,
    message: p.message,
  }));

describe("facts", () => {
  it("are read from both kinds of comment, with their line", () => {
    const found = read(
      "G21\n(cutwright: thickness 18.3 mm; zero bed)\n; Cutwright: size 300 x 200 mm; corner -10 mm, -5 mm\nG0 X1",
    );
    expect(found.thickness).toMatchObject({
      value: 18.3,
      source: { kind: "comment", file: "tray.nc", line: 2 },
    });
    expect(found.zero).toMatchObject({ value: "bed", source: { line: 2 } });
    expect(found.size).toMatchObject({ value: [300, 200], source: { line: 3 } });
    expect(found.corner?.value).toEqual([-10, -5]);
    expect(found.problems).toEqual([]);
  });

  it("may be written in capitals, with other units, or with the unit once", () => {
    const found = read("(CUTWRIGHT: ZERO BED; THICKNESS 3/4 IN; SIZE 12X8 IN; MATERIAL MDF; BOARD A)");
    expect(found.zero?.value).toBe("bed");
    expect(found.thickness?.value).toBeCloseTo(19.05, 12);
    expect(found.size?.value.map((v) => Math.round(v * 10) / 10)).toEqual([304.8, 203.2]);
    expect([found.material?.value, found.board?.value]).toEqual(["MDF", "A"]);
    expect(found.problems).toEqual([]);
  });

  it("take bare numbers in the program's units", () => {
    expect(read("(cutwright: thickness 0.75)", "in").thickness?.value).toBeCloseTo(19.05, 12);
  });

  it("leave other comments alone", () => {
    const found = read(
      "(thickness 18 mm)\n(see cutwright: the tool)\n(cutwright checked this)\n(cutwrights: x)",
    );
    expect([found.thickness, found.problems.length]).toEqual([undefined, 0]);
  });

  it.each([
    ["tool 1 flat 6 mm", { number: 1, shape: "flat", diameter: 6 }],
    ["tool 2 V 60 deg 12 mm", { number: 2, shape: "V", diameter: 12, angle: Math.PI / 3 }],
    [
      "tool 2 v 12 mm 60° tip 0.2 mm",
      { number: 2, shape: "V", diameter: 12, angle: Math.PI / 3, tipDiameter: 0.2 },
    ],
    ["tool 3 ball 6 mm", { number: 3, shape: "ball", diameter: 6 }],
    ["tool 4 bull 10 mm corner 2 mm", { number: 4, shape: "bull", diameter: 10, cornerRadius: 2 }],
    [
      "tool T5 drill 118 deg 3.2 mm",
      { number: 5, shape: "drill", diameter: 3.2, angle: (118 * Math.PI) / 180 },
    ],
    ["tool 6 flat 1/4 in 2 flutes", { number: 6, shape: "flat", diameter: 6.35, flutes: 2 }],
    ["tool 7 bull corner 1/16 in 1/2 in", { number: 7, shape: "bull", diameter: 12.7, cornerRadius: 1.5875 }],
  ])("%s", (words, tool) => {
    const found = read(`(cutwright: ${words})`);
    expect(found.problems).toEqual([]);
    const [given] = [...found.tools.values()];
    expect({ ...given, angle: undefined }).toEqual({
      ...tool,
      angle: undefined,
      source: { kind: "comment", file: "tray.nc", line: 1 },
    });
    if ("angle" in tool) expect(given.angle).toBeCloseTo(tool.angle, 12);
  });
});

describe("what is not clear", () => {
  it("is told with its exact words, and the rest counts", () => {
    const text = "(cutwright: thicknes 18 mm; zero top)";
    expect(told(text)).toEqual([
      {
        rule: "declaration-unclear",
        words: "thicknes 18 mm",
        line: 0,
        message: '"thicknes" is not a known fact. Did you mean "thickness"?',
      },
    ]);
    expect(read(text).zero?.value).toBe("top");
  });

  it.each([
    ["thickness 18,3 mm", "thickness 18.3 mm"],
    ["thickness -2 mm", "thickness 18.3 mm"],
    ["thickness 0", "thickness 18.3 mm"],
    ["size 300 mm", "size 300 x 200 mm"],
    ["size 300 x 0 mm", "size 300 x 200 mm"],
    ["corner 1", "corner -10 mm, -10 mm"],
    ["zero side", "zero top"],
    ["zero", "zero bed"],
    ["board", "board prototype"],
    ["material", "material MDF"],
    ["tool flat 6 mm", "tool 1 flat 6 mm"],
    ["tool 1 round 6 mm", "is no shape known here"],
    ["tool 1 V 12 mm", "angle in degrees"],
    ["tool 1 V 200 deg 12 mm", "below 180"],
    ["tool 1 bull 10 mm", "corner 2 mm"],
    ["tool 1 bull 10 mm corner 6 mm", "more than half"],
    ["tool 1 flat 0 mm", "tool 1 flat 6 mm"],
    ["tool 99999 flat 6 mm", "tool 1 flat 6 mm"],
    ["through the board", 'Write "through" alone'],
    ["leaves nothing", "leaves 2 mm"],
    ["quux", "Known facts"],
    ["silence", "silence pass-repeated because"],
    ["silence two rules because x", "silence pass-repeated because"],
  ])("%s", (words, remedy) => {
    const problems = told(`(cutwright: ${words})\nG0 X1`);
    expect(problems).toHaveLength(1);
    expect(problems[0]).toMatchObject({ rule: "declaration-unclear", words });
    expect(problems[0].message).toContain(remedy);
  });

  it("an empty declaration, and one without its colon", () => {
    expect(told("(cutwright:)")[0].message).toContain("Nothing is declared here");
    expect(told("; cutwright thickness 18 mm")[0].message).toContain("A colon is missing");
  });

  it("two values for one fact: the first counts, unless they agree", () => {
    const text =
      "(cutwright: thickness 18 mm)\n(cutwright: thickness 17 mm; tool 1 flat 6 mm)\n(cutwright: tool 1 ball 6 mm)";
    expect(told(text).map((p) => p.words)).toEqual(["thickness 17 mm", "tool 1 ball 6 mm"]);
    expect(read(text).thickness?.value).toBe(18);
    expect(told("(cutwright: thickness 18 mm)\n(cutwright: thickness 18 mm)")).toEqual([]);
  });
});

describe("statements about cuts", () => {
  const where = (text: string) => read(text).intents.map((i) => [i.where, i.goes, i.leaves]);

  it("are about the line they stand on, or the next with words", () => {
    expect(where("G0 X1 (cutwright: through)\n(cutwright: partway)\n(Rebate)\n\nG1 Z-3")).toEqual([
      [{ kind: "line", line: 1 }, "through", undefined],
      [{ kind: "line", line: 5 }, "partway", undefined],
    ]);
  });

  it("partway and leaves are one statement", () => {
    const one = [[{ kind: "line", line: 2 }, "partway", 2]];
    expect(where("(cutwright: partway; leaves 2 mm)\nG0 X1")).toEqual(one);
    expect(where("(cutwright: leaves 2 mm; partway)\nG0 X1")).toEqual(one);
    expect(where("(cutwright: partway leaves 2 mm)\nG0 X1")).toEqual(one);
  });

  it("that contradict each other, or are about nothing, are told", () => {
    expect(told("(cutwright: through; partway)\nG0 X1").map((p) => p.words)).toEqual(["partway"]);
    expect(told("(cutwright: leaves 1 mm; leaves 2 mm)\nG0 X1").map((p) => p.words)).toEqual(["leaves 2 mm"]);
    expect(told("G0 X1\n(cutwright: through)")[0].message).toContain("No line follows");
  });
});

describe("silences", () => {
  it("need a reason, which may hold a semicolon", () => {
    expect(
      read("G0 X1\n(cutwright: zero top; silence rapid-in-stock because cleared; by hand)\nG0 Z-1"),
    ).toMatchObject({
      silences: [{ rule: "rapid-in-stock", line: 1, appliesTo: 2, reason: "cleared; by hand" }],
      problems: [],
    });
  });

  it("apply to their own line where it has words", () => {
    expect(read("G0 X1 ; cutwright: silence rapid-in-stock because clear").silences[0].appliesTo).toBe(0);
  });

  it.each(["silence pass-repeated", "silence pass-repeated because", "SILENCE PASS-REPEATED BECAUSE "])(
    "%s",
    (words) => {
      const text = `(cutwright: ${words})\nG0 X1`;
      expect(told(text)).toMatchObject([{ rule: "silence-without-reason", words: words.trim() }]);
      expect(told(text)[0].message).toContain('Write "silence pass-repeated because" and why.');
      expect(read(text).silences).toEqual([]);
    },
  );
});

it("any comment is read without throwing, and problems lie inside it", () => {
  const words = fc.constantFrom(
    "thickness",
    "tool",
    "1",
    "V",
    "60 deg",
    "6 mm",
    "silence",
    "because",
    ";",
    "x",
    "leaves",
    "corner",
    "-",
    "board",
    ")",
    "\n",
    "G1",
  );
  const comment = fc.oneof(
    fc.string(),
    fc.array(words).map((parts) => parts.join(" ")),
  );
  fc.assert(
    fc.property(fc.array(comment, { maxLength: 5 }), (comments) => {
      const text = comments.map((c) => `(cutwright: ${c})\nG0 X1`).join("\n");
      for (const { start, end, message } of read(text).problems) {
        expect(start).toBeGreaterThanOrEqual(0);
        expect(end).toBeLessThanOrEqual(text.length);
        expect(start).toBeLessThanOrEqual(end);
        expect(message.length).toBeGreaterThan(10);
      }
    }),
  );
});

describe("facts of the job file, in a comment", () => {
  it.each([
    ["thickness 18.3 mm", "thickness", 18.3],
    ["variation 0.3 mm", "variation", 0.3],
    ["measuring error 0.1 mm", "measuringError", 0.1],
    ["tape 0.2 mm", "tape", 0.2],
    ["tape 0", "tape", 0],
    ["bed thickness 18 mm", "bedThickness", 18],
    ["bed unevenness 0.2 mm", "bedUnevenness", 0.2],
    ["deepest bed cut 1/8 in", "deepestBedCut", 3.175],
    ["Deepest  bed-cut 3", "deepestBedCut", 3],
    ["touch-off error 0.1 mm", "touchOffError", 0.1],
    ["touch off error 0.1 mm", "touchOffError", 0.1],
    ["judge by worst case", "judgeBy", "worst case"],
    ["Judge by Root-Sum-Square", "judgeBy", "root-sum-square"],
    ["judge by root sum square", "judgeBy", "root-sum-square"],
  ] as const)("%s", (words, fact, value) => {
    const found = read(`G21\n(cutwright: zero top; ${words})\nG0 X1`);
    expect(found.problems).toEqual([]);
    expect(found[fact]).toMatchObject({ value, source: { kind: "comment", file: "tray.nc", line: 2 } });
  });

  it.each([
    [
      "screw at 10 mm, 20 mm keep-out 8 mm height 4 mm",
      { kind: "screw", at: [10, 20], keepOut: 8, height: 4 },
    ],
    ["Clamp at -10, 5.5 height 12, keep-out 20", { kind: "clamp", at: [-10, 5.5], keepOut: 20, height: 12 }],
    ["screw at 1 x 2 in keep out 1/2 in", { kind: "screw", at: [25.4, 50.8], keepOut: 12.7, height: 0 }],
    ["tape at 150, 100", { kind: "tape", at: [150, 100], keepOut: 0, height: 0 }],
  ])("hold-down %s", (words, holdDown) => {
    const found = read(`(cutwright: hold-down ${words}; thickness 18)`);
    expect(found.problems).toEqual([]);
    expect(found.holdDowns).toEqual([holdDown]);
    expect(found.thickness?.value).toBe(18);
  });

  it.each([
    ["tape -0.2 mm", '"tape 0.2 mm"'],
    ["variation", '"variation 0.3 mm"'],
    ["measuring error about 0.1", '"measuring error 0.1 mm"'],
    ["bed thickness 0 mm", '"bed thickness 18 mm"'],
    ["deepest bed cut 3 m", '"deepest bed cut 3 mm"'],
    ["judge by eye", '"judge by worst case" or "judge by root-sum-square"'],
    ["hold-down nail at 1, 2", "(screw, clamp or tape)"],
    ["hold-down screw 1, 2", "hold-down screw at"],
    ["hold-down screw at 1", "hold-down screw at"],
    ["hold-down screw at 1, 2 keep-out -8", "hold-down screw at"],
    ["hold-down screw at 1, 2 height 4 height 5", "hold-down screw at"],
    ["hold-down screw at 1, 2 height", "hold-down screw at"],
    ["bed uneveness 0.2 mm", 'Did you mean "bed unevenness"?'],
    ["mesuring error 0.1 mm", 'Did you mean "measuring error"?'],
    ["bed 18 mm", "is not a known fact"],
  ])("%s is told, with the remedy", (words, remedy) => {
    const [problem, ...more] = told(`G21\n(cutwright: zero top; ${words})`);
    expect(problem).toMatchObject({ rule: "declaration-unclear", words, line: 1 });
    expect(problem.message).toContain(remedy);
    expect(more).toEqual([]);
  });

  it("twice with two values: the first one counts, and the fact is named as it is written", () => {
    const text =
      "(cutwright: bed thickness 18; judge by worst case)\n(cutwright: bed thickness 12; judge by root-sum-square)";
    expect(read(text).bedThickness?.value).toBe(18);
    expect(told(text).map(({ message }) => message)).toEqual([
      "The bed thickness is declared on line 1 already, with another value; that one counts. Remove one.",
      "What to judge by is declared on line 1 already, with another value; that one counts. Remove one.",
    ]);
  });

  it("tells a missing colon ahead of a name of several words", () => {
    expect(told("(cutwright deepest bed cut 3 mm)")[0].message).toContain("A colon is missing");
  });
});

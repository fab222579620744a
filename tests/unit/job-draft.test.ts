import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { declarationLine, draftJob, jobFileNameFor } from "../../server/src/job/draft.ts";
import { readDirectives } from "../../server/src/job/directives.ts";
import { resolveJob } from "../../server/src/job/resolve.ts";
import { readProgram } from "../../server/src/language/read.ts";

const resolved = (text: string) =>
  resolveJob({
    programFile: "/shop/tray.nc",
    program: readProgram("G0 X1"),
    jobFile: { file: "/shop/tray.job.json", text },
  });

it("jobFileNameFor: the program's name without its extension", () => {
  expect(jobFileNameFor("/shop/tray.nc")).toBe("tray.job.json");
  expect(jobFileNameFor("bulb tray.v2.tap")).toBe("bulb tray.v2.job.json");
  expect(jobFileNameFor("tray")).toBe("tray.job.json");
});

describe("draftJob", () => {
  const draft = (units: "mm" | "in") =>
    draftJob({
      programFile: "/shop/tray.nc",
      units,
      extent: [0, 0, 254, 127],
      lowest: -18.2,
      tools: [0, 2, 5],
    });

  it("has one problem: the thickness is to be measured", () => {
    const text = draft("mm");
    const { problems } = resolved(text);
    expect(problems).toHaveLength(1);
    expect(problems[0].rule).toBe("job-invalid");
    expect(text.slice(problems[0].start, problems[0].end)).toBe('""');
    expect(problems[0].message).toContain(
      "Measure the board with calipers at the four corners and write the thickest here",
    );
    // The line above says it too.
    expect(text.split("\n").slice(0, problems[0].line).join("\n")).toContain(
      "// Measure the board with calipers",
    );
  });

  it("has none once it is filled in, and holds what the program tells", () => {
    const facts = resolved(draft("mm").replace('"thickness": ""', '"thickness": "18.3 mm"'));
    expect(facts.problems).toEqual([]);
    expect(facts.stock).toMatchObject({
      thickness: { value: 18.3 },
      size: { value: [274, 147] },
      corner: { value: [-10, -10] },
    });
    expect([...facts.tools.keys()]).toEqual([2, 5]);
    expect(draft("mm")).toContain("down to Z -18.2 mm");
  });

  it("speaks inches to a program in inches", () => {
    const { stock } = resolved(draft("in"));
    expect(draft("in")).toContain('"size": ["11 in", "6 in"]');
    expect(stock.corner?.value[0]).toBeCloseTo(-12.7, 9);
  });

  it("stays readable whatever the program is like", () => {
    const number = fc.double();
    fc.assert(
      fc.property(
        fc.string({ minLength: 1 }),
        fc.tuple(number, number, number, number),
        number,
        fc.array(fc.integer()),
        (name, extent, lowest, tools) => {
          const text = draftJob({
            programFile: `/shop/${name.replaceAll("/", "_")}.nc`,
            units: "mm",
            extent,
            lowest,
            tools,
          });
          expect(resolved(text).problems.filter((p) => p.rule === "job-unreadable")).toEqual([]);
        },
      ),
    );
  });
});

it.each(["mm", "in"] as const)("declarationLine is read back (%s)", (units) => {
  const { thickness, problems } = readDirectives(
    "tray.nc",
    readProgram(declarationLine(units, 19.05)),
    units,
  );
  expect(problems).toEqual([]);
  expect(thickness?.value).toBeCloseTo(19.05, 9);
  expect(declarationLine(units)).toBe(`(cutwright: thickness ${units === "mm" ? "18 mm" : "0.75 in"})`);
});

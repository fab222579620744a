/** Through allowance: the project's own definition (design section 5); sums and roots worked out by hand. */
import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { throughAllowance } from "../../server/src/job/allowance.ts";
import type { Sourced, Stock } from "../../server/src/job/facts.ts";
import { panelPreset } from "../../server/src/job/materials.ts";

const declared = (value: number): Sourced<number> => ({
  value,
  source: { kind: "job", file: "a.job.json", line: 3 },
});
const stock = (zero: "top" | "bed", more: Partial<Stock> = {}): Stock => ({
  zero: { value: zero, source: { kind: "default" } },
  ...more,
});

describe("zero on the stock top", () => {
  it("adds up all four terms", () => {
    const allowance = throughAllowance(stock("top"), {
      measuringError: declared(0.3),
      variation: declared(0.4),
      bedUnevenness: declared(1.2),
      touchOffError: declared(0),
    });
    expect(allowance.terms.map(({ name, value }) => [name, value])).toEqual([
      ["measuring error", 0.3],
      ["thickness variation", 0.4],
      ["bed unevenness", 1.2],
      ["touch-off error", 0],
    ]);
    expect(allowance.worstCase).toBe(1.9);
    // 0.3, 0.4, 1.2, 0: 0.09 + 0.16 + 1.44 = 1.69 = 1.3^2.
    expect(allowance.rootSumSquare).toBe(1.3);
    expect(allowance.required).toBe(1.9);
    expect(allowance.terms.every(({ source }) => source.kind === "job")).toBe(true);
  });

  it("judges by the root-sum-square where the job says so", () => {
    const allowance = throughAllowance(stock("top"), { judgeBy: "root-sum-square" });
    expect(allowance.judgedBy).toBe("root-sum-square");
    expect(allowance.required).toBe(allowance.rootSumSquare);
    expect(allowance.overcut).toBe(allowance.rootSumSquare);
  });

  // Common practice, no source: 0.1 measuring, 0.4 variation, 0.2 bed, 0.1 touch-off.
  it("has stated defaults that say what they rest on", () => {
    const { terms, worstCase } = throughAllowance(stock("top"), {});
    expect(terms.map(({ value }) => value)).toEqual([0.1, 0.4, 0.2, 0.1]);
    expect(worstCase).toBe(0.8);
    expect(terms.map(({ source }) => source)).toEqual(
      Array(4).fill({ kind: "default", note: "common practice, no source" }),
    );
  });

  it("does not count tape", () => {
    const { terms, worstCase, overcut } = throughAllowance(stock("top", { tape: declared(0.2) }), {});
    expect(worstCase).toBe(0.8);
    expect(overcut).toBe(0.8);
    expect(terms.some(({ name }) => name === "tape under the stock")).toBe(false);
  });
});

describe("zero on the bed", () => {
  it("leaves the thickness out and subtracts tape", () => {
    const { terms, worstCase, rootSumSquare, overcut } = throughAllowance(
      stock("bed", { tape: declared(0.2) }),
      {
        bedUnevenness: declared(0.3),
        touchOffError: declared(0.4),
        variation: declared(9),
      },
    );
    expect(terms.map(({ name, value }) => [name, value])).toEqual([
      ["bed unevenness", 0.3],
      ["touch-off error", 0.4],
      ["tape under the stock", -0.2],
    ]);
    expect(worstCase).toBe(0.5);
    expect(rootSumSquare).toBe(0.3);
    // From the real underside, 0.2 above the bed: 0.3 + 0.4.
    expect(overcut).toBe(0.7);
  });

  it("never falls below 0", () => {
    const { worstCase, rootSumSquare } = throughAllowance(stock("bed", { tape: declared(5) }), {});
    expect([worstCase, rootSumSquare]).toEqual([0, 0]);
  });
});

describe("thickness variation by the material", () => {
  const variation = (material: string, thickness?: number) =>
    throughAllowance(
      stock("top", {
        material: { value: material, source: { kind: "job" } },
        ...(thickness === undefined ? {} : { thickness: declared(thickness) }),
      }),
      {},
    ).terms[1];

  // PS 1-19 (plywood), as quoted by a trade body: sanded, 1/64 in (0.4 mm) up to 3/4 in (19 mm), 3 % above.
  it("of sanded plywood", () => {
    expect(variation("sanded plywood", 18).value).toBeCloseTo(25.4 / 64, 12);
    expect(variation("Birch plywood, sanded", 19.05).value).toBeCloseTo(25.4 / 64, 12);
    expect(variation("sanded plywood", 25).value).toBeCloseTo(0.75, 12);
    expect(variation("sanded plywood", 18).source.note).toContain("PS 1-19");
  });

  // PS 1-19: unsanded, touch-sanded, overlaid, 1/32 in (0.8 mm) up to 13/16 in (20.6 mm), 5 % above.
  it.each([
    "plywood",
    "unsanded plywood",
    "touch-sanded plywood",
    "un-sanded plywood",
    "sanded plywood, overlaid",
  ])("of %s", (material) => {
    expect(variation(material, 20).value).toBeCloseTo(25.4 / 32, 12);
    expect(variation(material, 24).value).toBeCloseTo(1.2, 12);
  });

  // ANSI A208.2 (MDF): 0.005 in (0.127 mm) about the panel average, from memory.
  it("of MDF", () => {
    expect(variation("MDF", 18).value).toBeCloseTo(0.127, 12);
    expect(variation("black mdf").value).toBeCloseTo(0.127, 12);
    expect(variation("MDF").source.note).toContain("ANSI A208.2");
  });

  it("of anything else is the stated default", () => {
    expect(panelPreset("beech")).toBeUndefined();
    expect(panelPreset("mdflike")).toBeUndefined();
    expect(variation("beech", 18).value).toBe(0.4);
  });

  it("gives way to a declared one", () => {
    const { terms } = throughAllowance(
      stock("top", { material: { value: "MDF", source: { kind: "job" } } }),
      {
        variation: declared(0.3),
      },
    );
    expect(terms[1]).toEqual({ name: "thickness variation", ...declared(0.3) });
  });
});

it("the worst case is never less than the root-sum-square", () => {
  const term = fc.option(fc.double({ min: 0, max: 10, noNaN: true }).map(declared), { nil: undefined });
  fc.assert(
    fc.property(
      fc.constantFrom("top" as const, "bed" as const),
      fc.record({
        measuringError: term,
        variation: term,
        bedUnevenness: term,
        touchOffError: term,
      }),
      term,
      (zero, facts, tape) => {
        const taped = stock(zero, tape ? { tape } : {});
        const { worstCase, rootSumSquare, overcut, terms } = throughAllowance(taped, facts);
        expect(worstCase).toBeGreaterThanOrEqual(rootSumSquare);
        expect(rootSumSquare).toBeGreaterThanOrEqual(0);
        const sum = terms.reduce((total, { value }) => total + value, 0);
        expect(worstCase).toBeCloseTo(Math.max(0, sum), 8);
        const raised = zero === "bed" ? (tape?.value ?? 0) : 0;
        expect(overcut).toBeCloseTo(sum + raised, 8);
      },
    ),
  );
});

it("the example of docs/job-file.md: 18.6 mm MDF, nothing else declared", () => {
  const mdf = { material: { value: "MDF", source: { kind: "job" as const } }, thickness: declared(18.6) };
  const { worstCase, rootSumSquare } = throughAllowance(stock("top", mdf), {});
  expect(worstCase).toBe(0.527);
  // 0.01 + 0.016129 + 0.04 + 0.01 = 0.076129
  expect(rootSumSquare.toFixed(3)).toBe("0.276");
  const page = readFileSync(new URL("../../docs/job-file.md", import.meta.url), "utf8");
  expect(page).toContain(
    "0.1 + 0.127 + 0.2 + 0.1 = 0.527 mm, so the cut has to go to Z-19.127. The root-sum-square is 0.276 mm.",
  );
});

/** Statements about cuts that a program does not have. */
import { expect, it } from "vitest";
import { unmatchedIntents } from "../../server/src/cuts/declared.ts";
import type { CutIntent } from "../../server/src/job/facts.ts";
import { group, head, tail } from "../support/cuts.ts";

const slot = (y: number) => [`G0 X0 Y${y}`, "G1 Z-9 F300", "G1 X50 F1200", "G0 Z5"];
const job = (programs: string[], cuts: object[]) => JSON.stringify({ programs, cuts });
const unmatched = (lines: readonly string[], jobText?: string): CutIntent["where"][] => {
  const { job: facts, tree, toolpath } = group(head + lines.join("\n") + tail, jobText);
  return unmatchedIntents(facts, tree, toolpath).map(({ where }) => where);
};
const labels = ["(Label slots)", ...slot(0), ...slot(20)];

it("none where every statement finds its cut", () => {
  // The comment opens the operation; line 8 is the first slot's.
  const cuts = [
    { operation: "label  SLOTS", goes: "through" },
    { line: 8, goes: "through" },
    { at: [25, 22], goes: "partway" },
  ];
  const lines = [
    "(Label slots)",
    "(cutwright: through)",
    ...slot(0),
    "(cutwright: leaves 3 mm)",
    ...slot(20),
  ];
  expect(unmatched(lines, job(["bench.nc"], cuts))).toEqual([]);
  expect(unmatched(lines)).toEqual([]);
  expect(unmatched(labels)).toEqual([]);
});

it("a misspelt operation, a line behind the last cut, a place off every cut", () => {
  const cuts = [
    { operation: "Lable slots", goes: "through" },
    { operation: "Label slots", goes: "through" },
    { line: 500, goes: "through" },
    // 6 mm cutter on Y0 and Y20: Y10 is 7 mm from either edge.
    { at: [25, 10], goes: "partway" },
    { at: [25, 2.9], goes: "partway" },
  ];
  expect(unmatched(labels, job(["bench.nc"], cuts))).toEqual([
    { kind: "operation", name: "Lable slots" },
    { kind: "line", line: 500 },
    { kind: "place", x: 25, y: 10 },
  ]);
});

it("a comment behind the last cut, with its own line in the source", () => {
  const lines = [...labels, "(cutwright: through)"];
  const { job: facts, tree, toolpath } = group(head + lines.join("\n") + tail);
  const found = unmatchedIntents(facts, tree, toolpath);
  expect(found.map(({ goes, source }) => [goes, source.kind])).toEqual([["through", "comment"]]);
  expect((head + lines.join("\n")).split("\n")[found[0].source.line! - 1]).toBe("(cutwright: through)");
});

it("every statement where nothing is cut", () => {
  expect(
    unmatched(["(cutwright: through)", "G0 X10"], job(["bench.nc"], [{ operation: "A", goes: "through" }])),
  ).toHaveLength(2);
});

it("what may be about another program of the job is left out", () => {
  const text = job(
    ["bench.nc", "rack.nc"],
    [
      { operation: "Rack", goes: "through" },
      { operation: "Rack", program: "bench.nc", goes: "through" },
      { operation: "Rack", program: "rack.nc", goes: "through" },
    ],
  );
  expect(unmatched(labels, text)).toEqual([{ kind: "operation", name: "Rack" }]);
});

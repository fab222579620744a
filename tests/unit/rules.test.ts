/** Each rule fires on its own example and stays quiet on a near miss. */
import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { rulePage, ruleIndexPage } from "../../server/src/report/rule-page.ts";
import { rules } from "../../server/src/review/rules/index.ts";
import { reviewText } from "../support/review.ts";

const head =
  "(cutwright: thickness 18 mm; size 200 x 120 mm; corner -20 mm, -20 mm; tool 1 flat 6 mm)\nG21 G90\nT1 M6\nS18000 M3\nG0 Z5\n";
const tail = "\nG0 Z5\nM5\nM30";
/** A groove from X0 to X100 at the depths given. */
const groove = (...depths: number[]) =>
  head + depths.map((z) => `G0 X0 Y0\nG1 Z${z} F300\nG1 X100 F1200\nG0 Z5`).join("\n") + tail;

/** The same groove twice, with a remark ahead of the second one's plunge. */
const springPass = (remark: string) =>
  `${head}G0 X0 Y0\nG1 Z-3 F300\nG1 X100 F1200\nG0 Z5\nG0 X0 Y0\n${remark}\nG1 Z-3 F300\nG1 X100 F1200${tail}`;

/** For each rule a program just on the quiet side of it. Rules of the job file have their own below. */
const nearMisses: Record<string, string> = {
  "through-cut-short": groove(-9, -18.9),
  "through-cut-marginal": groove(-9, -18.95),
  "bed-cut-deep": groove(-9, -20.99),
  "rapid-in-stock": `${head}G0 X0 Y0\nG1 Z-3 F300\nG1 X100 F1200\nG0 X0${tail}`,
  "rapid-below-top": `${head}G0 X0 Y0\nG1 Z-3 F300\nG1 X100 F1200\nG0 Z0\nG0 X0${tail}`,
  "pass-removes-nothing": groove(-3, -3.05),
  "pass-repeated": groove(-3, -6),
  "outside-stock": `${head}G0 X0 Y0\nG1 Z-3 F300\nG1 X183 F1200${tail}`,
  "feed-missing": `${head}G1 Z3 F100\nG1 X10${tail}`,
  "spindle-off": `${head}M5\nG0 X0 Y0\nM3\nG1 Z-3 F300${tail}`,
  "tool-undeclared": groove(-3),
  "units-not-stated": "(units ahead of the first move)\nG90 G20\nG0 Z1\nM30",
  "program-end-missing": "%\nG21 G90\nG0 Z5\n%",
  "arc-endpoint-off": `${head}G0 X0 Y0\nG1 Z-3 F300\nG2 X10 Y0 I4.9995 J0${tail}`,
  "arc-radius-too-small": `${head}G0 X0 Y0\nG1 Z-3 F300\nG2 X10 Y0 R4.999${tail}`,
  "modal-conflict": `${head}G90 G21 G17 G94 M3 M8${tail}`,
  "number-malformed": `${head}G1 X+.5 Y-1. F100${tail}`,
  "comment-unclosed": `${head}(up) G0 Z6 ; (open${tail}`,
  "comment-nested": `${head}(up) (down)${tail}`,
  "word-unknown": `${head}(E5) ; U3${tail}`,
  "word-repeated": `${head}G1 G90 X1 Y1 F100${tail}`,
  "line-not-reviewed": groove(-3),
  "machine-place-unknown": `${head}G54 G0 X1${tail}`,
  "thickness-unknown": groove(-3),
  "nothing-to-cut": groove(-0.1),
  "skin-cut-away": `${head}(cutwright: leaves 2 mm)\nG0 X0 Y0\nG1 Z-16 F300\nG1 X100 F1200${tail}`,
  "declaration-unused": `${head}(cutwright: partway)\nG0 X0 Y0\nG1 Z-9 F300\nG1 X100 F1200${tail}`,
  "silence-unused": springPass("(cutwright: silence pass-repeated because spring pass)"),
  "declaration-unclear": "(cutwright: thickness 18.3 mm)\nG21 G0 X1\nM30",
  "silence-without-reason": "(cutwright: silence pass-repeated because spring pass)\nG21 G0 X1\nM30",
};
/** Rules that speak of the job file; tested with one. */
const jobRules = ["job-unreadable", "job-invalid", "job-ambiguous"];

describe.each(rules.map((rule) => [rule.id, rule] as const))("%s", (id, rule) => {
  if (!jobRules.includes(id)) {
    it("fires on its example", () => {
      expect(reviewText(rule.example).findings.map((f) => f.rule)).toContain(id);
    });

    it("stays quiet on the near miss", () => {
      expect(nearMisses[id], "a near miss is written for it").toBeDefined();
      const review = reviewText(nearMisses[id]);
      expect(review.findings.filter((f) => f.rule === id)).toEqual([]);
    });
  }

  it("has a page that is up to date (npm run docs)", () => {
    expect(readFileSync(new URL(`../../docs/rules/${id}.md`, import.meta.url), "utf8")).toBe(rulePage(rule));
  });
});

it("the index of rules is up to date (npm run docs)", () => {
  expect(readFileSync(new URL("../../docs/rules/README.md", import.meta.url), "utf8")).toBe(
    ruleIndexPage(rules),
  );
});

describe("rules of the job file", () => {
  it("job-unreadable on broken JSON, not on comments and trailing commas", () => {
    const job = (text: string) =>
      reviewText("G21 G0 X1\nM30", { file: "bench.job.json", text }).findings.map((f) => f.rule);
    expect(job('{ "boards": {')).toContain("job-unreadable");
    expect(job('{ /* board */ "boards": { "a": { "thickness": "18 mm", } }, }')).not.toContain(
      "job-unreadable",
    );
  });

  it("job-invalid on a wrong type, not on a fraction of an inch", () => {
    const job = (thickness: string) =>
      reviewText("G21 G0 X1\nM30", {
        file: "bench.job.json",
        text: `{ "programs": ["bench.nc"], "boards": { "a": { "thickness": ${thickness} } } }`,
      }).findings.filter((f) => f.rule === "job-invalid");
    expect(job('"thick"')).toHaveLength(1);
    expect(job('"3/4 in"')).toEqual([]);
  });

  it("job-invalid on a severity for a rule that does not exist", () => {
    const told = (rules: Record<string, string>) =>
      reviewText("G21 G0 X1\nM30", undefined, { rules }).findings.filter((f) => f.rule === "job-invalid");
    expect(told({ "pass-repeatd": "off" })).toHaveLength(1);
    expect(told({ "pass-repeated": "off" })).toEqual([]);
  });

  it("job-ambiguous where several boards are declared and none is chosen", () => {
    const job = (board: string) =>
      reviewText("G21 G0 X1\nM30", {
        file: "bench.job.json",
        text: `{ "programs": ["bench.nc"], ${board} "boards": { "a": { "thickness": "18 mm" }, "b": { "thickness": "12 mm" } } }`,
      }).findings.filter((f) => f.rule === "job-ambiguous");
    expect(job("")).toHaveLength(1);
    expect(job('"board": "b",')).toEqual([]);
  });
});

describe("severity and silence", () => {
  it("a silence with a reason moves the finding aside, and only that rule's", () => {
    const review = reviewText(springPass("(cutwright: silence pass-repeated because spring pass)"));
    expect(review.silenced.map((s) => [s.finding.rule, s.silence.reason])).toEqual([
      ["pass-repeated", "spring pass"],
    ]);
    expect(review.findings).toEqual([]);
    const other = reviewText(springPass("(cutwright: silence bed-cut-deep because of nothing)"));
    expect(other.findings.map((f) => f.rule).sort()).toEqual(["pass-repeated", "silence-unused"]);
  });

  it("settings turn a rule off or change how serious it is", () => {
    const text = "G90\nG0 X1\nM30";
    const severityOf = (rules: Record<string, string>) =>
      reviewText(text, undefined, { rules })
        .findings.filter((f) => f.rule === "units-not-stated")
        .map((f) => f.severity);
    expect(severityOf({})).toEqual(["warning"]);
    expect(severityOf({ "units-not-stated": "error" })).toEqual(["error"]);
    expect(severityOf({ "units-not-stated": "off" })).toEqual([]);
  });
});

import { describe, expect, it } from "vitest";
import { reviewText } from "../../server/src/report/text.ts";
import { readProgram } from "../../server/src/language/read.ts";
import type { Tab } from "../../server/src/cuts/cuts.ts";
import { linesText, readingText, writtenLines } from "../../server/src/report/verdict.ts";
import { hostile, sampleFinding, sampleJob, sampleReview, sampleText } from "./report-fixture.ts";

// eslint-disable-next-line no-control-regex -- control characters are what is looked for
const controls = /[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u200b-\u200f\u2028-\u202e\u2060-\u2069]/;

describe("review as text", () => {
  it("names the facts with their sources and the allowance with its terms", () => {
    const text = reviewText([sampleReview()], { width: 200 });
    expect(text).toContain("20 lines, 13 motions, 2 operations with 3 cuts, about 1 min 12 s");
    expect(text).toContain('Board "prototype": 18.60 mm thick (comment in line 1); 320.00 mm x 220.00 mm');
    expect(text).toContain("Through allowance: 0.30 mm by worst case");
    expect(text).toMatch(/measuring error +0\.10 mm +seed-board\.job\.json/);
  });

  it("says once what several lines have in common, with the remedy", () => {
    const text = reviewText([sampleReview()], { width: 200 });
    expect(text.match(/0\.60 mm stays under it/g)).toHaveLength(1);
    expect(text).toContain("lines 8 and 11: Drilled hole");
    expect(text).toContain("What to do: Cut deeper by what is left");
  });

  it("puts the most serious first", () => {
    const warning = sampleFinding(sampleText, 2, { rule: "program-end-missing", severity: "warning" });
    const text = reviewText([sampleReview({ findings: [warning, sampleFinding(sampleText, 8)] })]);
    expect(text.indexOf("Errors")).toBeGreaterThan(0);
    expect(text.indexOf("Warnings")).toBeGreaterThan(text.indexOf("Errors"));
  });

  it("tells how each cut comes out", () => {
    const text = reviewText([sampleReview()], { width: 200 });
    expect(text).toMatch(
      /Seed holes +8-11 +T1 +2 drilled holes +Z-18\.00 mm +through \(inferred\) +0\.60 mm stays/,
    );
    expect(text).toMatch(/Rebate .*1 slot .*partway, leaves 12\.00 mm \(declared\) +leaves 12\.60 mm/);
  });

  it("ends with a verdict that says that all was read", () => {
    const last = reviewText([sampleReview()]).trimEnd().split("\n").slice(-2);
    expect(last).toEqual([
      "Not ready to run: 2 errors. 0 of 2 cuts meant to go through do.",
      "All 20 lines were read.",
    ]);
  });

  it("does not call a cut through that is not sure to be", () => {
    const base = sampleReview();
    const cuts = base.tree.cuts.map((cut) => (cut.index < 2 ? { ...cut, bottom: -18.7 } : cut));
    const text = reviewText(
      [
        sampleReview({
          tree: { ...base.tree, cuts },
          skins: [],
          findings: [sampleFinding(sampleText, 8, { rule: "through-cut-marginal", severity: "warning" })],
          summary: { ...base.summary, shortCuts: 0, clearedCuts: 2 },
        }),
      ],
      { width: 300 },
    );
    expect(text).toContain("2 of 2 cuts meant to go through do, 1 of them not surely.");
    expect(text).toContain("not sure: 0.10 mm below the underside, 0.30 mm needed");
  });

  it("never lets an unread line pass as read", () => {
    const text = sampleText.replace("G1 X100 F1200", "G1 X[10 + 5] F1200");
    const base = sampleReview({ findings: [] }, text);
    const report = reviewText([base], { width: 300 });
    expect(report).toContain("NOT all of 20 lines were understood: line 16.");
    expect(report).not.toContain("All 20 lines were read");
  });

  it("lists every line that was not executed or that puts what follows in doubt", () => {
    const bad = [
      "G1 X1.2.3", // number-malformed
      "G1 X1 !", // word-unknown
      "G1 X1 X2", // word-repeated
      "G1 X3 (open", // comment-unclosed
      "G0 G1 X4", // modal-conflict
      "G1 X5",
      "G1 X[1]", // line-not-reviewed
      "G1 X6 (a (nested)", // told, but nothing is in doubt for it
    ];
    const text = `G21 G90\nG0 X0 Y0 Z5\n${bad.join("\n")}\nM30\n`;
    const review = sampleReview({ findings: [] }, text);
    const rules = [...review.program.problems, ...review.toolpath.problems].map(({ rule }) => rule);
    expect(new Set(rules)).toEqual(
      new Set([
        "number-malformed",
        "word-unknown",
        "word-repeated",
        "comment-unclosed",
        "modal-conflict",
        "line-not-reviewed",
        "comment-nested",
      ]),
    );
    expect(readingText(review)).toBe(
      "NOT all of 11 lines were understood: lines 3 to 7 and 9. What follows line 3 may be wrong.",
    );
  });

  it("names lines in plain words", () => {
    expect(linesText([13, 13])).toBe("line 13");
    expect(linesText([14, 13])).toBe("lines 13 and 14");
    expect(linesText([4, 5, 6, 9, 12])).toBe("lines 4 to 6, 9 and 12");
    const odd = Array.from({ length: 14 }, (_, i) => 2 * i + 1);
    expect(linesText(odd)).toBe("lines 1, 3, 5, 7, 9, 11, 13, 15, 17, 19, 21, 23 and 2 more places");
  });

  it("counts lines as an editor's user does", () => {
    const counts = ["", "G21", "G21\n", "G21\r\nG90\r\n", "\n\n"].map((text) =>
      writtenLines(readProgram(text)),
    );
    expect(counts).toEqual([0, 1, 1, 2, 2]);
  });

  it("speaks of short times and of nothing below the underside in words", () => {
    const base = sampleReview();
    const cuts = base.tree.cuts.map((cut) => (cut.index === 2 ? { ...cut, bottom: -18.6 } : cut));
    const summary = { ...base.summary, feedSeconds: 0.2, rapidSeconds: 0.2 };
    const text = reviewText([sampleReview({ tree: { ...base.tree, cuts }, summary })], { width: 300 });
    expect(text).toContain("3 cuts, under 1 s at the programmed feeds");
    expect(text).toContain("ends at the underside (meant 12.00 mm)");
    expect(text).not.toContain("0.00 mm below");
  });

  it("tells how many tabs a cut has", () => {
    const base = sampleReview();
    const tab = { firstMotion: 9, endMotion: 10 } as Tab;
    const passes = base.tree.passes.map((pass) => (pass.index === 2 ? { ...pass, tabs: [tab, tab] } : pass));
    const text = reviewText([sampleReview({ tree: { ...base.tree, passes } })], { width: 300 });
    expect(text).toContain("1 slot, 2 tabs");
  });

  it("says that rules are switched off", () => {
    const job = {
      ...sampleJob,
      severities: { "pass-repeated": "off", "rapid-in-material": "warning" },
    } as const;
    expect(reviewText([sampleReview({ job })], { width: 300 })).toContain(
      "Switched off: pass-repeated (job file or settings).",
    );
    expect(reviewText([sampleReview()])).not.toContain("Switched off");
  });

  it("shows lengths of an inch program in inches", () => {
    const text = reviewText([sampleReview({ findings: [] }, sampleText.replace("G21", "G20"))], {
      width: 300,
    });
    expect(text).toContain("0.7323 in thick");
    expect(text).not.toMatch(/\d mm/);
  });

  it("lets no text steer the terminal or reorder the line", () => {
    const base = sampleReview();
    const { operations } = base.tree;
    const report = reviewText([
      sampleReview({
        file: `${hostile}.nc`,
        tree: { ...base.tree, operations: [{ ...operations[0], name: hostile }, operations[1]] },
        findings: [sampleFinding(sampleText, 8, { message: hostile, file: `${hostile}.nc` })],
        job: { ...sampleJob, stock: { ...sampleJob.stock, name: hostile } },
        silenced: [
          {
            finding: sampleFinding(sampleText, 8),
            silence: { rule: "through-cut-short", line: 6, appliesTo: 7, reason: hostile },
          },
        ],
        summary: { ...base.summary, notJudged: [hostile] },
      }),
    ]);
    expect(report).not.toMatch(controls);
    expect(report).toContain("\\u001b[31m");
  });

  it("uses colours only when asked to", () => {
    expect(reviewText([sampleReview()])).not.toContain("\u001b");
    expect(reviewText([sampleReview()], { color: true })).toContain("\u001b[");
  });

  it("keeps to the width", () => {
    const prose = reviewText([sampleReview()], { width: 72 }).split("\nCuts\n")[0];
    for (const line of prose.split("\n")) expect(line.length).toBeLessThanOrEqual(72);
  });
});

/**
 * Common practice, no source: stock measured with calipers still leaves material under the last pass, and cutting
 * 0.1 in (2.54 mm) deeper cures it. Here: the demo board, 18.0 mm by its programs and 18.6 mm in fact.
 */
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { loadReview } from "../../server/src/report/load-review.ts";
import type { Review } from "../../server/src/review/review.ts";
import { demoPrograms } from "../jobs/make-demo-jobs.mjs";

const pathOf = (name: string) => fileURLToPath(new URL(`../jobs/${name}`, import.meta.url));
const inside = pathOf("seed-board/seed-board-inside.nc");
const outline = pathOf("seed-board/seed-board-outline.nc");

/** Reviews one program of the job with its programs' last level somewhere else. */
function reviewAt(file: string, bottom: number): Review {
  const deepened = (name: string) =>
    name.endsWith(".nc")
      ? readFileSync(name, "utf8").replaceAll("Z-18 ", `Z${bottom} `).replaceAll("Z-18\n", `Z${bottom}\n`)
      : undefined;
  return loadReview(file, { readText: deepened });
}

const rulesOf = (review: Review) => [...new Set(review.findings.map((finding) => finding.rule))];

describe("the demo board", () => {
  it("falls short by 0.6 mm at each hole, and says nothing of the rebate", () => {
    const review = loadReview(inside);
    expect(rulesOf(review)).toEqual(["through-cut-short"]);
    expect(review.findings).toHaveLength(20);
    for (const finding of review.findings) expect(finding.values?.left).toBeCloseTo(0.6, 9);
    const rebate = review.tree.cuts.find((cut) => cut.kind === "pocket");
    expect([rebate?.intent.goes, rebate?.bottom]).toEqual(["partway", -6]);
    expect(review.findings.some((finding) => finding.cut === rebate?.index)).toBe(false);
  });

  it("falls short by 0.6 mm at the outline, tabs or not", () => {
    const review = loadReview(outline);
    expect(rulesOf(review)).toEqual(["through-cut-short"]);
    expect(review.findings[0].values?.left).toBeCloseTo(0.6, 9);
    expect(review.tree.passes.at(-1)?.tabs).toHaveLength(4);
  });

  it("2.54 mm more depth clears both, and flags nothing else", () => {
    for (const file of [inside, outline]) {
      const review = reviewAt(file, -18 - 2.54);
      expect(review.findings.map((finding) => finding.message)).toEqual([]);
      expect(review.summary.clearedCuts).toBe(review.summary.throughCuts);
      expect(review.summary.throughCuts).toBeGreaterThan(0);
    }
  });

  it("a cut just below the underside is through, but not surely", () => {
    const review = reviewAt(inside, -18.7);
    expect(rulesOf(review)).toEqual(["through-cut-marginal"]);
    expect(review.findings[0].values?.overcut).toBeCloseTo(0.1, 9);
  });

  it("the verdict does not depend on the cell size", () => {
    for (const bottom of [-18.599, -18.601]) {
      const review = reviewAt(outline, bottom);
      expect(rulesOf(review)).toEqual([bottom > -18.6 ? "through-cut-short" : "through-cut-marginal"]);
    }
  });

  it("on the production board of 17.8 mm the same programs go through", () => {
    const review = loadReview(inside, { board: "production" });
    expect(rulesOf(review)).toEqual(["through-cut-marginal"]);
    expect(review.summary.shortCuts).toBe(0);
  });

  it("is what its generator writes", () => {
    for (const [name, make] of Object.entries(demoPrograms)) {
      expect(readFileSync(pathOf(name), "utf8")).toBe(make());
    }
  });
});

describe("the label rack: nothing declared", () => {
  it("says first that the thickness is not known, and offers both declarations", () => {
    const review = loadReview(pathOf("label-rack/label-rack.nc"));
    const first = review.findings[0];
    expect([first.rule, first.line]).toEqual(["thickness-unknown", 1]);
    expect(first.fixes?.map((fix) => fix.kind)).toEqual(["declare-thickness", "create-job"]);
    expect(review.findings.filter((finding) => finding.rule === "tool-undeclared")).toHaveLength(3);
    expect(review.summary.allRead).toBe(true);
  });
});

import { describe, expect, it } from "vitest";
import { reviewJson } from "../../server/src/report/json.ts";
import { hostile, sampleFinding, sampleReview, sampleText } from "./report-fixture.ts";

describe("review as JSON", () => {
  it("holds the findings of all files at the top with the contract's keys", () => {
    const whole = JSON.parse(reviewJson([sampleReview(), sampleReview({ file: "second.nc" })]));
    expect(whole.version).toBe(1);
    expect(whole.findings).toHaveLength(4);
    expect(whole.findings[0]).toMatchObject({
      rule: "through-cut-short",
      severity: "error",
      file: "seed-board.nc",
      line: 8,
      endLine: 8,
      at: [20, 20, -18],
      values: { left: 0.6 },
    });
    expect(whole.findings[2].file).toBe("second.nc");
  });

  it("holds the facts with sources, the cuts with results, and what was silenced", () => {
    const silence = { rule: "through-cut-short", line: 6, appliesTo: 7, reason: "the skin holds the part" };
    const { reviews } = JSON.parse(
      reviewJson([sampleReview({ silenced: [{ finding: sampleFinding(sampleText, 8), silence }] })]),
    );
    expect(reviews[0].job.stock.thickness).toEqual({
      value: 18.6,
      source: { kind: "comment", file: "seed-board.nc", line: 1 },
    });
    expect(reviews[0].cuts.map((cut: { result: string }) => cut.result)).toEqual([
      "short",
      "short",
      "partway",
    ]);
    expect(reviews[0].cuts[0].left).toBeCloseTo(0.6, 9);
    expect(reviews[0].operations[1]).toMatchObject({
      name: "Rebate",
      tool: { number: 1, diameter: 6, assumed: false },
    });
    expect(reviews[0].silenced[0]).toMatchObject({ silencedAt: 7, reason: "the skin holds the part" });
  });

  it("tells the columns of the exact words, and none where they are not known", () => {
    const jobText = `${"{\n".repeat(8)}  "thickness": 18.6\n`;
    const start = jobText.indexOf('"thickness"');
    const message = "The board is 18.60 mm thick.";
    const file = "/shop/jobs/seed-board.job.json";
    const related = [{ file, line: 9, start, end: start + 11, message }];
    const finding = sampleFinding(sampleText, 8, { related });
    const shifted = { ...finding, start: finding.start + 3 };
    const textOf = (name: string) => (name === file ? jobText : undefined);
    const { findings } = JSON.parse(reviewJson([sampleReview({ findings: [shifted] })], [], textOf));
    // `Z-18` of the line `G1 Z-18 F300`: its fourth to seventh character, then one past.
    expect(findings[0]).toMatchObject({ line: 8, column: 4, endColumn: 8 });
    expect(findings[0].related).toEqual([{ file, line: 9, column: 3, endColumn: 14, message }]);
    const bare = JSON.parse(reviewJson([sampleReview({ findings: [shifted] })])).findings[0];
    expect(bare.related).toEqual([{ file, line: 9, message }]);
  });

  it("tells of inputs that could not be read", () => {
    const whole = JSON.parse(reviewJson([], [{ file: "gone.nc", message: "gone.nc: no such file." }]));
    expect(whole.unread).toEqual([{ file: "gone.nc", message: "gone.nc: no such file." }]);
  });

  it("keeps text as it is, with no raw control character", () => {
    const json = reviewJson([
      sampleReview({ findings: [sampleFinding(sampleText, 8, { message: hostile })] }),
    ]);
    expect(json).not.toMatch(/[\u007f-\u009f\u202e\u2028]/);
    expect(JSON.parse(json).findings[0].message).toBe(hostile);
  });
});

import { createHash } from "node:crypto";
import { describe, expect, it } from "vitest";
import { escapeHtml } from "../../server/src/report/html.ts";
import { makeScene } from "../../server/src/report/make-scene.ts";
import { reviewPage } from "../../server/src/report/review-page.ts";
import { decodeScene } from "../../server/src/report/scene-codec.ts";
import { setupSheet } from "../../server/src/report/setup-sheet.ts";
import { hostile, sampleFinding, sampleJob, sampleReview, sampleText } from "./report-fixture.ts";

// eslint-disable-next-line no-control-regex -- control characters are what is looked for
const hidden = /[\u001b\u009b\u202e\u2028]/;
const hash = (content: string) => `'sha256-${createHash("sha256").update(content).digest("base64")}'`;
const between = (page: string, start: string, end: string) => {
  const from = page.indexOf(start) + start.length;
  return page.slice(from, page.indexOf(end, from));
};

function hostileReview() {
  const base = sampleReview();
  return sampleReview(
    {
      file: `${hostile}.nc`,
      findings: [sampleFinding(sampleText, 8, { message: hostile, file: `${hostile}.nc` })],
      tree: {
        ...base.tree,
        operations: base.tree.operations.map((operation) => ({ ...operation, name: hostile })),
      },
      job: {
        ...sampleJob,
        jobFile: `/shop/${hostile}.job.json`,
        stock: {
          ...sampleJob.stock,
          name: hostile,
          material: { value: hostile, source: { kind: "job", file: hostile } },
        },
      },
      summary: { ...base.summary, notJudged: [hostile] },
    },
    `(${hostile})\n${sampleText}`,
  );
}

describe("review page", () => {
  const page = reviewPage(makeScene(sampleReview()), "console.log('</script>');", "main { color: red; }");

  it("lets only its own script and style run", () => {
    const policy = between(page, 'http-equiv="Content-Security-Policy" content="', '"');
    expect(policy).toContain("default-src 'none'");
    expect(policy).toContain(`script-src ${hash(between(page, "<script>", "</script>"))}`);
    expect(policy).toContain(`style-src ${hash(between(page, "<style>", "</style>"))}`);
    expect(policy).not.toContain("unsafe");
    expect(page).not.toMatch(/(src|href)="http/);
  });

  it("holds the scene where the cut view finds it, whole", () => {
    const json = between(page, '<script type="application/json" id="cutwright-scene">', "</script>");
    expect(decodeScene(json)).toEqual(makeScene(sampleReview()));
    expect(page).toContain('<main id="cutwright-view">');
  });

  it("tells the findings without a script", () => {
    expect(page).toContain(
      "<b>lines 8 and 11:</b> Drilled hole in &quot;Seed holes&quot; will not go through",
    );
    expect(page).toContain("Not ready to run: 2 errors.");
  });

  it("lets nothing in a program or job become markup", () => {
    const bad = reviewPage(makeScene(hostileReview()), "", "");
    expect(bad.match(/<script/g)).toHaveLength(2);
    expect(bad.match(/<\/script>/g)).toHaveLength(2);
    expect(bad).not.toContain("<img");
    expect(bad).not.toMatch(hidden);
    const json = between(bad, '<script type="application/json" id="cutwright-scene">', "</script>");
    expect(decodeScene(json).lines[0]).toContain("</script><img src=x");
  });

  it("escapes quotes too", () => {
    expect(escapeHtml(`<a b="c" d='e'>&`)).toBe("&lt;a b=&quot;c&quot; d=&#39;e&#39;&gt;&amp;");
  });
});

describe("setup sheet", () => {
  const sheet = setupSheet([sampleReview()]);

  it("tells stock, zero, tools, allowance, cuts and findings to tick", () => {
    expect(sheet).toContain("<b>18.60 mm</b> <small>comment in line 1</small>");
    expect(sheet).toContain("X0 Y0 10.00 mm right of and 10.00 mm above the lower-left corner");
    expect(sheet).toContain("flat, 6.00 mm, 2 flutes, cutting length 25.00 mm");
    expect(sheet).toContain("18000 /min");
    expect(sheet).toMatch(/measuring error<\/th><td class="number">0\.10 mm/);
    expect(sheet).toContain("worst case (judges)");
    expect(sheet).toMatch(/<td>2 drilled holes<\/td>.*0\.60 mm stays/);
    expect(sheet.match(/<li><span class="box"/g)).toHaveLength(1);
    expect(sheet).toContain("The machine's manual and your local rules come first");
  });

  it("draws the board, its zero, the screw, four places to measure and the operations by number", () => {
    const plan = between(sheet, '<svg class="plan"', "</svg>");
    expect(plan).toContain('<rect class="board" x="0" y="0" width="320" height="220"');
    expect(plan.match(/class="measure-text"/g)).toHaveLength(4);
    expect(plan.match(/class="badge"/g)).toHaveLength(2);
    // The screw at X5 Y5: 15 right of the corner, and 220 - 15 down in a drawing whose Y points down.
    expect(plan).toContain('<circle class="keep-out" cx="15" cy="205" r="8"');
    expect(plan).toContain('stroke-width="6"');
    expect(plan).not.toContain("NaN");
  });

  it("runs no script and prints", () => {
    expect(sheet).not.toContain("<script");
    expect(sheet).toContain("@page");
    expect(between(sheet, 'http-equiv="Content-Security-Policy" content="', '"')).not.toContain("script-src");
  });

  it("asks for the thickness where none is declared", () => {
    const { name, zero } = sampleJob.stock;
    const open = setupSheet([
      sampleReview({ job: { ...sampleJob, stock: { name: name ?? "", zero } }, skins: [] }),
    ]);
    expect(open).toContain("<b>not declared</b>: measure it");
  });

  it("lets nothing in a program or job become markup", () => {
    const bad = setupSheet([hostileReview()]);
    expect(bad).not.toContain("<script");
    expect(bad).not.toContain("<img");
    expect(bad).not.toMatch(hidden);
  });

  it("gives programs on another board a part of their own", () => {
    const other = { ...sampleJob, stock: { ...sampleJob.stock, name: "production" } };
    const two = setupSheet([sampleReview(), sampleReview({ file: "b.nc" }), sampleReview({ job: other })]);
    expect(two.match(/<svg class="plan"/g)).toHaveLength(2);
  });
});

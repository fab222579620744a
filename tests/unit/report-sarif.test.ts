import { readFileSync } from "node:fs";
import Ajv from "ajv";
import addFormats from "ajv-formats";
import { describe, expect, it } from "vitest";
import { rules } from "../../server/src/review/rules/index.ts";
import { reviewSarif } from "../../server/src/report/sarif.ts";
import { hostile, sampleFinding, sampleReview, sampleText } from "./report-fixture.ts";

// Source: the schema that OASIS publishes with SARIF 2.1.0; see schemas/README.md. It is draft-04; of what
// changed since only the name of "id" occurs in it.
const { $schema, id, ...schema } = JSON.parse(
  readFileSync(new URL("../oracle/schemas/sarif-2.1.0-rtm.5.json", import.meta.url), "utf8"),
);
const ajv = new Ajv({ strict: false, allErrors: true, unicodeRegExp: false });
addFormats.default(ajv);
const validate = ajv.compile({ ...schema, $id: id });

function log(...parameters: Parameters<typeof reviewSarif>) {
  const parsed = JSON.parse(reviewSarif(...parameters));
  expect(validate(parsed), JSON.stringify(validate.errors?.slice(0, 5))).toBe(true);
  return parsed.runs[0];
}

describe("review as SARIF 2.1.0", () => {
  it("is checked by a schema that refuses a wrong log", () => {
    expect($schema).toContain("draft-04");
    expect(validate({ version: "2.1.0", runs: [{ results: [] }] })).toBe(false);
    expect(
      validate({ version: "2.1.0", runs: [{ tool: { driver: { name: "x" } }, columnKind: "bytes" }] }),
    ).toBe(false);
  });

  it("is valid and names every rule", () => {
    const run = log([sampleReview()], { version: "0.1.0" });
    expect(run.tool.driver.rules.map((rule: { id: string }) => rule.id)).toEqual(
      rules.map((rule) => rule.id),
    );
    const [result] = run.results;
    expect(run.tool.driver.rules[result.ruleIndex].id).toBe("through-cut-short");
    expect(result.level).toBe("error");
    expect(result.locations[0].physicalLocation).toEqual({
      artifactLocation: { uri: "seed-board.nc" },
      region: { startLine: 8, startColumn: 1, endLine: 8, endColumn: 8 },
    });
    expect(result.relatedLocations[0].message.text).toContain("18.60 mm thick");
    expect(result.properties.at).toEqual([20, 20, -18]);
  });

  it("maps information to note", () => {
    const finding = sampleFinding(sampleText, 8, { severity: "info" });
    expect(log([sampleReview({ findings: [finding] })], { version: "0.1.0" }).results[0].level).toBe("note");
  });

  it("keeps silenced findings as suppressed results with the reason", () => {
    const silence = { rule: "through-cut-short", line: 6, appliesTo: 7, reason: "the skin holds the part" };
    const finding = sampleFinding(sampleText, 8);
    const run = log([sampleReview({ findings: [], silenced: [{ finding, silence }] })], { version: "0.1.0" });
    expect(run.results).toHaveLength(1);
    expect(run.results[0].suppressions).toEqual([
      { kind: "inSource", status: "accepted", justification: "the skin holds the part" },
    ]);
  });

  it("counts columns in UTF-16 units and lines by every line end", () => {
    const text = "(\u{1f331} seeds) G1 Z-18\r\nG21\rG90";
    const start = text.indexOf("G1");
    const findings = [
      sampleFinding(text, 1, { start, end: start + 2 }),
      sampleFinding(text, 3, { start: text.indexOf("G90"), end: text.length }),
    ];
    const { results } = log([sampleReview({ findings }, text)], { version: "0.1.0" });
    const regions = results.map(
      (r: { locations: { physicalLocation: { region: object } }[] }) =>
        r.locations[0].physicalLocation.region,
    );
    // The sprout is two units: "(", 2, " seeds) " is 8, so G1 stands in column 12.
    expect(regions[0]).toEqual({ startLine: 1, startColumn: 12, endLine: 1, endColumn: 14 });
    expect(regions[1]).toEqual({ startLine: 3, startColumn: 1, endLine: 3, endColumn: 4 });
  });

  it("gives the columns of a job file where its text is at hand, else only the line", () => {
    const finding = sampleFinding(sampleText, 2, { file: "a.job.json", start: 2, end: 9, line: 2 });
    const review = sampleReview({ findings: [finding] });
    const region = (run: { results: { locations: { physicalLocation: { region: object } }[] }[] }) =>
      run.results[0].locations[0].physicalLocation.region;
    expect(region(log([review], { version: "0.1.0" }))).toEqual({ startLine: 2 });
    const textOf = () => '{\n"units": 3}';
    expect(region(log([review], { version: "0.1.0", textOf }))).toEqual({
      startLine: 2,
      startColumn: 1,
      endLine: 2,
      endColumn: 8,
    });
  });

  it("gives relative, encoded URIs inside the base and absolute ones outside", () => {
    const uriOf = (file: string) =>
      log([sampleReview({ file })], { version: "0.1.0", base: "/shop" }).artifacts[0].location.uri;
    expect(uriOf("/shop/jobs/seed board#1.nc")).toBe("jobs/seed%20board%231.nc");
    expect(uriOf("/other/x.nc")).toBe("file:///other/x.nc");
    expect(uriOf(`${hostile.replaceAll("/", "")}.nc`)).toMatch(/^[\w%.()'*!-]+$/);
  });

  it("says so when an input could not be read and what was not judged", () => {
    const base = sampleReview();
    const review = sampleReview({ summary: { ...base.summary, notJudged: ["Whether cuts go through."] } });
    const unread = [{ file: "gone.nc", message: "gone.nc: no such file." }];
    const [invocation] = log([review], { version: "0.1.0", unread }).invocations;
    expect(invocation.executionSuccessful).toBe(false);
    expect(invocation.toolExecutionNotifications.map((n: { level: string }) => n.level)).toEqual([
      "error",
      "note",
    ]);
  });
});

import { readFileSync } from "node:fs";
import { Ajv } from "ajv";
import draft07 from "ajv/dist/refs/json-schema-draft-07.json" with { type: "json" };
import addFormatsModule from "ajv-formats";
import { parse } from "jsonc-parser";
import { describe, expect, it } from "vitest";
import { draftJob } from "../../server/src/job/draft.ts";
import { resolveJob } from "../../server/src/job/resolve.ts";
import { jobSchemaText } from "../../server/src/job/write-schema.ts";
import { readProgram } from "../../server/src/language/read.ts";

const addFormats = addFormatsModule.default;
const schema = JSON.parse(jobSchemaText()) as Record<string, unknown>;
// Keywords of the editor's JSON service, which draft-07 (section 6.4) lets stand.
const ajv = new Ajv({
  allErrors: true,
  keywords: ["errorMessage", "allowComments", "allowTrailingCommas"],
  allowUnionTypes: true,
});
const valid = ajv.compile(schema);

describe("the schema", () => {
  it("is valid JSON Schema draft-07 (the published meta-schema)", () => {
    expect(schema.$schema).toBe("http://json-schema.org/draft-07/schema#");
    const meta = addFormats(new Ajv({ validateSchema: false, strict: false })).compile({
      ...draft07,
      $id: "draft-07",
    });
    expect(meta(schema), JSON.stringify(meta.errors)).toBe(true);
  });

  it("describes every property, and says of every value what it must be", () => {
    const bare: string[] = [];
    let count = 0;
    const visit = (node: unknown, path: string): void => {
      if (typeof node !== "object" || node === null) return;
      for (const [name, child] of Object.entries(node)) {
        if (path.endsWith("/properties")) {
          count++;
          const { description = "", errorMessage = "" } = child as {
            description?: string;
            errorMessage?: string;
          };
          if (description.length < 10 || (name !== "$schema" && !errorMessage.startsWith("Must be")))
            bare.push(`${path}/${name}`);
        }
        visit(child, `${path}/${name}`);
      }
    };
    visit(schema, "");
    expect(bare).toEqual([]);
    expect(count).toBeGreaterThan(40);
  });

  it("names a title and lets comments and trailing commas stand", () => {
    expect(schema).toMatchObject({ title: "Cutwright job", allowComments: true, allowTrailingCommas: true });
    expect(jobSchemaText()).toMatch(/^\{\n {2}"\$schema"[^]*\}\n$/);
  });

  it.each(["../jobs/seed-board/seed-board.job.json", "../../docs/job-file.md"])(
    "accepts the job file of %s",
    (name) => {
      const file = readFileSync(new URL(name, import.meta.url), "utf8");
      const text = name.endsWith(".md") ? (/```jsonc\n([^]*?)```/.exec(file)?.[1] ?? "") : file;
      expect(valid(parse(text)), JSON.stringify(valid.errors)).toBe(true);
      const [first] = (parse(text) as { programs: (string | { file: string })[] }).programs;
      const programFile = `/shop/${typeof first === "string" ? first : first.file}`;
      const facts = resolveJob({
        programFile,
        program: readProgram("G0 X1"),
        jobFile: { file: "/shop/a.job.json", text },
      });
      expect(facts.problems).toEqual([]);
      expect(facts.stock.thickness?.source.kind).toBe("job");
    },
  );

  it.each([
    { unit: "mm" },
    { units: "cm" },
    { programs: "tray.nc" },
    { programs: [{ name: "tray.nc" }] },
    { boards: { a: { thickness: {} } } },
    { boards: { a: { size: ["1 mm"] } } },
    { boards: { a: { zero: "bottom" } } },
    { tools: [{ number: 1, shape: "flat" }] },
    { tools: [{ number: -1, shape: "flat", diameter: 6 }] },
    { tools: [{ number: 1, shape: "V", diameter: 6, angle: 180 }] },
    { holdDowns: [{ kind: "screw" }] },
    { cuts: [{ operation: "Rebate" }] },
    { rules: { "pass-repeated": "quiet" } },
  ])("refuses %j, and so does the reader", (job) => {
    expect(valid(job)).toBe(false);
    const jobFile = { file: "/shop/a.job.json", text: JSON.stringify(job) };
    const { problems } = resolveJob({ programFile: "/shop/tray.nc", program: readProgram("G0 X1"), jobFile });
    expect(problems.map((p) => p.rule)).toContain("job-invalid");
  });
});

describe("a drafted job file", () => {
  const draft = (units: "mm" | "in") =>
    draftJob({
      programFile: "/shop/tray.nc",
      units,
      extent: [-3, -3, 283.004, 197],
      lowest: -18.2,
      tools: [0, 2, 5],
    });

  it.each(["mm", "in"] as const)("fits the schema and lists the program (%s)", (units) => {
    expect(valid(parse(draft(units))), JSON.stringify(valid.errors)).toBe(true);
  });
});

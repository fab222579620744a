import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { InputError } from "../../server/src/report/input-error.ts";
import { loadInput, loadReview } from "../../server/src/report/load-review.ts";

const folder = mkdtempSync(join(tmpdir(), "cutwright-load-"));
const at = (name: string) => join(folder, name);
const hole = (x: number) =>
  `G21 G90\nT1 M6\nS18000 M3\n(Holes)\nG0 Z5\nG0 X${x} Y20\nG1 Z-10 F300\nG0 Z5\nM30\n`;
const job = {
  programs: ["first.nc", { file: "other.nc", board: "spare" }, "gone.nc", "last.nc"],
  boards: {
    main: { thickness: "18 mm", size: ["100 mm", "40 mm"] },
    spare: { thickness: "12 mm", size: ["100 mm", "40 mm"] },
  },
  board: "main",
};

beforeAll(() => {
  writeFileSync(at("bench.job.json"), JSON.stringify(job));
  writeFileSync(at("first.nc"), hole(20));
  writeFileSync(at("other.nc"), hole(40));
  writeFileSync(at("last.nc"), hole(60));
});
afterAll(() => rmSync(folder, { recursive: true }));

describe("loading a review", () => {
  it("counts the programs that cut the same board before, and only those", () => {
    const { input, missing } = loadInput(at("last.nc"));
    expect(input.earlier?.map((run) => run.file)).toEqual([at("first.nc")]);
    expect(missing).toEqual([at("gone.nc")]);
    expect(loadInput(at("first.nc")).input.earlier).toEqual([]);
    expect(loadInput(at("other.nc")).input.earlier).toEqual([]);
  });

  it("carries them along to a board asked for by name", () => {
    const { input } = loadInput(at("last.nc"), { board: "spare" });
    expect(input.job.stock.thickness?.value).toBe(12);
    expect(input.earlier?.map((run) => [run.file, run.job.stock.name])).toEqual([[at("first.nc"), "spare"]]);
  });

  it("says that an earlier program is missing", () => {
    expect(loadReview(at("last.nc")).summary.notJudged.join(" ")).toContain("gone.nc");
  });

  it("says that a later program may finish what this one leaves", () => {
    const deep = (name: string) => loadReview(at(name), { readText: (file) => texts.get(file) });
    const through = `(cutwright: through)\n`;
    const texts = new Map([
      [at("first.nc"), hole(20).replace("G1 Z-10", `${through}G1 Z-10`)],
      [at("last.nc"), hole(60).replace("G1 Z-10", `${through}G1 Z-10`)],
    ]);
    const first = deep("first.nc");
    expect(first.findings.map(({ rule }) => rule)).toContain("through-cut-short");
    // Not other.nc, which cuts another board, nor gone.nc, which is not there.
    expect(first.summary.notJudged).toContain(
      "Programs after this one in the job (last.nc) are not counted: they may finish what this one leaves.",
    );
    expect(deep("last.nc").summary.notJudged.join(" ")).not.toContain("Programs after this one");
    expect(loadReview(at("first.nc")).summary.notJudged.join(" ")).not.toContain("Programs after this one");
  });

  it("has the material of the earlier programs to start with", () => {
    const { startHeight, field } = loadReview(at("last.nc"));
    expect(Math.min(...(startHeight ?? []))).toBe(-10);
    expect(field?.setBy.includes(-2)).toBe(true);
  });

  it("reads what is open in the editor instead of the file", () => {
    const open = JSON.stringify({ ...job, boards: { ...job.boards, main: { thickness: "19 mm" } } });
    const texts = new Map([
      [at("last.nc"), hole(70)],
      [at("bench.job.json"), open],
    ]);
    const review = loadReview(at("last.nc"), { readText: (file) => texts.get(file) });
    expect(review.program.text).toContain("X70");
    expect(review.job.stock.thickness?.value).toBe(19);
  });

  it("tells when several job files list the program, and which is taken", () => {
    writeFileSync(at("two.job.json"), JSON.stringify({ programs: ["last.nc"] }));
    const [finding] = loadReview(at("last.nc")).findings.filter(({ rule }) => rule === "job-ambiguous");
    rmSync(at("two.job.json"));
    expect(finding.message).toContain("bench.job.json is taken, not two.job.json");
  });

  it("refuses in plain words what it cannot read", () => {
    expect(() => loadReview(at("none.nc"))).toThrow(InputError);
    expect(() => loadReview(at("last.nc"), { job: at("none.job.json") })).toThrow(
      "none.job.json: no such file",
    );
  });
});

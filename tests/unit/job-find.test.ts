import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { findJobFile } from "../../server/src/job/find.ts";
import { resolveJob } from "../../server/src/job/resolve.ts";
import { readProgram } from "../../server/src/language/read.ts";

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "job-find-"));
});
afterEach(() => rmSync(folder, { recursive: true }));

const put = (name: string, content: string | Uint8Array) => writeFileSync(join(folder, name), content);
const find = () => findJobFile(join(folder, "tray.nc"));
const lists = (...programs: string[]) => JSON.stringify({ programs });
/** The job file's problems as a review would show them. */
const problems = () => {
  const jobFile = find();
  expect(jobFile).toBeDefined();
  const program = readProgram("G0 X1");
  return resolveJob({ programFile: join(folder, "tray.nc"), program, ...(jobFile ? { jobFile } : {}) })
    .problems;
};

describe("findJobFile", () => {
  it("finds the one that lists the program, whatever its name", () => {
    put("a.job.json", lists("other.nc"));
    put("b.job.json", '{ /* in order */ "programs": [{ "file": "./tray.nc" },] }');
    put("tray.json", lists("tray.nc"));
    expect(find()).toMatchObject({ file: join(folder, "b.job.json"), others: [] });
  });

  it("takes the first by name and names the others", () => {
    for (const name of ["c", "a", "b"]) put(`${name}.job.json`, lists("tray.nc"));
    expect(find()).toMatchObject({
      file: join(folder, "a.job.json"),
      others: [join(folder, "b.job.json"), join(folder, "c.job.json")],
    });
  });

  it("gives none where none lists it, nor without a folder", () => {
    expect(find()).toBeUndefined();
    put("a.job.json", lists("other.nc"));
    put("b.job.json", "{}");
    expect(find()).toBeUndefined();
    expect(findJobFile(join(folder, "gone", "tray.nc"))).toBeUndefined();
  });

  it("does not take a whole job file that lists nothing for this program's", () => {
    put("b.job.json", '{ "boards": {} }');
    expect(find()).toBeUndefined();
  });

  it("passes over what cannot be read where another lists the program", () => {
    put("a.job.json", "{ broken");
    put("b.job.json", new Uint8Array([0xff, 0xfe, 0x7b, 0]));
    mkdirSync(join(folder, "c.job.json"));
    put("d.job.json", lists("tray.nc"));
    expect(find()?.file).toBe(join(folder, "d.job.json"));
  });

  it("a broken one that lists the program is used, with its problem", () => {
    put("a.job.json", '{ "programs": ["tray.nc"], "boards": {');
    put("b.job.json", lists("other.nc"));
    expect(problems()).toMatchObject([{ rule: "job-unreadable", file: join(folder, "a.job.json") }]);
  });

  describe("gives the only one, so that its problem is shown", () => {
    it("where it is no JSON", () => {
      put("a.job.json", "{ broken");
      expect(problems()[0]).toMatchObject({ rule: "job-unreadable" });
    });

    it("where it is UTF-16", () => {
      put("a.job.json", Buffer.from(`\ufeff${lists("tray.nc")}`, "utf16le"));
      expect(problems()).toMatchObject([
        { rule: "job-unreadable", message: "The job file is not read: it is UTF-16 text. Save it as UTF-8." },
      ]);
    });

    it("where it is too large", () => {
      put("a.job.json", lists("tray.nc").padEnd(2_000_001));
      expect(problems()[0].message).toContain("more than 2 MB");
      put("a.job.json", lists("tray.nc").padEnd(2_000_000));
      expect(problems()).toEqual([]);
    });

    it("where it cannot be opened", () => {
      symlinkSync(join(folder, "gone"), join(folder, "a.job.json"));
      expect(problems()[0].message).toContain("ENOENT");
    });
  });

  it("reads a file with a byte order mark, and one in another encoding with its loss told", () => {
    put("a.job.json", `\ufeff${lists("tray.nc")}`);
    expect(problems()).toEqual([]);
    put(
      "a.job.json",
      Buffer.from('{ "programs": ["tray.nc"], "board": "B\u00fcro", "boards": {} }', "latin1"),
    );
    expect(problems()[0]).toMatchObject({ rule: "job-unreadable" });
    expect(problems()[0].message).toContain("Save it as UTF-8");
  });
});

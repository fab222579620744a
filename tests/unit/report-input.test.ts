import {
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  symlinkSync,
  truncateSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { largestInput, readInput } from "../../server/src/report/read-input.ts";
import { writeReport } from "../../server/src/report/write-output.ts";
import { setupSheet } from "../../server/src/report/setup-sheet.ts";
import { sampleReview } from "./report-fixture.ts";

const folder = mkdtempSync(join(tmpdir(), "cutwright-"));
afterAll(() => rmSync(folder, { recursive: true }));

function put(name: string, content: string | Uint8Array): string {
  const file = join(folder, name);
  writeFileSync(file, content);
  return file;
}

describe("reading an input", () => {
  it("reads UTF-8 with and without a mark, and UTF-16 with one", () => {
    const text = "G1 X1 (für Saat)\r\n";
    expect(readInput(put("a.nc", text))).toBe(text);
    expect(readInput(put("b.nc", `\ufeff${text}`))).toBe(text);
    expect(readInput(put("c.nc", Buffer.from(`\ufeff${text}`, "utf16le")))).toBe(text);
    expect(readInput(put("d.nc", Buffer.from(`\ufeff${text}`, "utf16le").swap16()))).toBe(text);
  });

  it("says in plain words why a file cannot be read, with the line", () => {
    expect(() => readInput(join(folder, "gone.nc"))).toThrow(/gone\.nc: no such file\. Check the name/);
    expect(() => readInput(folder)).toThrow("this is a folder");
    expect(() => readInput(put("e.nc", "G21\nG90\nX\u0000"))).toThrow("line 3 holds a zero byte");
    expect(() => readInput(put("f.nc", Uint8Array.from([71, 48, 10, 40, 0xfc, 41, 10])))).toThrow(
      "line 2 is not UTF-8",
    );
    const big = put("big.nc", "");
    truncateSync(big, largestInput + 1);
    expect(() => readInput(big)).toThrow("at most 200 MB");
  });
});

describe("writing a report", () => {
  const sheet = setupSheet([sampleReview()]);

  it("writes over what it wrote, and over nothing else", () => {
    const out = join(folder, "sheet.html");
    writeReport(out, sheet, []);
    writeReport(out, `${sheet} `, []);
    expect(readFileSync(out, "utf8")).toBe(`${sheet} `);
    const other = put("mine.html", "<p>mine</p>");
    expect(() => writeReport(other, sheet, [])).toThrow("was not written by Cutwright");
    expect(readFileSync(other, "utf8")).toBe("<p>mine</p>");
  });

  it("never touches an input, under any name", () => {
    const program = put("p.nc", "G21");
    const link = join(folder, "link.html");
    symlinkSync(program, link);
    expect(() => writeReport(program, sheet, [program])).toThrow("this is an input");
    expect(() => writeReport(link, sheet, [program])).toThrow("this is an input");
    expect(readFileSync(program, "utf8")).toBe("G21");
  });

  it("says so where it cannot write", () => {
    mkdirSync(join(folder, "sub"));
    expect(() => writeReport(join(folder, "sub"), sheet, [])).toThrow("this is a folder");
    expect(() => writeReport(join(folder, "none", "x.html"), sheet, [])).toThrow("folder does not exist");
  });
});

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
import { largestInput, readInput, readJsonInput } from "../../server/src/report/read-input.ts";
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

  it("takes what is not UTF-8 for Windows-1252", () => {
    // WHATWG Encoding Standard, index windows-1252: 0x80 euro sign, 0x96 en dash, from 0xa0 on as Latin-1.
    const bytes = Uint8Array.from([40, 0x80, 0x96, 0xe9, 0xb0, 0xd8, 41, 13, 10, 71, 48]);
    expect(readInput(put("g.nc", bytes))).toBe("(\u20ac\u2013\u00e9\u00b0\u00d8)\r\nG0");
    // The whole upper half, in the order of that index.
    const high = Uint8Array.from({ length: 128 }, (_, i) => 128 + i);
    const text = readInput(put("h.nc", high));
    expect(text).toHaveLength(128);
    expect(text.slice(0, 32)).toBe(
      "\u20ac\u0081\u201a\u0192\u201e\u2026\u2020\u2021\u02c6\u2030\u0160\u2039\u0152\u008d\u017d\u008f\u0090\u2018\u2019\u201c\u201d\u2022\u2013\u2014\u02dc\u2122\u0161\u203a\u0153\u009d\u017e\u0178",
    );
    expect(text.slice(32)).toBe(String.fromCharCode(...high.slice(32)));
  });

  it("takes JSON in UTF-8 only", () => {
    const latin = put("i.json", Uint8Array.from([34, 0xe9, 34]));
    expect(() => readJsonInput(latin)).toThrow("i.json: this is not UTF-8 text");
    expect(readJsonInput(put("j.json", '"\u00e9"'))).toBe('"\u00e9"');
  });

  it("says in plain words why a file cannot be read, with the line", () => {
    expect(() => readInput(join(folder, "gone.nc"))).toThrow(/gone\.nc: no such file\. Check the name/);
    expect(() => readInput(folder)).toThrow("this is a folder");
    expect(() => readInput(put("e.nc", "G21\nG90\nX\u0000"))).toThrow("line 3 holds a zero byte");
    // UTF-16 without a mark, high byte first.
    expect(() => readInput(put("f.nc", Uint8Array.from([0, 71, 0, 48])))).toThrow(
      /line 1 holds a zero byte.*UTF-16 only with a byte order mark/,
    );
    const big = put("big.nc", "");
    truncateSync(big, largestInput + 1);
    expect(() => readInput(big)).toThrow("200 000 001 bytes; at most 200 000 000 are read");
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

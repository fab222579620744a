import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { longest, parseLength, printLength, type Units } from "../../server/src/job/length.ts";

// 1 in = 25.4 mm exactly: international yard and pound agreement, 1959.
describe("parseLength", () => {
  it.each([
    ["18.3 mm", 18.3],
    ["18.3mm", 18.3],
    [" 18 MM ", 18],
    ["1.2 cm", 12],
    ["0.72 in", 18.288],
    ['0.72"', 18.288],
    ["3/4 in", 19.05],
    ["1 1/2 in", 38.1],
    ["1-1/2 in", 38.1],
    ["-10 mm", -10],
    [".5 mm", 0.5],
    ["5. mm", 5],
    ["1/2 inch", 12.7],
  ])("reads %j as %d mm", (text, mm) => {
    expect(parseLength(text, "mm")).toBeCloseTo(mm, 12);
  });

  it("takes bare numbers in the units of the file", () => {
    expect(parseLength("3/4", "in")).toBeCloseTo(19.05, 12);
    expect(parseLength(0.5, "in")).toBeCloseTo(12.7, 12);
    expect(parseLength(12, "mm")).toBe(12);
  });

  it.each([
    "",
    "mm",
    "thick",
    "18,3 mm",
    "1e3 mm",
    "1 18.3 mm",
    "3/0 in",
    "1/2/3 in",
    "18 mm thick",
    "NaN",
    "Infinity mm",
    "10001 mm",
    "400 in",
    "--1 mm",
  ])("refuses %j", (text) => {
    expect(parseLength(text, "mm")).toBeUndefined();
  });

  it.each([NaN, Infinity, -Infinity, 10_001, 1e308])("refuses the number %d", (value) => {
    expect(parseLength(value, "mm")).toBeUndefined();
  });

  it("does not spend long on a long text", () => {
    const begun = performance.now();
    expect(parseLength(`${"1".repeat(1_000_000)}x`, "mm")).toBeUndefined();
    expect(performance.now() - begun).toBeLessThan(100);
  });

  it("never throws, and gives a bounded number or none", () => {
    fc.assert(
      fc.property(fc.oneof(fc.string(), fc.double()), fc.constantFrom<Units>("mm", "in"), (text, units) => {
        const mm = parseLength(text, units);
        expect(mm === undefined || Math.abs(mm) <= longest).toBe(true);
      }),
    );
  });
});

describe("printLength", () => {
  it("is read back to its last digit", () => {
    fc.assert(
      fc.property(
        fc.double({ min: -longest, max: longest, noNaN: true }),
        fc.constantFrom<Units>("mm", "in"),
        (mm, units) => {
          const back = parseLength(printLength(mm, units), units === "mm" ? "in" : "mm");
          // Half of the last printed digit: 0.0001 mm, 0.000001 in.
          expect(Math.abs((back ?? NaN) - mm)).toBeLessThanOrEqual(
            units === "mm" ? 0.5001e-4 : 25.4 * 0.5001e-6,
          );
        },
      ),
    );
  });

  it("has no needless digits", () => {
    expect(printLength(18, "mm")).toBe("18 mm");
    expect(printLength(19.05, "in")).toBe("0.75 in");
  });
});

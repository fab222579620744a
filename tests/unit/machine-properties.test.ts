/** Motions do not depend on how a program is written down. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { motionExtent, motionLength, pointOnMotion } from "../../server/src/machine/geometry.ts";
import { toolpathOf } from "../support/engine.ts";

const number = fc.integer({ min: -99_999, max: 99_999 }).map((n) => n / 1000);
const word = (letter: string) => number.map((n) => `${letter}${n}`);
const block = fc.oneof(
  {
    weight: 4,
    arbitrary: fc.tuple(fc.constantFrom("G0", "G1"), word("X"), word("Y"), word("Z")).map((w) => w.join(" ")),
  },
  {
    weight: 2,
    arbitrary: fc.tuple(fc.constantFrom("G2", "G3"), word("I"), word("J"), word("Z")).map((w) => w.join(" ")),
  },
  { weight: 1, arbitrary: fc.tuple(word("X"), word("Y")).map(([x, y]) => `G99 G81 ${x} ${y} Z-200 R150`) },
  fc.constantFrom("G90", "G91", "G17", "M3 S1000", "M5", "F250", "G4 P1"),
);
const blocks = fc.array(block, { minLength: 1, maxLength: 25 });
const program = (lines: string[]) => ["G21 G90 G17 F100", "G0 X0 Y0 Z0", ...lines, "M30"].join("\n");

/** Everything a motion is, but its line. */
function columns(text: string) {
  const { motions } = toolpathOf(text);
  const { x, y, z, feed, kind, spindle, tool, arcs } = motions;
  return { x, y, z, feed, kind, spindle, tool, sweep: arcs.sweep };
}

describe("motions are unchanged by", () => {
  it.each([
    ["case", (text: string) => text.toLowerCase()],
    ["blanks", (text: string) => text.replace(/[A-Z]/g, (letter) => ` ${letter}\t`)],
    ["no blanks", (text: string) => text.replace(/ /g, "")],
    ["comments", (text: string) => text.replace(/\n/g, " (remark) ; and more\n")],
    [
      "line numbers",
      (text: string) =>
        text
          .split("\n")
          .map((line, i) => `N${i * 10} ${line}`)
          .join("\n"),
    ],
    ["line ends", (text: string) => text.replace(/\n/g, "\r\n")],
    ["leading zeros and trailing decimals", (text: string) => text.replace(/G(\d)\b/g, "G0$1.0")],
  ])("%s", (_, rewrite) => {
    fc.assert(
      fc.property(blocks, (lines) => {
        expect(columns(rewrite(program(lines)))).toEqual(columns(program(lines)));
      }),
      { numRuns: 200 },
    );
  });

  it("the unit they are written in", () => {
    fc.assert(
      fc.property(blocks, (lines) => {
        const metric = program(lines);
        const inches = metric
          .replace(
            /([XYZIJRF])(-?[\d.]+)/g,
            (_, letter: string, value: string) => `${letter}${(Number(value) / 25.4).toFixed(12)}`,
          )
          .replace("G21", "G20");
        const a = columns(metric);
        const b = columns(inches);
        expect(b.x.length).toBe(a.x.length);
        for (const name of ["x", "y", "z", "feed"] as const) {
          a[name].forEach((value, i) => expect(b[name][i]).toBeCloseTo(value, 5));
        }
      }),
      { numRuns: 100 },
    );
  });
});

describe("geometry of motions", () => {
  it("lies within the extent, begins and ends at its places, and is as long as its points are apart", () => {
    fc.assert(
      fc.property(blocks, (lines) => {
        const { motions } = toolpathOf(program(lines));
        for (let i = 0; i < motions.count; i++) {
          const [x0, y0, z0, x1, y1, z1] = motionExtent(motions, i);
          let length = 0;
          let before = pointOnMotion(motions, i, 0);
          const steps = 400;
          for (let k = 1; k <= steps; k++) {
            const point = pointOnMotion(motions, i, k / steps);
            length += Math.hypot(point[0] - before[0], point[1] - before[1], point[2] - before[2]);
            // Centre arcs that end off their circle (told as such) may swing a little wider than either radius.
            if (motions.arc[i] < 0) {
              expect(point[0]).toBeGreaterThanOrEqual(x0 - 1e-9);
              expect(point[0]).toBeLessThanOrEqual(x1 + 1e-9);
              expect(point[1]).toBeGreaterThanOrEqual(y0 - 1e-9);
              expect(point[1]).toBeLessThanOrEqual(y1 + 1e-9);
            }
            expect(point[2]).toBeGreaterThanOrEqual(z0 - 1e-9);
            expect(point[2]).toBeLessThanOrEqual(z1 + 1e-9);
            before = point;
          }
          expect(before).toEqual([motions.x[i + 1], motions.y[i + 1], motions.z[i + 1]]);
          if (motions.dwellSeconds.has(i)) expect(length).toBe(0);
          else expect(Math.abs(length - motionLength(motions, i))).toBeLessThan(1e-3 * Math.max(1, length));
        }
      }),
      { numRuns: 60 },
    );
  });

  it("a quarter arc's extent counts the quarter point inside it", () => {
    const { motions } = toolpathOf("G21 G90 F100\nG0 X10 Y0 Z0\nG3 X-10 Y0 I-10");
    expect(motionExtent(motions, 1)).toEqual([-10, 0, 0, 10, 10, 0]);
    expect(motionLength(motions, 1)).toBeCloseTo(Math.PI * 10, 12);
  });
});

describe("interpreting never fails", () => {
  it("on any text", () => {
    const part = fc.oneof(
      block,
      fc.string({ maxLength: 10 }),
      fc.constantFrom("G28", "G92 X1", "G53", "G2 R1", "T-1 M6", "G83", "P1", "%", "G1 X[1"),
    );
    fc.assert(
      fc.property(fc.array(part, { maxLength: 40 }), (parts) => {
        const { motions, firstMotionOfLine } = toolpathOf(parts.join("\n"));
        for (let i = 0; i <= motions.count; i++) {
          expect(
            Number.isFinite(motions.x[i]) && Number.isFinite(motions.y[i]) && Number.isFinite(motions.z[i]),
          ).toBe(true);
        }
        for (let l = 1; l < firstMotionOfLine.length; l++) {
          expect(firstMotionOfLine[l]).toBeGreaterThanOrEqual(firstMotionOfLine[l - 1]);
        }
      }),
      { numRuns: 1000 },
    );
  });
});

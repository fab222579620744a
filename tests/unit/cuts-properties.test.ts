/** What holds for the tree of every program. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { boardProgram } from "../bench/programs.ts";
import { cutting, group, head, tail, told, type Grouped } from "../support/cuts.ts";
import { motionExtent } from "../../server/src/machine/geometry.ts";

/** A cut as written: shape, size and order; places on a raster so that cuts do not touch. */
interface Piece {
  readonly kind: "slot" | "ring" | "circle" | "hole" | "pocket" | "tabbed";
  readonly levels: number;
  readonly size: number;
  readonly comment: boolean;
}

interface Frame {
  readonly dx: number;
  readonly dy: number;
  readonly mirror: boolean;
}

const piece: fc.Arbitrary<Piece> = fc.record({
  kind: fc.constantFrom("slot", "ring", "circle", "hole", "pocket", "tabbed"),
  levels: fc.integer({ min: 1, max: 4 }),
  size: fc.integer({ min: 14, max: 40 }),
  comment: fc.boolean(),
});

/** The program of some pieces, cut by cut or level by level, moved and mirrored in X. */
function programOf(pieces: readonly Piece[], byLevel: boolean, frame: Frame): string {
  const lines: string[] = [];
  const x = (v: number) => `X${((frame.mirror ? -v : v) + frame.dx).toFixed(4)}`;
  const y = (v: number) => `Y${(v + frame.dy).toFixed(4)}`;
  const level = ({ kind, size }: Piece, place: number, z: number) => {
    const x0 = place * 60;
    const go = (px: number, py: number) => lines.push(`G1 ${x(x0 + px)} ${y(py)} F900`);
    lines.push("G0 Z5", `G0 ${x(x0)} ${y(0)}`, `G1 Z${z} F300`);
    if (kind === "slot") go(size, 3);
    if (kind === "ring")
      for (const [a, b] of [
        [size, 0],
        [size, 12],
        [0, 12],
        [0, 0],
      ])
        go(a, b);
    if (kind === "circle")
      lines.push(`${frame.mirror ? "G2" : "G3"} ${x(x0)} ${y(0)} I${frame.mirror ? -7 : 7} J0`);
    if (kind === "pocket")
      for (let row = 0; row < 5; row++) {
        go(row % 2 ? size : 0, row * 2.5);
        go(row % 2 ? 0 : size, row * 2.5);
      }
    if (kind === "tabbed") {
      go(5, 0);
      lines.push(`G1 Z${z + 0.5}`);
      go(9, 0);
      lines.push(`G1 Z${z}`);
      for (const [a, b] of [
        [size, 0],
        [size, 12],
        [0, 12],
        [0, 0],
      ])
        go(a, b);
    }
    lines.push("G0 Z5");
  };
  if (byLevel) {
    for (let k = 1; k <= 4; k++) pieces.forEach((p, place) => k <= p.levels && level(p, place, -2 * k));
  } else {
    pieces.forEach((p, place) => {
      if (p.comment) lines.push(`(Part ${"abcdefgh"[place]})`);
      for (let k = 1; k <= p.levels; k++) level(p, place, -2 * k);
    });
  }
  return head + lines.join("\n") + tail;
}

const home: Frame = { dx: 0, dy: 0, mirror: false };
const kindOf = {
  slot: "slot",
  ring: "outline",
  circle: "round hole",
  hole: "drilled hole",
  pocket: "pocket",
  tabbed: "outline",
};

/** Ranges, order and membership; throws where one is broken. */
function check({ tree, toolpath }: Grouped): void {
  const { motions } = toolpath;
  const { operations, cuts, passes, passOfMotion } = tree;
  expect(passOfMotion).toHaveLength(motions.count);
  const seen = new Int32Array(motions.count).fill(-1);
  let end = 0;
  passes.forEach((pass, index) => {
    expect(pass.index).toBe(index);
    expect(pass.first).toBeGreaterThanOrEqual(end);
    expect(pass.end).toBeGreaterThan(pass.first);
    end = pass.end;
    seen.fill(index, pass.first, pass.end);
    expect([pass.firstLine, pass.lastLine]).toEqual([motions.line[pass.first], motions.line[pass.end - 1]]);
    expect(pass.bottomMotion).toBeGreaterThanOrEqual(pass.first);
    expect(pass.bottomMotion).toBeLessThan(pass.end);
    expect(cuts[pass.cut].passes).toContain(index);
    for (const tab of pass.tabs) {
      expect(tab.firstMotion).toBeGreaterThan(pass.first);
      expect(tab.endMotion).toBeLessThanOrEqual(pass.end);
      expect(tab.height).toBeGreaterThan(0);
    }
  });
  expect(seen).toEqual(passOfMotion);
  // Every feed below the top is in a pass, no rapid is.
  for (let i = 0; i < motions.count; i++) {
    const cuts = (motions.kind[i] === 1 || motions.kind[i] === 2) && (motions.flags[i] & 3) === 0;
    if (cuts && motionExtent(motions, i)[2] < -1e-3) expect(passOfMotion[i]).toBeGreaterThanOrEqual(0);
    if (motions.kind[i] === 0) expect(passOfMotion[i]).toBe(-1);
  }
  let before = -1;
  cuts.forEach((cut, index) => {
    expect(cut.index).toBe(index);
    expect(cut.passes[0]).toBeGreaterThan(before);
    before = cut.passes[0];
    expect([...cut.passes].sort((a, b) => a - b)).toEqual([...cut.passes]);
    expect(cut.bottom).toBe(Math.min(...cut.passes.map((pass) => passes[pass].bottom)));
    expect(passes[cut.deepestPass].bottom).toBe(cut.bottom);
    const operation = operations[cut.operation];
    expect(operation.cuts).toContain(index);
    expect(operation.tool).toBe(cut.tool);
    for (const pass of cut.passes) {
      expect(passes[pass].cut).toBe(index);
      expect(passes[pass].firstLine).toBeGreaterThanOrEqual(operation.firstLine);
      expect(passes[pass].lastLine).toBeLessThanOrEqual(operation.lastLine);
    }
  });
  expect(operations.flatMap((operation) => operation.cuts)).toEqual(cuts.map((cut) => cut.index));
}

describe("the tree", () => {
  const pieces = fc.array(piece, { minLength: 1, maxLength: 6 });

  it("says what was written, cut by cut or level by level", () => {
    fc.assert(
      fc.property(pieces, fc.boolean(), (written, byLevel) => {
        const result = group(programOf(written, byLevel, home));
        check(result);
        expect(told(result)).toEqual(
          written.map((p) =>
            [kindOf[p.kind], ...Array.from({ length: p.levels }, (_, k) => -2 * (k + 1))].join(" "),
          ),
        );
        result.tree.cuts.forEach((cut, k) => {
          const tabs = written[k].kind === "tabbed" ? 1 : 0;
          for (const pass of cut.passes) expect(result.tree.passes[pass].tabs).toHaveLength(tabs);
        });
      }),
      { numRuns: 150 },
    );
  });

  it("keeps its form when the program is moved and mirrored", () => {
    const place = fc.double({ min: -150, max: 150, noNaN: true });
    fc.assert(
      fc.property(pieces, fc.boolean(), place, place, fc.boolean(), (written, byLevel, dx, dy, mirror) => {
        const here = group(programOf(written, byLevel, home));
        const there = group(programOf(written, byLevel, { dx, dy, mirror }));
        expect(told(there)).toEqual(told(here));
        expect(there.tree.operations.map((o) => o.cuts)).toEqual(here.tree.operations.map((o) => o.cuts));
        expect([...there.tree.passOfMotion]).toEqual([...here.tree.passOfMotion]);
      }),
      { numRuns: 100 },
    );
  });

  it("holds together for any sequence of blocks", () => {
    const number = fc.integer({ min: -8, max: 8 });
    const block = fc.oneof(
      fc
        .tuple(fc.constantFrom("G0", "G1", "G1", "G1"), number, number, number)
        .map(([g, a, b, c]) => `${g} X${a} Y${b} Z${c}`),
      fc.tuple(fc.constantFrom("G0", "G1"), number).map(([g, c]) => `${g} Z${c}`),
      fc.tuple(number, number).map(([a, b]) => `G1 X${a} Y${b}`),
      fc.tuple(fc.constantFrom("G2", "G3"), number, number).map(([g, a, c]) => `${g} X${a} Y${a} Z${c} R20`),
      fc.constantFrom(
        "G4 P1",
        "T2 M6",
        "T1 M6",
        "(Slots)",
        "(pass 2)",
        "G28",
        "G18 G2 X3 Z3 R9",
        "G17",
        "G81 X1 Y2 Z-4 R1",
        "G80",
        "G92 X0",
      ),
    );
    const heads = [
      head,
      "G21 G90\n",
      "(cutwright: zero bed)\nG21 G90 F600\n",
      "(cutwright: zero bed; thickness 4 mm)\nG21 G90 F600\n",
    ];
    fc.assert(
      fc.property(fc.array(block, { maxLength: 40 }), fc.constantFrom(...heads), (blocks, start) => {
        const result = group(start + blocks.join("\n") + tail);
        const known = result.job.stock.zero.value === "top";
        if (known) check(result);
        else expect(result.tree.passOfMotion).toHaveLength(result.toolpath.motions.count);
      }),
      { numRuns: 300 },
    );
  });
});

it("a large program is grouped by its levels, in time that grows with its length", () => {
  const small = group(boardProgram(20_000));
  check(small);
  expect(small.tree.cuts[0].kind).toBe("pocket");
  const seconds = (lines: number) => {
    const text = boardProgram(lines);
    const start = process.cpuUsage();
    group(text);
    return process.cpuUsage(start).user / 1e6;
  };
  seconds(30_000);
  // Eight times the motions: far from the sixty-four times of a comparison of all with all.
  expect(seconds(160_000)).toBeLessThan(25 * Math.max(seconds(20_000), 0.02));
});

it("many small cuts stay cheap: 6000 holes and their second level", () => {
  const lines: string[] = [];
  for (const z of [-2, -4]) {
    for (let k = 0; k < 6000; k++)
      lines.push(`G0 X${(k % 100) * 2} Y${Math.floor(k / 100) * 2}`, `G1 Z${z} F300`, "G0 Z2");
  }
  const start = process.cpuUsage();
  const result = cutting(...lines);
  expect(process.cpuUsage(start).user / 1e6).toBeLessThan(5);
  expect(result.tree.cuts).toHaveLength(6000);
  expect(result.tree.cuts.every((cut) => cut.passes.length === 2 && cut.kind === "drilled hole")).toBe(true);
});

import { describe, expect, it } from "vitest";
import { readProgram } from "../../server/src/language/read.ts";
import { interpret } from "../../server/src/machine/interpret.ts";
import { motionsJsonLines } from "../../server/src/report/motions-lines.ts";
import { sampleJob } from "./report-fixture.ts";

function lines(text: string) {
  const toolpath = interpret(readProgram(text), sampleJob.machine);
  return [...motionsJsonLines(toolpath)].map((line) => {
    expect(line.endsWith("\n")).toBe(true);
    return JSON.parse(line);
  });
}

describe("motions as JSON lines", () => {
  it("gives straight motions their fields and no more", () => {
    const motions = lines("G21 G90\nT2 M6\nS9000 M4\nG0 X0 Y0 Z5\nG1 Z-2 F300\nG1 X10 F1200\nM30");
    expect(motions[0]).toMatchObject({ kind: "rapid", startUnknown: true });
    expect(motions.at(-1)).toEqual({
      line: 6,
      kind: "feed",
      from: [0, 0, -2],
      to: [10, 0, -2],
      feed: 1200,
      tool: 2,
      spindle: -9000,
    });
  });

  it("gives numbers to a millionth", () => {
    // 0.1 + 0.2 by increments, which sums of binary fractions make 0.30000000000000004.
    expect(lines("G21 G91\nG0 X0 Y0 Z0\nG1 X0.1 F100\nG1 X0.2\nM30").at(-1).to[0]).toBe(0.3);
  });

  it("turns inches into millimetres", () => {
    expect(lines("G20 G90\nG0 X0 Y0 Z1\nG1 X1 F10\nM30").at(-1)).toMatchObject({
      to: [25.4, 0, 25.4],
      feed: 254,
    });
  });

  it("gives arcs their centre, plane and turn, with the third coordinate of the start", () => {
    const [, arc] = lines("G21 G90 G17\nG0 X10 Y0 Z-3\nG2 X0 Y-10 I-10 J0 F600\nM30");
    expect(arc).toMatchObject({ kind: "arc", center: [0, 0, -3], plane: "XY", turn: "cw" });
    expect(arc.turns).toBeUndefined();
  });

  it("counts the turns of a full circle and of a helix with P", () => {
    const [, circle] = lines("G21 G90 G17\nG0 X10 Y0 Z0\nG3 I-10 J0 F600\nM30");
    expect(circle).toMatchObject({ turn: "ccw", turns: 1 });
    const [, helix] = lines("G21 G90 G17\nG0 X10 Y0 Z0\nG3 X-10 Y0 Z-4 I-10 J0 P2 F600\nM30");
    expect(helix.turns).toBe(1.5);
  });

  it("names the other planes by their axes", () => {
    const [, zx] = lines("G21 G90 G18\nG0 X10 Y3 Z0\nG2 X0 Z10 I-10 K0 F600\nM30");
    expect(zx).toMatchObject({ plane: "ZX", center: [0, 3, 0] });
    const [, yz] = lines("G21 G90 G19\nG0 X7 Y10 Z0\nG3 Y0 Z10 J-10 K0 F600\nM30");
    expect(yz).toMatchObject({ plane: "YZ", center: [7, 0, 0], turn: "ccw" });
  });

  it("tells the seconds of a dwell", () => {
    expect(lines("G21 G90\nG0 X0 Y0 Z5\nG4 P1.5\nM30").at(-1)).toMatchObject({
      kind: "dwell",
      seconds: 1.5,
      feed: 0,
    });
  });

  it("marks what follows a block that was not understood", () => {
    expect(lines("G21 G90\nG0 X0 Y0 Z5\nG1 X[1+2] F100\nG1 X5\nM30").at(-1)).toMatchObject({ inDoubt: true });
  });
});

/**
 * NISTIR 6556, The NIST RS274/NGC Interpreter, Version 3 (2000). Section numbers in the names. Values were
 * read in the standard or a text that quotes it, except where a test says "from memory".
 */
import { describe, expect, it } from "vitest";
import { modalStateAfter } from "../../server/src/machine/interpret.ts";
import { readProgram } from "../../server/src/language/read.ts";
import { MotionFlag } from "../../server/src/machine/motions.ts";
import { motionsOf, plainProfile, problemsOf, toolpathOf } from "../support/engine.ts";

/** Puts the tool at (1, 2, 3), where the standard's cycle examples start. */
const atStart = "G21 G90 F100\nG0 X1 Y2 Z3\n";
const afterStart = (text: string, profile = {}) => motionsOf(atStart + text, profile).slice(1);

describe("3.5.16 canned cycles", () => {
  it("3.5.16.2 G90 G81 G98 X4 Y5 Z1.5 R2.8", () => {
    expect(afterStart("G90 G81 G98 X4 Y5 Z1.5 R2.8")).toEqual([
      "rapid 4 5 3",
      "rapid 4 5 2.8",
      "feed 4 5 1.5",
      "rapid 4 5 3",
    ]);
  });

  it("3.5.16.2 G91 G81 G98 X4 Y5 Z-0.6 R1.8 L3", () => {
    expect(afterStart("G91 G81 G98 X4 Y5 Z-0.6 R1.8 L3")).toEqual([
      "rapid 1 2 4.8",
      "rapid 5 7 4.8",
      "feed 5 7 4.2",
      "rapid 5 7 4.8",
      "rapid 9 12 4.8",
      "feed 9 12 4.2",
      "rapid 9 12 4.8",
      "rapid 13 17 4.8",
      "feed 13 17 4.2",
      "rapid 13 17 4.8",
    ]);
  });

  it("3.5.16 G99 comes back to R, G98 to the old Z when that is above R", () => {
    expect(afterStart("G99 G81 X4 Y5 Z-1 R1").at(-1)).toBe("rapid 4 5 1");
    expect(afterStart("G98 G81 X4 Y5 Z-1 R1").at(-1)).toBe("rapid 4 5 3");
    expect(afterStart("G98 G81 X4 Y5 Z-1 R4").at(-1)).toBe("rapid 4 5 4");
  });

  it("3.5.16 Z and R stay while the cycle stays", () => {
    expect(afterStart("G99 G81 X4 Y5 Z-1 R1\nX8").slice(4)).toEqual([
      "rapid 8 5 1",
      "feed 8 5 -1",
      "rapid 8 5 1",
    ]);
    expect(problemsOf(`${atStart}G81 X4 Z-1 R1\nG0 X0\nG81 X5`)).toEqual(["line-not-reviewed"]);
  });

  it("3.5.16 drills where the tool stands when X and Y are left out (only X, Y and Z all missing is an error; from memory)", () => {
    expect(afterStart("G99 G81 Z-1 R1")).toEqual(["rapid 1 2 1", "feed 1 2 -1", "rapid 1 2 1"]);
  });

  it("3.5.16.3 G82 waits P seconds at the bottom (from memory)", () => {
    const text = `${atStart}G99 G82 X4 Y5 Z-1 R1 P0.5`;
    expect(motionsOf(text).slice(3)).toEqual(["feed 4 5 -1", "dwell 4 5 -1", "rapid 4 5 1"]);
    expect([...toolpathOf(text).motions.dwellSeconds.values()]).toEqual([0.5]);
  });

  it("3.5.16.4 G83 pecks by Q, out to R, back down less 0.254 mm (from memory)", () => {
    expect(afterStart("G99 G83 X4 Y5 Z-2.5 R1 Q1.5").slice(2)).toEqual([
      "feed 4 5 -0.5",
      "rapid 4 5 1",
      "rapid 4 5 -0.246",
      "feed 4 5 -2",
      "rapid 4 5 1",
      "rapid 4 5 -1.746",
      "feed 4 5 -2.5",
      "rapid 4 5 1",
    ]);
  });

  it("3.5.16 works along the normal of the plane in force", () => {
    expect(afterStart("G18 G99 G81 X4 Z5 Y-1 R2.5")).toEqual([
      "rapid 1 2.5 3",
      "rapid 4 2.5 5",
      "feed 4 -1 5",
      "rapid 4 2.5 5",
    ]);
  });

  it.each([
    ["no R", "G81 X1 Z-1"],
    ["no depth", "G81 X1 R1"],
    ["R below Z", "G81 X1 Z1 R0"],
    ["under inverse-time feed", "G93 G81 X1 Z-1 R1 F1"],
    ["G83 without Q", "G83 X1 Z-1 R1"],
    ["G83 with Q 0", "G83 X1 Z-1 R1 Q0"],
    ["G82 without P", "G82 X1 Z-1 R1"],
    ["L 0", "G81 X1 Z-1 R1 L0"],
  ])("3.5.16 refuses a cycle with %s", (_, text) => {
    expect(problemsOf(atStart + text)).toEqual(["line-not-reviewed"]);
    expect(toolpathOf(atStart + text).doubtFromLine).toBe(2);
  });
});

describe("3.5.3 arcs", () => {
  const arcOf = (text: string) => {
    const { motions } = toolpathOf(atStart + text);
    const arc = motions.arc[motions.count - 1];
    const { plane, centreA, centreB, sweep } = motions.arcs;
    return { plane: plane[arc], centre: [centreA[arc], centreB[arc]], sweep: sweep[arc] / Math.PI };
  };

  it("centre form, clockwise and counter-clockwise", () => {
    expect(arcOf("G2 X3 Y2 I1 J0")).toEqual({ plane: 0, centre: [2, 2], sweep: -1 });
    expect(arcOf("G3 X3 Y2 I1")).toEqual({ plane: 0, centre: [2, 2], sweep: 1 });
    expect(arcOf("G3 X2 Y3 I1").sweep).toBeCloseTo(1.5, 12);
  });

  it("a full circle where it ends at its start; P adds turns (extension of the open dialect)", () => {
    expect(arcOf("G2 I1").sweep).toBe(-2);
    expect(arcOf("G3 I1 P3").sweep).toBe(6);
    expect(arcOf("G3 X3 Y2 I1 P2 Z0").sweep).toBe(3);
  });

  it("G90.1 takes the centre as a place, G91.1 as a step", () => {
    expect(arcOf("G90.1 G3 X3 Y2 I2 J2").centre).toEqual([2, 2]);
    expect(arcOf("G90.1\nG91.1 G3 X3 Y2 I1 J0").centre).toEqual([2, 2]);
  });

  it("radius form: positive R is the short way, negative the long one", () => {
    const short = arcOf("G2 X2 Y3 R1");
    expect(short.sweep).toBeCloseTo(-0.5, 12);
    expect(short.centre.map((v) => Math.round(v * 1e9) / 1e9)).toEqual([2, 2]);
    expect(arcOf("G2 X2 Y3 R-1").sweep).toBeCloseTo(-1.5, 12);
    expect(arcOf("G3 X2 Y3 R1").sweep).toBeCloseTo(0.5, 12);
  });

  it("G18 turns from Z to X, G19 from Y to Z: counter-clockwise seen against the third axis", () => {
    expect(arcOf("G18 G3 X2 Z2 K-1")).toEqual({ plane: 1, centre: [2, 1], sweep: 0.5 });
    expect(arcOf("G19 G3 Y1 Z4 J-1").plane).toBe(2);
    expect(arcOf("G19 G3 Y1 Z4 J-1")).toEqual({ plane: 2, centre: [1, 3], sweep: 0.5 });
  });

  it("3.5.3.2 radii may differ by 0.002 mm, or 0.0002 in, not more (from memory)", () => {
    expect(problemsOf(`${atStart}G2 X3.002 Y2 I1`)).toEqual([]);
    expect(problemsOf(`${atStart}G2 X3.0021 Y2 I1`)).toEqual(["arc-endpoint-off"]);
    expect(problemsOf("G20 G90 F1\nG0 X1 Y2 Z3\nG2 X3.0002 Y2 I1")).toEqual([]);
    expect(problemsOf("G20 G90 F1\nG0 X1 Y2 Z3\nG2 X3.0003 Y2 I1")).toEqual(["arc-endpoint-off"]);
  });

  it("3.5.3.1 a radius below half the distance, and an end at the start", () => {
    expect(problemsOf(`${atStart}G2 X3 Y2 R1`)).toEqual([]);
    expect(problemsOf(`${atStart}G2 X3 Y2 R0.9`)).toEqual(["arc-radius-too-small"]);
    expect(problemsOf(`${atStart}G2 R1 X1`)).toEqual(["line-not-reviewed"]);
  });

  it("3.5.3 an arc needs a centre or a radius", () => {
    expect(problemsOf(`${atStart}G2 X3`)).toEqual(["line-not-reviewed"]);
    expect(problemsOf(`${atStart}G17 G2 X3 K1`)).toEqual(["line-not-reviewed", "line-not-reviewed"]);
  });
});

describe("3.4 modal groups", () => {
  it.each([
    "G0 G1 X2",
    "G17 G18",
    "G90 G91",
    "G93 G94 F1",
    "G20 G21",
    "G43 G49 H1",
    "G98 G99",
    "G54 G55",
    "G61 G64",
    "M3 M5",
    "M0 M30",
    "M7 M9",
    "G28 G92 X1",
    "G1 G92 X1",
  ])("%s is an error", (text) => {
    expect(problemsOf(atStart + text)).toContain("modal-conflict");
  });

  it.each(["G17 G90 G21 G94 G40 G49 G54 G98", "M7 M8", "M3 S100 M8", "G4 P1 G0 X2", "G91 G28 Z0"])(
    "%s is none",
    (text) => {
      expect(problemsOf(atStart + text)).not.toContain("modal-conflict");
    },
  );

  it("a code must lie within 0.0001 of a known one", () => {
    expect(problemsOf(`${atStart}G1.00005 X2`)).toEqual([]);
    expect(problemsOf(`${atStart}G1.001 X2`)).toEqual(["line-not-reviewed"]);
    expect(problemsOf(`${atStart}G171 M98 P2`)).toEqual(["line-not-reviewed", "line-not-reviewed"]);
  });
});

describe("3.8 order of execution (from memory)", () => {
  it("feed and speed before the motion, wherever they stand in the block", () => {
    const { motions } = toolpathOf(`${atStart}G1 X2 F250 S9000 M3`);
    expect([motions.feed[1], motions.spindle[1]]).toEqual([250, 9000]);
  });

  it("dwell, then motion, then stop", () => {
    expect(motionsOf(`${atStart}M30 G1 X2 G4 P1`).slice(1)).toEqual(["dwell 1 2 3", "feed 2 2 3"]);
    expect(toolpathOf(`${atStart}M30 G1 X2`).endLine).toBe(2);
  });

  it("plane, units and distance mode before the motion of their own block", () => {
    expect(afterStart("G0 X1 G20")).toEqual(["rapid 25.4 2 3"]);
    expect(afterStart("G0 X1 G91")).toEqual(["rapid 2 2 3"]);
  });

  it("a tool change stops the spindle and comes before M3", () => {
    const { motions } = toolpathOf("G0 X0 Y0 Z0\nM3 S1000\nT2 M6\nG0 X1\nT3 M6 M3 G0 X2");
    expect(Array.from(motions.spindle)).toEqual([0, 0, 1000]);
    expect(Array.from(motions.tool)).toEqual([0, 2, 3]);
  });

  it("nothing runs after the end of the program", () => {
    expect(motionsOf("G0 X1 Y1 Z1\nM30\nG0 X2")).toHaveLength(1);
    expect(problemsOf("G0 X1 Y1 Z1\nM30\nG0 X2")).toEqual(["line-not-reviewed"]);
    expect(motionsOf("%\nG0 X1\n%\nG0 X2")).toHaveLength(1);
  });
});

describe("3.5.18 coordinate offsets (G92 family)", () => {
  it("G92 gives the present place new numbers; the machine does not move", () => {
    expect(afterStart("G92 X0 Y0\nG0 X5\nG92.1\nG0 X5")).toEqual(["rapid 6 2 3", "rapid 5 2 3"]);
  });

  it("G92.2 sets them aside, G92.3 brings them back", () => {
    expect(afterStart("G92 X0\nG92.2\nG0 X5\nG92.3\nG0 X5")).toEqual(["rapid 5 2 3", "rapid 6 2 3"]);
    expect(afterStart("G92 X0\nG92.1\nG92.3\nG0 X5")).toEqual(["rapid 5 2 3"]);
  });

  it("G92 at the very start states where the tool stands", () => {
    const { motions } = toolpathOf("G92 X0 Y0 Z10\nG0 X5");
    expect(motions.flags[0] & MotionFlag.startUnknown).toBe(0);
    expect([motions.x[1], motions.z[1]]).toEqual([5, 10]);
  });
});

describe("3.5.8, 3.5.12 machine places", () => {
  it("G28 goes by the programmed point to the reference point, all axes", () => {
    expect(afterStart("G28 X5", { workZero: [0, 0, 0] })).toEqual(["rapid 5 2 3", "rapid 0 0 0"]);
    expect(afterStart("G30", { workZero: [100, 50, -20], home30: [0, 0, 0] })).toEqual(["rapid -100 -50 20"]);
  });

  it("a controller that sends only the named axes home", () => {
    expect(afterStart("G91 G28 Z0", { workZero: [0, 0, -50], homeAxes: "named" })).toEqual([
      "rapid 1 2 3",
      "rapid 1 2 50",
    ]);
  });

  it("without a declared work zero the place is marked as not known", () => {
    const toolpath = toolpathOf(`${atStart}G53 G0 Z0\nG0 X5\nG0 Z4`);
    expect(Array.from(toolpath.motions.flags.slice(1))).toEqual([
      MotionFlag.endUnknown,
      MotionFlag.startUnknown | MotionFlag.endUnknown,
      MotionFlag.startUnknown,
    ]);
    expect(toolpath.problems.map((p) => p.rule)).toEqual(["machine-place-unknown"]);
  });

  it("G53 goes with G0 and G1 only", () => {
    expect(problemsOf(`${atStart}G53 G2 X5 I1`)).toContain("line-not-reviewed");
  });

  it("a second work zero needs its offset declared", () => {
    expect(afterStart("G55 G0 X5", { workOffsets: { G55: [100, 0, 0] } })).toEqual(["rapid 105 2 3"]);
    const unknown = toolpathOf(`${atStart}G55 G0 X5`);
    expect([unknown.doubtFromLine, unknown.problems[0].rule]).toEqual([2, "machine-place-unknown"]);
    expect(toolpathOf("G55 G0 X5 Y0 Z0\nG1 X6 F1").doubtFromLine).toBe(-1);
  });
});

describe("feed and spindle state", () => {
  it("3.5.19 inverse-time feed: the motion takes 1/F minutes", () => {
    const { motions } = toolpathOf(`${atStart}G93 G1 X11 F2\nX21 F4\nX31`);
    expect(Array.from(motions.feed.slice(1))).toEqual([20, 40, 0]);
  });

  it("F counts in the units of its own block", () => {
    expect(toolpathOf(`${atStart}G20 G1 X1 F10`).motions.feed[1]).toBe(254);
  });

  it("hover can ask for the state after any line", () => {
    const state = modalStateAfter(readProgram(`${atStart}G91 G1 X4\nG0 Z9`), plainProfile, 2);
    expect([state.x, state.z, state.incremental, state.motion]).toEqual([5, 3, true, 10]);
  });
});

describe("what is not understood", () => {
  it.each([
    ["G1 X[1+2]", "X[1+2]"],
    ["#5=2", "#5=2"],
    ["o100 while [1]", "o100 while [1]"],
    ["G41 D1", "G41"],
    ["G1 X1 A90", "A90"],
    ["M98 P1000", "M98"],
    ["G1 X2 Q5", "Q5"],
  ])("%s is told at %s, and all after it is in doubt", (text, words) => {
    const source = `${atStart}${text}\nG1 X9`;
    const toolpath = toolpathOf(source);
    const problem = toolpath.problems[0];
    expect(source.slice(problem.start, problem.end)).toBe(words);
    expect(toolpath.doubtFromLine).toBe(2);
    expect(toolpath.motions.flags[toolpath.motions.count - 1] & MotionFlag.inDoubt).toBe(MotionFlag.inDoubt);
  });

  it.each(["G73 X100 Y100 Z-18.6 R1 Q1", "G10 L20 P1 Z0", "G38.2 Z-10", "G5 X1 Y1 I1 J1"])(
    "%s: a code that is not followed makes no motion, and its axes are not known after it",
    (text) => {
      const toolpath = toolpathOf(`${atStart}${text}\nG0 Z9`);
      expect(toolpath.problems.map((p) => p.rule)).toEqual(["line-not-reviewed"]);
      expect(toolpath.motions.count).toBe(2);
      expect(toolpath.motions.flags[1] & MotionFlag.startUnknown).toBe(MotionFlag.startUnknown);
    },
  );

  it("G64 takes its tolerance; a readable F of a block that is not followed holds", () => {
    expect(problemsOf(`${atStart}G64 P0.1`)).toEqual([]);
    expect(toolpathOf(`${atStart}G1 X[1] F300\nG1 X2 Y2 Z2`).motions.feed[1]).toBe(300);
  });

  it("axis words without a motion code", () => {
    expect(problemsOf("X1 Y1")).toEqual(["line-not-reviewed"]);
  });

  it("an axis lost to an expression is known again once it is stated", () => {
    const { motions } = toolpathOf(`${atStart}G1 X[1]\nG1 Y5\nG1 X3`);
    expect(Array.from(motions.flags.slice(1)).map((f) => f & 3)).toEqual([3, 1]);
  });
});

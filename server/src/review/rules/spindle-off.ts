import { MotionKind } from "../../machine/motions.ts";
import type { Rule } from "../rule.ts";

export const rule: Rule = {
  id: "spindle-off",
  severity: "error",
  title: "Cutting with the spindle off",
  what: "A pass runs in the stock while the program has not started the spindle (M3 or M4), or has stopped it (M5, or a tool change). The first pass of each such stretch is shown.",
  why: "A cutter that does not turn is pushed into the wood and breaks, or lifts the board.",
  example:
    "(cutwright: thickness 18 mm)\nG21 G90\nT1 M6\nG0 Z5\nG0 X0 Y0\nG1 Z-3 F300\nG1 X100 F1200\nG0 Z5\nM30",
  remedy:
    "Start the spindle (S with a speed, M3) and give it time before the first plunge. If your router is switched by hand, turn this rule off in the settings or the job file.",
  *check(context) {
    const { tree, toolpath } = context;
    const { kind, spindle, line, x, y, z } = toolpath.motions;
    let wasOff = false;
    for (const pass of tree.passes) {
      let off = -1;
      for (let i = pass.first; i < pass.end && off < 0; i++) {
        if (spindle[i] === 0 && (kind[i] === MotionKind.feed || kind[i] === MotionKind.arc)) off = i;
      }
      if (off >= 0 && !wasOff) {
        yield {
          line: line[off],
          message:
            "This pass cuts with the spindle off: no M3 or M4 is in force here. Start the spindle before it.",
          at: [x[off + 1], y[off + 1], z[off + 1]],
          related: [context.passRelated(pass.index)],
          motions: [pass.first, pass.end],
          cut: pass.cut,
          pass: pass.index,
        };
      }
      wasOff = off >= 0;
    }
  },
};

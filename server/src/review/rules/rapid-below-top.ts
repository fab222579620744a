import { MotionFlag, MotionKind } from "../../machine/motions.ts";
import type { Rule } from "../rule.ts";

export const rule: Rule = {
  id: "rapid-below-top",
  severity: "warning",
  title: "Rapid below the stock top",
  what: "A rapid (G0) travels sideways or downwards below the top of the stock, within its footprint, through a place that is already cut free; or it goes into the bed beside the board, which is an error. Rapids that a drilling cycle makes inside its own hole, and rapids straight up, are left out.",
  why: "The kerf may hold chips or a loose slug, and a board that has moved by a millimetre turns the free way into wood.",
  example:
    "(cutwright: thickness 18 mm)\n(cutwright: size 200 x 100 mm; corner -20 mm, -20 mm)\nG21 G90\nT1 M6\nS18000 M3\nG0 Z5\nG0 X0 Y0\nG1 Z-3 F300\nG1 X100 F1200\nG0 X0\nG0 Z5\nM30",
  remedy: "Lift to the safe height and come down by feed.",
  *check(context) {
    const { toolpath, top, footprint, length } = context;
    if (top === undefined) return;
    const { count, kind, flags, x, y, z, line, tool } = toolpath.motions;
    const hits = new Set(context.rapidHits.map((hit) => hit.motion));
    for (let i = 0; i < count; i++) {
      if (kind[i] !== MotionKind.rapid || hits.has(i)) continue;
      if (flags[i] & (MotionFlag.startUnknown | MotionFlag.endUnknown | MotionFlag.fromCycle)) continue;
      const lowest = Math.min(z[i], z[i + 1]);
      if (lowest >= top - 1e-6) continue;
      const sideways = x[i] !== x[i + 1] || y[i] !== y[i + 1];
      if (!sideways && z[i + 1] >= z[i]) continue;
      const radius = context.toolOf(tool[i]).tool.diameter / 2;
      const beside = footprint !== undefined && !overFootprint(i, footprint, radius);
      const intoBed = context.bedTop !== undefined && lowest < context.bedTop - 1e-6;
      // Beside the board only the bed can be hit.
      if (beside && !intoBed) continue;
      yield {
        line: line[i],
        message: beside
          ? `This rapid goes ${length((context.bedTop ?? 0) - lowest)} into the bed beside the board.`
          : `This rapid travels ${length(top - lowest)} below the stock top. The way is free on paper; chips or a shifted board may be in it.`,
        ...(beside ? { severity: "error" as const } : {}),
        at: [x[i + 1], y[i + 1], z[i + 1]],
        values: { belowTop: top - lowest },
        motions: [i, i + 1],
      };
    }

    function overFootprint(i: number, [x0, y0, x1, y1]: readonly number[], radius: number): boolean {
      return (
        Math.max(x[i], x[i + 1]) > x0 - radius &&
        Math.min(x[i], x[i + 1]) < x1 + radius &&
        Math.max(y[i], y[i + 1]) > y0 - radius &&
        Math.min(y[i], y[i + 1]) < y1 + radius
      );
    }
  },
};

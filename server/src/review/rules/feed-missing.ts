import { MotionFlag, MotionKind } from "../../machine/motions.ts";
import type { Rule } from "../rule.ts";

export const rule: Rule = {
  id: "feed-missing",
  severity: "error",
  title: "No feed set",
  what: "A cutting move (G1, G2, G3 or a cycle) runs before any F word set a feed, with F0, or without its own F under inverse-time feed (G93). The first such move is shown.",
  why: "The controller stops with an error in the middle of the job, or uses a feed left from the job before.",
  example: "G21 G90\nT1 M6\nS18000 M3\nG0 Z5\nG0 X0 Y0\nG1 Z-3\nG1 X100 F1200\nG0 Z5\nM30",
  remedy: "Add an F word to the first cutting move, or to each one under G93.",
  *check(context) {
    const { count, kind, feed, line, flags, x, y, z } = context.toolpath.motions;
    let first = -1;
    let number = 0;
    for (let i = 0; i < count; i++) {
      if ((kind[i] !== MotionKind.feed && kind[i] !== MotionKind.arc) || feed[i] > 0) continue;
      // A move of no length asks for no feed under inverse time.
      if (flags[i] & MotionFlag.inverseTime && x[i] === x[i + 1] && y[i] === y[i + 1] && z[i] === z[i + 1])
        continue;
      if (first < 0) first = i;
      number++;
    }
    if (first < 0) return;
    const more = number > 1 ? ` (${number} moves in all)` : "";
    yield {
      line: line[first],
      message: `This move cuts, but no feed above 0 is set for it${more}. Set F here.`,
      motions: [first, first + 1],
      at: [x[first + 1], y[first + 1], z[first + 1]],
    };
  },
};

import { MotionKind } from "../../machine/motions.ts";
import type { Rule } from "../rule.ts";

export const rule: Rule = {
  id: "nothing-to-cut",
  severity: "warning",
  title: "Nothing is cut",
  what: "The program moves nothing (it is empty, all comment, or not a program), or it moves at feed but never comes below the stock top.",
  why: "A review of nothing must not look like a clean one. A program whose feeds all stay above the board was most often written for Z0 on the bed.",
  example: "(nothing but a remark)",
  remedy:
    'Check that the right file is open and complete, and where Z0 lies: (cutwright: zero bed), or "zero": "bed" for the board in the job file.',
  *check(context) {
    const { motions } = context.toolpath;
    if (motions.count === 0) {
      yield {
        line: 0,
        severity: "info",
        message: "This program moves nothing. Check that it is the right file and complete.",
      };
      return;
    }
    if (context.tree.cuts.length > 0 || context.top === undefined) return;
    let first = -1;
    let lowest = Infinity;
    for (let i = 0; i < motions.count; i++) {
      if (motions.kind[i] !== MotionKind.feed && motions.kind[i] !== MotionKind.arc) continue;
      if (first < 0) first = i;
      lowest = Math.min(lowest, motions.z[i + 1]);
    }
    if (first < 0) return;
    yield {
      line: motions.line[first],
      message: `The program moves at feed, but never below the stock top: its lowest feed is at Z${context.length(lowest)} and the top at Z${context.length(context.top)}. Is Z0 on the bed? Then declare (cutwright: zero bed).`,
      values: { lowest, top: context.top },
      motions: [first, first + 1],
    };
  },
};

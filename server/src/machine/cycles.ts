/** What a canned cycle does at one hole, along the plane's normal (NISTIR 6556 section 3.5.16). */

export type CycleStep =
  | { readonly kind: "rapid" | "feed"; readonly to: number }
  | { readonly kind: "dwell"; readonly seconds: number };

/** How far above the last depth a peck's rapid down stops, mm (0.01 in; from memory of the standard's interpreter). */
export const peckBackOff = 0.254;
/** Pecks planned for one hole at most; a smaller Q is refused by the plan ending in one last plunge. */
const mostPecks = 100_000;

/**
 * Steps at one hole, from the tool standing at R.
 * @param code ten times the G code: 810, 820 or 830
 * @param clearance R, mm
 * @param bottom depth of the hole, mm
 * @param retract where the cycle ends, mm
 * @param dwell seconds at the bottom (G82)
 * @param peck depth of a peck (G83), mm
 */
export function* planCycle(
  code: number,
  clearance: number,
  bottom: number,
  retract: number,
  dwell: number,
  peck: number,
): Generator<CycleStep> {
  if (code === 830) {
    for (let n = 1; n < mostPecks; n++) {
      const depth = clearance - n * peck;
      if (depth <= bottom) break;
      yield { kind: "feed", to: depth };
      yield { kind: "rapid", to: clearance };
      yield { kind: "rapid", to: Math.min(clearance, depth + peckBackOff) };
    }
  }
  yield { kind: "feed", to: bottom };
  if (code === 820) yield { kind: "dwell", seconds: dwell };
  yield { kind: "rapid", to: retract };
}

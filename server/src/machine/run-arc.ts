/** Arc blocks: centre and radius form, in every plane (NISTIR 6556 section 3.5.3). */
import { arcSweep, centreFromRadius } from "./arcs.ts";
import { letterIndex } from "./block.ts";
import { INCH, type Executor } from "./executor.ts";
import { MotionFlag, MotionKind, planeAxes, planeNames } from "./motions.ts";

const centreLetters = ["I", "J", "K"] as const;

/** Runs an arc block to the target already read; `unknown`: bits of the axes not known there. */
export function runArc(machine: Executor, counterClockwise: boolean, unknown: number): void {
  const { block, state, target, scale } = machine;
  const [a, b, c] = planeAxes[state.plane];
  const fromA = machine.place(a);
  const fromB = machine.place(b);
  const toA = target[a];
  const toB = target[b];
  const turnsWord = block.takeOr("P", 1);
  const turns = Number.isInteger(turnsWord) && turnsWord > 0 && turnsWord <= 100000 ? turnsWord : 0;
  if (turns === 0)
    machine.notReviewed("P of an arc is a whole number of turns, 1 or more", block.word[letterIndex("P")]);
  let centreA: number;
  let centreB: number;
  const offsetLetters = [centreLetters[a], centreLetters[b]];
  const startKnown = (state.unknownAxes & ((1 << a) | (1 << b))) === 0;
  if (block.has("R")) {
    const radius = block.take("R") * scale;
    const rWord = block.word[letterIndex("R")];
    const found = centreFromRadius(fromA, fromB, toA, toB, radius, counterClockwise);
    if (!found) {
      machine.notReviewed("an arc by radius cannot end where it starts: give its centre with I, J, K", -1);
      machine.addMotion(MotionKind.feed, unknown, state.inverseTime ? 0 : state.feed);
      return;
    }
    // The standard gives no figure for R; the one it gives for centres serves.
    if (startKnown && found.shortBy > arcTolerance(machine)) {
      const halfChord = Math.hypot(toA - fromA, toB - fromB) / 2;
      machine.problem("arc-radius-too-small", rWord, rWord, {
        radius: Math.abs(radius),
        halfChord,
        shortBy: found.shortBy,
      });
    }
    ({ centreA, centreB } = found);
  } else if (block.has(offsetLetters[0]) || block.has(offsetLetters[1])) {
    const offsetA = block.takeOr(offsetLetters[0], NaN) * scale;
    const offsetB = block.takeOr(offsetLetters[1], NaN) * scale;
    if (state.arcCentresAbsolute) {
      if (Number.isNaN(offsetA) || Number.isNaN(offsetB)) {
        machine.notReviewed(
          "with absolute arc centres (G90.1) both centre words of the plane are needed",
          -1,
        );
        machine.addMotion(MotionKind.feed, unknown, state.inverseTime ? 0 : state.feed);
        return;
      }
      centreA = offsetA + machine.zeroOf(a);
      centreB = offsetB + machine.zeroOf(b);
    } else {
      centreA = fromA + (offsetA || 0);
      centreB = fromB + (offsetB || 0);
    }
  } else {
    const plane = planeNames[state.plane];
    machine.notReviewed(
      `the arc has neither a centre (${offsetLetters.join(", ")} in the ${plane} plane) nor a radius (R)`,
      -1,
    );
    machine.addMotion(MotionKind.feed, unknown, state.inverseTime ? 0 : state.feed);
    return;
  }
  if (startKnown) checkEndPoint(machine, fromA, fromB, toA, toB, centreA, centreB);
  const sweep = arcSweep(fromA, fromB, toA, toB, centreA, centreB, counterClockwise, turns || 1);
  let feed = state.feed;
  if (state.inverseTime) {
    const radius = Math.hypot(fromA - centreA, fromB - centreB);
    feed *= Math.hypot(radius * sweep, target[c] - machine.place(c));
  }
  const i = machine.addMotion(MotionKind.arc, unknown, feed, state.inverseTime ? MotionFlag.inverseTime : 0);
  machine.motions.setArc(i, state.plane, centreA, centreB, sweep);
}

/** NISTIR 6556 section 3.5.3.2: 0.002 mm, or 0.0002 inch in inch programs. */
function arcTolerance(machine: Executor): number {
  return machine.state.units === "in" ? 0.0002 * INCH : 0.002;
}

function checkEndPoint(
  machine: Executor,
  fromA: number,
  fromB: number,
  toA: number,
  toB: number,
  centreA: number,
  centreB: number,
): void {
  const startRadius = Math.hypot(fromA - centreA, fromB - centreB);
  const endRadius = Math.hypot(toA - centreA, toB - centreB);
  const difference = Math.abs(endRadius - startRadius);
  // A hair above the figure, so that the rounding of a difference just at it does not decide.
  if (difference > arcTolerance(machine) + 1e-9) {
    machine.problem("arc-endpoint-off", -1, -1, { startRadius, endRadius, difference });
  }
}

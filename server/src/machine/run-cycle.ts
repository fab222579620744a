/** Canned-cycle blocks, along the normal of the plane in force (NISTIR 6556 section 3.5.16). */
import { axisBits } from "./block.ts";
import { codeName } from "./codes.ts";
import { planCycle } from "./cycles.ts";
import { axesNamed, axisLetters, type Executor } from "./executor.ts";
import { MotionFlag, MotionKind, planeAxes } from "./motions.ts";

/** Runs a cycle block; `code` is ten times the G code. */
export function runCycle(machine: Executor, code: number): void {
  const { block, state, target, scale } = machine;
  const [a, b, c] = planeAxes[state.plane];
  const normal = axisLetters[c];
  if (block.has(normal)) state.cycleZ = block.take(normal) * scale;
  if (block.has("R")) state.cycleR = block.take("R") * scale;
  if (block.has("P")) state.cycleP = block.take("P");
  if (block.has("Q")) state.cycleQ = block.take("Q") * scale;
  const repeats = block.takeOr("L", 1);
  const refusal = cycleRefusal(machine, code, repeats);
  if (refusal) {
    machine.notReviewed(refusal, -1);
    state.unknownAxes |= axesNamed(block.present);
    block.used |= axisBits;
    return;
  }
  const zero = machine.zeroOf(c);
  const old = machine.place(c);
  const clearance = state.incremental ? old + state.cycleR : state.cycleR + zero;
  const bottom = state.incremental ? clearance + state.cycleZ : state.cycleZ + zero;
  if (clearance < bottom) {
    machine.notReviewed(`the cycle's R lies below its ${normal}`, -1);
    block.used |= axisBits;
    return;
  }
  const stepA = block.takeOr(axisLetters[a], NaN) * scale;
  const stepB = block.takeOr(axisLetters[b], NaN) * scale;
  const oldKnown = (state.unknownAxes & (1 << c)) === 0;
  const retract = state.retractToR || !oldKnown ? clearance : Math.max(old, clearance);
  const axes = [a, b, c] as const;
  const go = (kind: number, toA: number, toB: number, toC: number, known: number) => {
    target[axes[0]] = toA;
    target[axes[1]] = toB;
    target[axes[2]] = toC;
    machine.addMotion(
      kind,
      state.unknownAxes & ~known,
      kind === MotionKind.feed ? state.feed : 0,
      MotionFlag.fromCycle,
    );
  };
  const cBit = 1 << c;
  if (!oldKnown || old < clearance) go(MotionKind.rapid, machine.place(a), machine.place(b), clearance, cBit);
  for (let n = 0; n < repeats; n++) {
    const next = (axis: number, step: number) => {
      if (Number.isNaN(step)) return machine.place(axis);
      return state.incremental ? machine.place(axis) + step : step + machine.zeroOf(axis);
    };
    const toA = next(a, stepA);
    const toB = next(b, stepB);
    const named = state.incremental
      ? 0
      : (Number.isNaN(stepA) ? 0 : 1 << a) | (Number.isNaN(stepB) ? 0 : 1 << b);
    if (toA !== machine.place(a) || toB !== machine.place(b) || state.unknownAxes & named) {
      go(MotionKind.rapid, toA, toB, machine.place(c), named);
    }
    if (machine.place(c) !== clearance) go(MotionKind.rapid, toA, toB, clearance, cBit);
    for (const step of planCycle(code, clearance, bottom, retract, state.cycleP, state.cycleQ)) {
      if (step.kind === "dwell") {
        const i = machine.motions.count;
        target[axes[0]] = toA;
        target[axes[1]] = toB;
        target[axes[2]] = machine.place(c);
        machine.addMotion(MotionKind.dwell, state.unknownAxes, 0, MotionFlag.fromCycle);
        machine.motions.setDwell(i, step.seconds);
      } else go(step.kind === "feed" ? MotionKind.feed : MotionKind.rapid, toA, toB, step.to, cBit);
    }
  }
}

/** The errors of NISTIR 6556 section 3.5.16 that stop a cycle, as a reason; undefined: it can run. */
function cycleRefusal(machine: Executor, code: number, repeats: number): string | undefined {
  const { state } = machine;
  const name = codeName("G", code);
  if (state.inverseTime) return `${name} cannot run under inverse-time feed (G93)`;
  if (Number.isNaN(state.cycleZ) || Number.isNaN(state.cycleR)) return `${name} needs its depth and its R`;
  if (!Number.isInteger(repeats) || repeats < 1 || repeats > 10000)
    return "L of a cycle is a whole number from 1 to 10000";
  if (code === 820 && !(state.cycleP >= 0)) return "G82 needs P, the seconds to wait at the bottom";
  if (code === 830 && !(state.cycleQ > 0)) return "G83 needs Q, the depth of a peck, above 0";
  return undefined;
}

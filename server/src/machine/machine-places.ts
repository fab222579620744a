/** Reference points and shifted coordinates (NISTIR 6556 sections 3.5.8 and 3.5.18). */
import { axisBits } from "./block.ts";
import { codeName } from "./codes.ts";
import { axesNamed, axisLetters, type Executor } from "./executor.ts";
import { MotionKind } from "./motions.ts";

/** G28 and G30: by the programmed point, if there is one, to the reference point. */
export function goHome(machine: Executor, code: number): void {
  const { block, state, target, profile } = machine;
  const named = axesNamed(block.present);
  if (named) machine.addMotion(MotionKind.rapid, machine.readTarget(false), 0);
  const home = code === 280 ? profile.home28 : profile.home30;
  const going = named && profile.homeAxes === "named" ? named : 7;
  let unknown = state.unknownAxes;
  for (let axis = 0; axis < 3; axis++) {
    target[axis] = machine.place(axis);
    if (!(going & (1 << axis))) continue;
    target[axis] = home[axis] - (profile.workZero?.[axis] ?? 0);
    if (profile.workZero) unknown &= ~(1 << axis);
    else unknown |= 1 << axis;
  }
  if (!profile.workZero) machine.tellHome(codeName("G", code));
  machine.addMotion(MotionKind.rapid, unknown, 0);
}

/** G92 and its three companions (NISTIR 6556 section 3.5.18). */
export function shiftCoordinates(machine: Executor, code: number): void {
  const { block, state, scale } = machine;
  if (code === 920) {
    if (!(block.present & axisBits))
      machine.notReviewed("G92 needs X, Y or Z: the numbers the present place shall have", -1);
    for (let axis = 0; axis < 3; axis++) {
      if (!block.has(axisLetters[axis])) continue;
      const value = block.take(axisLetters[axis]) * scale;
      if (state.unknownAxes & (1 << axis)) {
        // The place was not known: the program now states it, and the stock frame follows.
        const place = value + machine.zeroOf(axis);
        if (axis === 0) state.x = place;
        else if (axis === 1) state.y = place;
        else state.z = place;
        state.unknownAxes &= ~(1 << axis);
      } else state.g92[axis] += machine.place(axis) - (value + machine.zeroOf(axis));
    }
    state.storedG92 = [...state.g92];
  } else if (code === 923) state.g92 = [...state.storedG92];
  else {
    state.g92 = [0, 0, 0];
    if (code === 921) state.storedG92 = [0, 0, 0];
  }
}

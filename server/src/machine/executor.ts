/** The machine while it runs a program: state, places, motions made so far. What kinds of blocks do lies beside this file. */
import type { MachineProfile } from "../job/facts.ts";
import { lineEnd, type Problem, type Program } from "../language/program.ts";
import { BlockWords, letterIndex } from "./block.ts";
import { codeName } from "./codes.ts";
import { MotionTable } from "./motion-table.ts";
import { spindleOf, startState, type ModalState } from "./modal-state.ts";
import { MotionFlag } from "./motions.ts";

/** mm in an inch. */
export const INCH = 25.4;
export const axisLetters = ["X", "Y", "Z"] as const;

export class Executor {
  readonly state: ModalState;
  readonly motions: MotionTable;
  readonly problems: Problem[] = [];
  /** The words of the block that runs. */
  readonly block = new BlockWords();
  /** Where the block leads, mm in the stock frame. */
  readonly target = new Float64Array(3);
  /** Zero-based line of the block. */
  line = 0;
  /** First line that was not understood, -1: none. */
  doubtFromLine = -1;
  /** `MotionFlag.inDoubt` from then on, 0 before. */
  doubt = 0;
  /** Coordinate system of the first motion: the stock frame's own. 0 until then. */
  baseSystem = 0;
  private toldUnknownSystem = false;
  private toldHome = false;

  constructor(
    readonly program: Program,
    readonly profile: MachineProfile,
  ) {
    this.state = startState(profile);
    this.motions = new MotionTable(program.lineCount + 16);
  }

  startDoubt(): void {
    if (this.doubtFromLine < 0) this.doubtFromLine = this.line;
    this.doubt = MotionFlag.inDoubt;
  }

  problem(rule: string, firstWord: number, lastWord: number, facts: Problem["facts"]): void {
    const { program, line } = this;
    const whole = firstWord < 0;
    const start = whole ? program.lineStart[line] : program.wordStart[firstWord];
    const end = whole ? lineEnd(program, line) : program.wordEnd[lastWord];
    this.problems.push({ rule, line, start, end, facts });
  }

  notReviewed(reason: string, firstWord: number, lastWord = firstWord, doubt = true): void {
    this.problem("line-not-reviewed", firstWord, lastWord, { reason });
    if (doubt) this.startDoubt();
  }

  /** Lengths in the program are in the units in force; the engine holds mm. */
  get scale(): number {
    return this.state.units === "in" ? INCH : 1;
  }

  selectSystem(code: number): void {
    this.state.system = code;
    if (this.baseSystem && code !== this.baseSystem && !this.systemsKnown(code)) {
      if (!this.toldUnknownSystem) {
        this.problem("machine-place-unknown", -1, -1, { word: codeName("G", code), place: "work zero" });
      }
      this.toldUnknownSystem = true;
      this.startDoubt();
    }
  }

  systemsKnown(code: number): boolean {
    const known = (c: number) => c === 540 || this.profile.workOffsets[codeName("G", c)] !== undefined;
    return known(code) && known(this.baseSystem);
  }

  /** Where the zero of the numbers a program writes lies in the stock frame, on an axis, mm. */
  zeroOf(axis: number): number {
    const { state, profile, baseSystem } = this;
    let zero = state.g92[axis];
    if (baseSystem && state.system !== baseSystem && this.systemsKnown(state.system)) {
      const offset = (code: number) => profile.workOffsets[codeName("G", code)]?.[axis] ?? 0;
      zero += offset(state.system) - offset(baseSystem);
    }
    return zero;
  }

  place(axis: number): number {
    return axis === 0 ? this.state.x : axis === 1 ? this.state.y : this.state.z;
  }

  /** Works out where the block's axis words lead, into `target`; returns the bits of axes not known there. */
  readTarget(machinePlace: boolean): number {
    const { block, state, target, scale } = this;
    let unknown = state.unknownAxes;
    for (let axis = 0; axis < 3; axis++) {
      target[axis] = this.place(axis);
      const letter = axisLetters[axis];
      if (!block.has(letter)) continue;
      const value = block.take(letter) * scale;
      if (machinePlace) {
        target[axis] = value - (this.profile.workZero?.[axis] ?? 0);
        if (this.profile.workZero) unknown &= ~(1 << axis);
        else unknown |= 1 << axis;
      } else if (state.incremental) target[axis] += value;
      else {
        target[axis] = value + this.zeroOf(axis);
        unknown &= ~(1 << axis);
      }
    }
    return unknown;
  }

  /** Adds a motion to `target`, with the flags that the known axes give. */
  addMotion(kind: number, unknown: number, feed: number, extraFlags = 0): number {
    const { state, target } = this;
    if (!this.baseSystem) this.baseSystem = state.system;
    let flags = this.doubt | extraFlags;
    if (state.unknownAxes) flags |= MotionFlag.startUnknown;
    if (unknown) flags |= MotionFlag.endUnknown;
    const i = this.motions.add(
      kind,
      flags,
      this.line,
      target[0],
      target[1],
      target[2],
      feed,
      state.tool,
      spindleOf(state),
    );
    state.x = target[0];
    state.y = target[1];
    state.z = target[2];
    state.unknownAxes = unknown;
    return i;
  }

  tellHome(word: string): void {
    if (this.toldHome) return;
    this.toldHome = true;
    this.problem("machine-place-unknown", -1, -1, { word, place: "machine place" });
  }
}

/** Bits of X, Y, Z (1, 2, 4) among the letters present. */
export function axesNamed(present: number): number {
  let bits = 0;
  for (let axis = 0; axis < 3; axis++) if (present & (1 << letterIndex(axisLetters[axis]))) bits |= 1 << axis;
  return bits;
}

/**
 * The interpreter: blocks to motions, in the order of execution of NISTIR 6556 section 3.8 (table 8).
 * It never fails. A block it cannot follow gives a `line-not-reviewed` problem at its exact words, and
 * every motion after it carries the mark `inDoubt`.
 *
 * Left for the expressions and subprograms of the full language: words of kind "expression" arrive here
 * with their range and no value; `runBlock` is the one place that would give them one.
 */
import type { MachineProfile } from "../job/facts.ts";
import { lineEnd, type Problem, type Program } from "../language/program.ts";
import { arcSweep, centreFromRadius } from "./arcs.ts";
import { axisBits, BlockWords, letterIndex } from "./block.ts";
import {
  codeName,
  codeTolerance,
  Group,
  groupNames,
  groupOfG,
  groupOfM,
  MGroup,
  mGroupNames,
} from "./codes.ts";
import { planCycle } from "./cycles.ts";
import { MotionTable } from "./motion-table.ts";
import { spindleOf, startState, type ModalState } from "./modal-state.ts";
import { MotionFlag, MotionKind, Plane, planeAxes, type MachineEvent, type Toolpath } from "./motions.ts";

const INCH = 25.4;
const axisLetters = ["X", "Y", "Z"] as const;
const centreLetters = ["I", "J", "K"] as const;
/** I, J, K: beside an arc code they alone ask for a full circle, which controllers accept (common practice, no source). */
const centreBits = (1 << letterIndex("I")) | (1 << letterIndex("J")) | (1 << letterIndex("K"));
/** Reader problems after which a controller would not run the block. */
const stopsBlock = new Set(["number-malformed", "word-unknown", "word-repeated"]);
/** Letters that act by themselves or only number the block. */
const alwaysUsed =
  (1 << letterIndex("N")) | (1 << letterIndex("F")) | (1 << letterIndex("S")) | (1 << letterIndex("T"));

/** Interprets a program on a machine. Lengths in the result are mm in the stock frame. */
export function interpret(program: Program, profile: MachineProfile): Toolpath {
  return new Interpreter(program, profile).run(program.lineCount);
}

/** Modal state after a line (zero-based) has been executed: what hover and completion need. */
export function modalStateAfter(program: Program, profile: MachineProfile, line: number): ModalState {
  const interpreter = new Interpreter(program, profile);
  interpreter.run(Math.min(line + 1, program.lineCount));
  return interpreter.state;
}

class Interpreter {
  readonly state: ModalState;
  private readonly motions: MotionTable;
  private readonly events: MachineEvent[] = [];
  private readonly problems: Problem[] = [];
  private readonly block = new BlockWords();
  private readonly firstMotionOfLine: Uint32Array;
  private readonly toolChangesByM6: boolean;
  private readonly target = new Float64Array(3);
  private line = 0;
  private unitsLine = -1;
  private endLine = -1;
  private doubtFromLine = -1;
  private doubt = 0;
  /** Coordinate system of the first motion: the stock frame's own. 0 until then. */
  private baseSystem = 0;
  private toldUnknownSystem = false;
  private toldHome = false;
  private toolStated = false;

  constructor(
    private readonly program: Program,
    private readonly profile: MachineProfile,
  ) {
    this.state = startState(profile);
    this.motions = new MotionTable(program.lineCount + 16);
    this.firstMotionOfLine = new Uint32Array(program.lineCount + 1);
    this.toolChangesByM6 = hasM6(program);
  }

  run(lines: number): Toolpath {
    const { program, block } = this;
    const readerProblems = program.problems;
    let nextProblem = 0;
    let closingPercent = -1;
    if (program.percentLines.length > 1) closingPercent = program.percentLines[1];
    let toldAfterEnd = false;
    for (let line = 0; line < lines; line++) {
      this.line = line;
      this.firstMotionOfLine[line] = this.motions.count;
      let broken = false;
      let commentBroken = false;
      while (nextProblem < readerProblems.length && readerProblems[nextProblem].line <= line) {
        const { rule } = readerProblems[nextProblem++];
        if (stopsBlock.has(rule)) broken = true;
        else if (rule !== "comment-nested") commentBroken = true;
      }
      if (line === closingPercent && this.endLine < 0) this.endLine = line;
      if (!block.read(program, line)) {
        if (broken || commentBroken) this.startDoubt();
        continue;
      }
      if (this.endLine >= 0) {
        if (!toldAfterEnd)
          this.notReviewed("it stands after the end of the program and is never run", -1, -1, false);
        toldAfterEnd = true;
        continue;
      }
      if (broken || block.firstUnread >= 0) {
        if (!broken) {
          this.notReviewed(
            "expressions, parameters and O words are not worked out",
            block.firstUnread,
            block.lastUnread,
          );
        }
        this.startDoubt();
        this.state.unknownAxes |= axesNamed(block.present);
        continue;
      }
      this.runBlock();
      if (commentBroken) this.startDoubt();
    }
    for (let line = lines; line <= program.lineCount; line++)
      this.firstMotionOfLine[line] = this.motions.count;
    return {
      motions: this.motions.finished(),
      events: this.events,
      firstMotionOfLine: this.firstMotionOfLine,
      units: this.state.units,
      unitsLine: this.unitsLine,
      endLine: this.endLine,
      doubtFromLine: this.doubtFromLine,
      problems: this.problems,
    };
  }

  private startDoubt(): void {
    if (this.doubtFromLine < 0) this.doubtFromLine = this.line;
    this.doubt = MotionFlag.inDoubt;
  }

  private problem(rule: string, firstWord: number, lastWord: number, facts: Problem["facts"]): void {
    const { program, line } = this;
    const whole = firstWord < 0;
    const start = whole ? program.lineStart[line] : program.wordStart[firstWord];
    const end = whole ? lineEnd(program, line) : program.wordEnd[lastWord];
    this.problems.push({ rule, line, start, end, facts });
  }

  private notReviewed(reason: string, firstWord: number, lastWord = firstWord, doubt = true): void {
    this.problem("line-not-reviewed", firstWord, lastWord, { reason });
    if (doubt) this.startDoubt();
  }

  /** Lengths in the program are in the units in force; the engine holds mm. */
  private get scale(): number {
    return this.state.units === "in" ? INCH : 1;
  }

  private runBlock(): void {
    const { block, state } = this;
    let motion = -1;
    let motionWord = -1;
    let nonModal = -1;
    let nonModalWord = -1;
    let machinePlace = false;
    let dwell = false;
    let seenGroups = 0;
    let coordinateSystem = 0;
    for (let k = 0; k < block.gCount; k++) {
      const word = block.gWord[k];
      const tenTimes = Math.round(block.g[k] * 10);
      const group =
        Math.abs(block.g[k] * 10 - tenTimes) <= 10 * codeTolerance && tenTimes >= 0
          ? (groupOfG[tenTimes] ?? 0)
          : 0;
      if (group === 0) {
        this.notReviewed("this G code is not one that is followed", word);
        continue;
      }
      const bit = 1 << group;
      // Group 0 of the standard: G4 and G53 may stand beside one of the others, which take the axis words.
      const exclusive = group !== Group.nonModal || (tenTimes !== 40 && tenTimes !== 530);
      if (exclusive && seenGroups & bit) this.conflict("G", tenTimes, word, groupNames[group]);
      if (exclusive) seenGroups |= bit;
      switch (group) {
        case Group.motion:
          motion = tenTimes;
          motionWord = word;
          break;
        case Group.nonModal:
          if (tenTimes === 40) dwell = true;
          else if (tenTimes === 530) machinePlace = true;
          else {
            nonModal = tenTimes;
            nonModalWord = word;
          }
          break;
        case Group.plane:
          state.plane = tenTimes === 170 ? Plane.xy : tenTimes === 180 ? Plane.zx : Plane.yz;
          break;
        case Group.distance:
          state.incremental = tenTimes === 910;
          break;
        case Group.arcDistance:
          state.arcCentresAbsolute = tenTimes === 901;
          break;
        case Group.feedMode:
          if (state.inverseTime !== (tenTimes === 930)) state.feed = 0;
          state.inverseTime = tenTimes === 930;
          break;
        case Group.units:
          state.units = tenTimes === 200 ? "in" : "mm";
          if (this.unitsLine < 0) this.unitsLine = this.line;
          break;
        case Group.lengthOffset:
          // Places are those of the cutter's tip, so a length offset that is set right changes nothing here.
          if (tenTimes === 430) block.takeOr("H", 0);
          break;
        case Group.compensation:
          // G40 only: with no compensation in force it has nothing to switch off. A D word beside it is idle.
          block.takeOr("D", 0);
          break;
        case Group.retract:
          state.retractToR = tenTimes === 990;
          break;
        case Group.coordinateSystem:
          coordinateSystem = tenTimes;
          break;
      }
    }
    if (
      motion >= 0 &&
      nonModal >= 0 &&
      nonModal !== 921 &&
      nonModal !== 922 &&
      nonModal !== 923 &&
      block.present & axisBits
    ) {
      if (motion !== 800) this.conflict("G", nonModal, nonModalWord, "axis-using");
    }
    this.feedSpeedTool();
    const stop = this.runMCodes();
    if (dwell) this.dwell();
    if (coordinateSystem) this.selectSystem(coordinateSystem);
    if (nonModal === 280 || nonModal === 300) this.goHome(nonModal);
    else if (nonModal >= 920) this.shiftCoordinates(nonModal);
    if (motion >= 0) {
      if (motion !== state.motion) state.cycleZ = state.cycleR = state.cycleP = state.cycleQ = NaN;
      state.motion = motion;
    }
    const turning = (state.motion === 20 || state.motion === 30) && (block.present & centreBits) !== 0;
    if ((block.present & ~block.used & axisBits) !== 0 || turning) this.move(machinePlace, motionWord);
    if (stop >= 0) this.stop(stop);
    this.reportUnused();
  }

  /** Two words of one modal group in a block: an error of the standard; the last one is taken, in doubt. */
  private conflict(letter: "G" | "M", code: number, word: number, group: string): void {
    this.problem("modal-conflict", word, word, { word: codeName(letter, code), group });
    this.startDoubt();
  }

  private feedSpeedTool(): void {
    const { block, state } = this;
    // The block's own units count for its F word, also where G20 or G21 stands in the same block.
    if (block.has("F"))
      state.feed = Math.max(0, state.inverseTime ? block.take("F") : block.take("F") * this.scale);
    else if (state.inverseTime) state.feed = 0;
    if (block.has("S")) {
      state.speed = Math.max(0, block.take("S"));
      if (state.spindle) this.spindleEvent();
    }
    if (block.has("T")) {
      const tool = block.take("T");
      if (tool < 0 || tool > 65535 || !Number.isInteger(tool)) {
        this.notReviewed("a tool number is a whole number from 0 to 65535", block.word[letterIndex("T")]);
      } else {
        state.selectedTool = tool;
        // Without any M6 in the program the operator changes tools by hand at the T word (common practice).
        if (!this.toolChangesByM6) this.changeTool();
      }
    }
  }

  private changeTool(): void {
    const { state } = this;
    if (state.tool === state.selectedTool && this.toolStated) return;
    this.toolStated = true;
    state.tool = state.selectedTool;
    this.events.push({ kind: "tool", line: this.line, motion: this.motions.count, tool: state.tool });
  }

  private spindleEvent(): void {
    this.events.push({
      kind: "spindle",
      line: this.line,
      motion: this.motions.count,
      speed: spindleOf(this.state),
    });
  }

  /** Runs all M codes but the stopping ones; returns the stopping code or -1. */
  private runMCodes(): number {
    const { block, state } = this;
    let stop = -1;
    let seenGroups = 0;
    let lastCoolant = -1;
    let spindle = -1;
    for (let k = 0; k < block.mCount; k++) {
      const word = block.mWord[k];
      const code = Math.round(block.m[k]);
      const group = Math.abs(block.m[k] - code) <= codeTolerance && code >= 0 ? (groupOfM[code] ?? 0) : 0;
      if (group === 0) {
        this.notReviewed("this M code is not one that is followed", word);
        continue;
      }
      const bit = 1 << group;
      // M7 and M8 may both be on.
      const bothCoolants = group === MGroup.coolant && code !== 9 && lastCoolant !== 9;
      if (seenGroups & bit && !bothCoolants) this.conflict("M", code * 10, word, mGroupNames[group]);
      seenGroups |= bit;
      if (group === MGroup.stop) stop = code;
      else if (group === MGroup.spindle) spindle = code;
      else if (group === MGroup.toolChange) {
        // NISTIR 6556 section 3.6.3: a tool change stops the spindle.
        state.spindle = 0;
        this.changeTool();
      } else if (group === MGroup.coolant) {
        lastCoolant = code;
        if (code === 7) state.mist = true;
        else if (code === 8) state.flood = true;
        else state.mist = state.flood = false;
      }
    }
    if (spindle >= 0) {
      state.spindle = spindle === 3 ? 1 : spindle === 4 ? -1 : 0;
      this.spindleEvent();
    }
    return stop;
  }

  private stop(code: number): void {
    if (code === 2 || code === 30) {
      this.endLine = this.line;
      this.events.push({ kind: "end", line: this.line, motion: this.motions.count });
    } else {
      this.events.push({ kind: "stop", line: this.line, motion: this.motions.count, optional: code === 1 });
    }
  }

  private dwell(): void {
    const { block, state } = this;
    const seconds = block.takeOr("P", NaN);
    if (!(seconds >= 0)) {
      this.notReviewed("a dwell needs its time: G4 P with seconds, not negative", -1, -1, false);
      return;
    }
    const flags = this.doubt | (state.unknownAxes ? MotionFlag.startUnknown | MotionFlag.endUnknown : 0);
    const i = this.motions.add(
      MotionKind.dwell,
      flags,
      this.line,
      state.x,
      state.y,
      state.z,
      0,
      state.tool,
      spindleOf(state),
    );
    this.motions.setDwell(i, seconds);
  }

  private selectSystem(code: number): void {
    this.state.system = code;
    if (this.baseSystem && code !== this.baseSystem && !this.systemsKnown(code)) {
      if (!this.toldUnknownSystem) {
        this.problem("machine-place-unknown", -1, -1, { word: codeName("G", code), place: "work zero" });
      }
      this.toldUnknownSystem = true;
      this.startDoubt();
    }
  }

  private systemsKnown(code: number): boolean {
    const known = (c: number) => c === 540 || this.profile.workOffsets[codeName("G", c)] !== undefined;
    return known(code) && known(this.baseSystem);
  }

  /** Where the zero of the numbers a program writes lies in the stock frame, on an axis, mm. */
  private zeroOf(axis: number): number {
    const { state, profile, baseSystem } = this;
    let zero = state.g92[axis];
    if (baseSystem && state.system !== baseSystem && this.systemsKnown(state.system)) {
      const offset = (code: number) => profile.workOffsets[codeName("G", code)]?.[axis] ?? 0;
      zero += offset(state.system) - offset(baseSystem);
    }
    return zero;
  }

  private place(axis: number): number {
    return axis === 0 ? this.state.x : axis === 1 ? this.state.y : this.state.z;
  }

  /** Works out where the block's axis words lead, into `target`; returns the bits of axes not known there. */
  private readTarget(machinePlace: boolean): number {
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
  private addMotion(kind: number, unknown: number, feed: number, extraFlags = 0): number {
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

  private move(machinePlace: boolean, motionWord: number): void {
    const { state, block } = this;
    const code = state.motion;
    if (!this.baseSystem) this.baseSystem = state.system;
    if (code === 800) {
      this.notReviewed("it has axis words, but no motion code is in force (G0, G1, G2, G3 or a cycle)", -1);
      state.unknownAxes |= axesNamed(block.present);
      block.used |= axisBits;
      return;
    }
    if (machinePlace && code > 10) {
      this.notReviewed("G53 goes with G0 or G1 only", motionWord);
      state.unknownAxes |= axesNamed(block.present);
      block.used |= axisBits;
      return;
    }
    if (code >= 810) {
      this.runCycle(code);
      return;
    }
    const unknown = this.readTarget(machinePlace);
    if (machinePlace && !this.profile.workZero) this.tellHome("G53");
    if (code === 0) this.addMotion(MotionKind.rapid, unknown, 0);
    else if (code === 10) this.straightFeed(unknown);
    else this.arc(code === 30, unknown);
  }

  private straightFeed(unknown: number): void {
    const { state, target } = this;
    if (!state.inverseTime) {
      this.addMotion(MotionKind.feed, unknown, state.feed);
      return;
    }
    const length = Math.hypot(target[0] - state.x, target[1] - state.y, target[2] - state.z);
    this.addMotion(MotionKind.feed, unknown, length * state.feed, MotionFlag.inverseTime);
  }

  private arc(counterClockwise: boolean, unknown: number): void {
    const { block, state, target, scale } = this;
    const [a, b, c] = planeAxes[state.plane];
    const fromA = this.place(a);
    const fromB = this.place(b);
    const toA = target[a];
    const toB = target[b];
    const turnsWord = block.takeOr("P", 1);
    const turns = Number.isInteger(turnsWord) && turnsWord > 0 && turnsWord <= 100000 ? turnsWord : 0;
    if (turns === 0)
      this.notReviewed("P of an arc is a whole number of turns, 1 or more", block.word[letterIndex("P")]);
    let centreA: number;
    let centreB: number;
    const offsetLetters = [centreLetters[a], centreLetters[b]];
    const startKnown = (state.unknownAxes & ((1 << a) | (1 << b))) === 0;
    if (block.has("R")) {
      const radius = block.take("R") * scale;
      const rWord = block.word[letterIndex("R")];
      const found = centreFromRadius(fromA, fromB, toA, toB, radius, counterClockwise);
      if (!found) {
        this.notReviewed("an arc by radius cannot end where it starts: give its centre with I, J, K", -1);
        this.addMotion(MotionKind.feed, unknown, state.inverseTime ? 0 : state.feed);
        return;
      }
      // The standard gives no figure for R; the one it gives for centres serves.
      if (startKnown && found.shortBy > this.arcTolerance) {
        const halfChord = Math.hypot(toA - fromA, toB - fromB) / 2;
        this.problem("arc-radius-too-small", rWord, rWord, {
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
          this.notReviewed("with absolute arc centres (G90.1) both centre words of the plane are needed", -1);
          this.addMotion(MotionKind.feed, unknown, state.inverseTime ? 0 : state.feed);
          return;
        }
        centreA = offsetA + this.zeroOf(a);
        centreB = offsetB + this.zeroOf(b);
      } else {
        centreA = fromA + (offsetA || 0);
        centreB = fromB + (offsetB || 0);
      }
    } else {
      const plane = ["XY", "ZX", "YZ"][state.plane];
      this.notReviewed(
        `the arc has neither a centre (${offsetLetters.join(", ")} in the ${plane} plane) nor a radius (R)`,
        -1,
      );
      this.addMotion(MotionKind.feed, unknown, state.inverseTime ? 0 : state.feed);
      return;
    }
    if (startKnown) this.checkEndPoint(fromA, fromB, toA, toB, centreA, centreB);
    const sweep = arcSweep(fromA, fromB, toA, toB, centreA, centreB, counterClockwise, turns || 1);
    let feed = state.feed;
    if (state.inverseTime) {
      const radius = Math.hypot(fromA - centreA, fromB - centreB);
      feed *= Math.hypot(radius * sweep, target[c] - this.place(c));
    }
    const i = this.addMotion(MotionKind.arc, unknown, feed, state.inverseTime ? MotionFlag.inverseTime : 0);
    this.motions.setArc(i, state.plane, centreA, centreB, sweep);
  }

  /** NISTIR 6556 section 3.5.3.2: 0.002 mm, or 0.0002 inch in inch programs. */
  private get arcTolerance(): number {
    return this.state.units === "in" ? 0.0002 * INCH : 0.002;
  }

  private checkEndPoint(
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
    if (difference > this.arcTolerance + 1e-9) {
      this.problem("arc-endpoint-off", -1, -1, { startRadius, endRadius, difference });
    }
  }

  private runCycle(code: number): void {
    const { block, state, target, scale } = this;
    const [a, b, c] = planeAxes[state.plane];
    const normal = axisLetters[c];
    if (block.has(normal)) state.cycleZ = block.take(normal) * scale;
    if (block.has("R")) state.cycleR = block.take("R") * scale;
    if (block.has("P")) state.cycleP = block.take("P");
    if (block.has("Q")) state.cycleQ = block.take("Q") * scale;
    const repeats = block.takeOr("L", 1);
    const refusal = this.cycleRefusal(code, repeats, a, b);
    if (refusal) {
      this.notReviewed(refusal, -1);
      state.unknownAxes |= axesNamed(block.present);
      block.used |= axisBits;
      return;
    }
    const zero = this.zeroOf(c);
    const old = this.place(c);
    const clearance = state.incremental ? old + state.cycleR : state.cycleR + zero;
    const bottom = state.incremental ? clearance + state.cycleZ : state.cycleZ + zero;
    if (clearance < bottom) {
      this.notReviewed(`the cycle's R lies below its ${normal}`, -1);
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
      this.addMotion(
        kind,
        state.unknownAxes & ~known,
        kind === MotionKind.feed ? state.feed : 0,
        MotionFlag.fromCycle,
      );
    };
    const cBit = 1 << c;
    if (!oldKnown || old < clearance) go(MotionKind.rapid, this.place(a), this.place(b), clearance, cBit);
    for (let n = 0; n < repeats; n++) {
      const next = (axis: number, step: number) => {
        if (Number.isNaN(step)) return this.place(axis);
        return state.incremental ? this.place(axis) + step : step + this.zeroOf(axis);
      };
      const toA = next(a, stepA);
      const toB = next(b, stepB);
      const named = state.incremental
        ? 0
        : (Number.isNaN(stepA) ? 0 : 1 << a) | (Number.isNaN(stepB) ? 0 : 1 << b);
      if (toA !== this.place(a) || toB !== this.place(b) || state.unknownAxes & named) {
        go(MotionKind.rapid, toA, toB, this.place(c), named);
      }
      if (this.place(c) !== clearance) go(MotionKind.rapid, toA, toB, clearance, cBit);
      for (const step of planCycle(code, clearance, bottom, retract, state.cycleP, state.cycleQ)) {
        if (step.kind === "dwell") {
          const i = this.motions.count;
          target[axes[0]] = toA;
          target[axes[1]] = toB;
          target[axes[2]] = this.place(c);
          this.addMotion(MotionKind.dwell, state.unknownAxes, 0, MotionFlag.fromCycle);
          this.motions.setDwell(i, step.seconds);
        } else go(step.kind === "feed" ? MotionKind.feed : MotionKind.rapid, toA, toB, step.to, cBit);
      }
    }
  }

  /** The errors of NISTIR 6556 section 3.5.16 that stop a cycle, as a reason; undefined: it can run. */
  private cycleRefusal(code: number, repeats: number, a: number, b: number): string | undefined {
    const { state, block } = this;
    const name = codeName("G", code);
    if (state.inverseTime) return `${name} cannot run under inverse-time feed (G93)`;
    if (!block.has(axisLetters[a]) && !block.has(axisLetters[b])) {
      return `${name} needs ${axisLetters[a]} or ${axisLetters[b]} in each block`;
    }
    if (Number.isNaN(state.cycleZ) || Number.isNaN(state.cycleR)) return `${name} needs its depth and its R`;
    if (!Number.isInteger(repeats) || repeats < 1 || repeats > 10000)
      return "L of a cycle is a whole number from 1 to 10000";
    if (code === 820 && !(state.cycleP >= 0)) return "G82 needs P, the seconds to wait at the bottom";
    if (code === 830 && !(state.cycleQ > 0)) return "G83 needs Q, the depth of a peck, above 0";
    return undefined;
  }

  private tellHome(word: string): void {
    if (this.toldHome) return;
    this.toldHome = true;
    this.problem("machine-place-unknown", -1, -1, { word, place: "machine place" });
  }

  /** G28 and G30: by the programmed point, if there is one, to the reference point. */
  private goHome(code: number): void {
    const { block, state, target, profile } = this;
    const named = axesNamed(block.present);
    if (named) this.addMotion(MotionKind.rapid, this.readTarget(false), 0);
    const home = code === 280 ? profile.home28 : profile.home30;
    const going = named && profile.homeAxes === "named" ? named : 7;
    let unknown = state.unknownAxes;
    for (let axis = 0; axis < 3; axis++) {
      target[axis] = this.place(axis);
      if (!(going & (1 << axis))) continue;
      target[axis] = home[axis] - (profile.workZero?.[axis] ?? 0);
      if (profile.workZero) unknown &= ~(1 << axis);
      else unknown |= 1 << axis;
    }
    if (!profile.workZero) this.tellHome(codeName("G", code));
    this.addMotion(MotionKind.rapid, unknown, 0);
  }

  /** G92 and its three companions (NISTIR 6556 section 3.5.18). */
  private shiftCoordinates(code: number): void {
    const { block, state, scale } = this;
    if (code === 920) {
      if (!(block.present & axisBits))
        this.notReviewed("G92 needs X, Y or Z: the numbers the present place shall have", -1);
      for (let axis = 0; axis < 3; axis++) {
        if (!block.has(axisLetters[axis])) continue;
        const value = block.take(axisLetters[axis]) * scale;
        if (state.unknownAxes & (1 << axis)) {
          // The place was not known: the program now states it, and the stock frame follows.
          const place = value + this.zeroOf(axis);
          if (axis === 0) state.x = place;
          else if (axis === 1) state.y = place;
          else state.z = place;
          state.unknownAxes &= ~(1 << axis);
        } else state.g92[axis] += this.place(axis) - (value + this.zeroOf(axis));
      }
      state.storedG92 = [...state.g92];
    } else if (code === 923) state.g92 = [...state.storedG92];
    else {
      state.g92 = [0, 0, 0];
      if (code === 921) state.storedG92 = [0, 0, 0];
    }
  }

  /** A word that no code of the block uses is an error in the standard, and may mean something elsewhere. */
  private reportUnused(): void {
    const { block, state } = this;
    let idle = block.present & ~block.used & ~alwaysUsed & ~(1 << letterIndex("O"));
    // A bare number after O ahead of all motion is the program's number; later it is a label.
    if (block.has("O") && this.motions.count > 0) idle |= 1 << letterIndex("O");
    if (!idle) return;
    // H alone belongs to a length offset already in force.
    for (let index = 0; index < 26; index++) {
      if (!(idle & (1 << index))) continue;
      const letter = String.fromCharCode(65 + index);
      const rotary = letter === "A" || letter === "B" || letter === "C";
      const reason = rotary
        ? `${letter} turns a rotary axis, which is not followed`
        : `no code in this block uses ${letter}${state.motion === 800 ? "" : ` (${codeName("G", state.motion)} is in force)`}`;
      this.notReviewed(reason, block.word[index]);
    }
  }
}

/** Bits of X, Y, Z (1, 2, 4) among the letters present. */
function axesNamed(present: number): number {
  let bits = 0;
  for (let axis = 0; axis < 3; axis++) if (present & (1 << letterIndex(axisLetters[axis]))) bits |= 1 << axis;
  return bits;
}

function hasM6(program: Program): boolean {
  for (let i = 0; i < program.wordCount; i++) {
    if (program.wordLetter[i] === 77 && program.wordValue[i] === 6) return true;
  }
  return false;
}

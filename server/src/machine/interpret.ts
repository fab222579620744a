/**
 * The interpreter: blocks to motions, in the order of execution of NISTIR 6556 section 3.8 (table 8).
 * It never fails. A block it cannot follow gives a `line-not-reviewed` problem at its exact words, and
 * every motion after it carries the mark `inDoubt`.
 *
 * Left for the expressions and subprograms of the full language: words of kind "expression" arrive here
 * with their range and no value; `runBlock` is the one place that would give them one.
 */
import type { MachineProfile } from "../job/facts.ts";
import type { Program } from "../language/program.ts";
import { axisBits, letterIndex } from "./block.ts";
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
import { axesNamed, Executor } from "./executor.ts";
import { goHome, shiftCoordinates } from "./machine-places.ts";
import { spindleOf, type ModalState } from "./modal-state.ts";
import { MotionFlag, MotionKind, Plane, type MachineEvent, type Toolpath } from "./motions.ts";
import { runArc } from "./run-arc.ts";
import { runCycle } from "./run-cycle.ts";

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

class Interpreter extends Executor {
  private readonly events: MachineEvent[] = [];
  private readonly firstMotionOfLine: Uint32Array;
  private readonly toolChangesByM6: boolean;
  private unitsLine = -1;
  private endLine = -1;
  private toolStated = false;

  constructor(program: Program, profile: MachineProfile) {
    super(program, profile);
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
        // A readable F most likely holds for what follows; without it the next move would seem to have no feed.
        if (block.hasValue("F") && !this.state.inverseTime)
          this.state.feed = Math.max(0, block.take("F") * this.scale);
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
    /** A code that is not followed may own the block's other words: then none of them is acted on. */
    let unread = false;
    for (let k = 0; k < block.gCount; k++) {
      const word = block.gWord[k];
      const tenTimes = Math.round(block.g[k] * 10);
      const group =
        Math.abs(block.g[k] * 10 - tenTimes) <= 10 * codeTolerance && tenTimes >= 0
          ? (groupOfG[tenTimes] ?? 0)
          : 0;
      if (group === 0) {
        this.notReviewed("this G code is not one that is followed, so its block makes no motion here", word);
        unread = true;
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
        case Group.pathControl:
          // The blending tolerance of the open dialect; the programmed path is the same.
          block.takeOr("P", 0);
          block.takeOr("Q", 0);
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
    if (unread) {
      state.unknownAxes |= axesNamed(block.present);
      if (stop >= 0) this.stop(stop);
      return;
    }
    if (dwell) this.dwell();
    if (coordinateSystem) this.selectSystem(coordinateSystem);
    if (nonModal === 280 || nonModal === 300) goHome(this, nonModal);
    else if (nonModal >= 920) shiftCoordinates(this, nonModal);
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
        // P, Q, L and the like most often belong to it.
        block.used |= ~axisBits;
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
      runCycle(this, code);
      return;
    }
    const unknown = this.readTarget(machinePlace);
    if (machinePlace && !this.profile.workZero) this.tellHome("G53");
    if (code === 0) this.addMotion(MotionKind.rapid, unknown, 0);
    else if (code === 10) this.straightFeed(unknown);
    else runArc(this, code === 30, unknown);
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

function hasM6(program: Program): boolean {
  for (let i = 0; i < program.wordCount; i++) {
    if (program.wordLetter[i] === 77 && program.wordValue[i] === 6) return true;
  }
  return false;
}

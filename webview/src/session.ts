/** What is being looked at: the scene, how much of it is done, what is marked, which layers are on. */
import type { Scene } from "../../server/src/report/scene.ts";

export const layerNames = ["stock", "toolpath", "rapids", "tool", "findings", "skin"] as const;
export type LayerName = (typeof layerNames)[number];
export type Layers = Record<LayerName, boolean>;

/** What changed. */
export type Change = "scene" | "place" | "mark" | "layers" | "playing" | "finding";

/** Motions from `first` up to and without `end`. */
export interface MotionRange {
  readonly first: number;
  readonly end: number;
}

export class Session {
  scene: Scene | undefined;
  /** Number of motions that are done: 0 to `motions.count`. */
  done = 0;
  /** Share (0 to 1) of motion `done` that is under way while playing. */
  underway = 0;
  /** Motions of the editor's line or of a finding. */
  mark: MotionRange | undefined;
  /** Index of the finding last chosen, or -1. */
  finding = -1;
  playing = false;
  readonly layers: Layers = {
    stock: true,
    toolpath: true,
    rapids: true,
    tool: true,
    findings: true,
    skin: true,
  };
  private readonly listeners: ((change: Change) => void)[] = [];

  /** Calls back after each change, in the order of registration. */
  onChange(listener: (change: Change) => void): void {
    this.listeners.push(listener);
  }

  get motionCount(): number {
    return this.scene?.motions.count ?? 0;
  }

  /** The motion in focus: the last that is done, or the one under way; -1 before the first. */
  get current(): number {
    return this.underway > 0 ? this.done : this.done - 1;
  }

  /** Shows a scene; an edited program keeps its place, a place at the end stays at the end. */
  show(scene: Scene): void {
    const atEnd = this.scene === undefined || this.done >= this.motionCount;
    this.scene = scene;
    this.done = atEnd ? scene.motions.count : Math.min(this.done, scene.motions.count);
    this.underway = 0;
    this.mark = undefined;
    this.finding = -1;
    this.emit("scene");
  }

  /** Moves to the place after `done` motions, and `underway` of the next. */
  goTo(done: number, underway = 0): void {
    const bounded = Math.min(Math.max(Math.round(done), 0), this.motionCount);
    const share = bounded < this.motionCount ? underway : 0;
    if (bounded === this.done && share === this.underway) return;
    this.done = bounded;
    this.underway = share;
    this.emit("place");
  }

  setMark(mark: MotionRange | undefined): void {
    this.mark = mark;
    this.emit("mark");
  }

  setFinding(index: number): void {
    this.finding = index;
    this.emit("finding");
  }

  setLayer(name: LayerName, on: boolean): void {
    this.layers[name] = on;
    this.emit("layers");
  }

  setPlaying(playing: boolean): void {
    if (this.playing === playing) return;
    this.playing = playing;
    this.emit("playing");
  }

  private emit(change: Change): void {
    for (const listener of this.listeners) listener(change);
  }
}

/** The material after any number of motions, forwards and backwards. */
import type { Motions } from "../machine/motions.ts";
import type { Cutter } from "./cutter.ts";
import type { Grid, HeightField } from "./field.ts";
import { Material } from "./material.ts";

/** Most memory for keyframes, bytes, and what one costs per cell (height, setter, first through). */
const keyframeMemory = 64 * 1024 * 1024;
const bytesPerCell = 12;
/** More keyframes than this gain nothing: the motions between two are few. */
const mostKeyframes = 256;

interface Keyframe {
  readonly motionCount: number;
  readonly height: Float32Array;
  readonly setBy: Int32Array;
  readonly throughBy: Int32Array;
}

/**
 * Steps through a program's material. Forwards by carving, backwards from the nearest keyframe. Keyframes are
 * laid down evenly over the motions on the first way through and take about 64 MB at most.
 */
export class Playback {
  private readonly material: Material;
  private readonly keyframes: Keyframe[] = [];
  private readonly spacing: number;
  private applied = 0;

  /** Arguments as for `Material`. */
  constructor(
    private readonly motions: Motions,
    private readonly cutterOf: (tool: number) => Cutter,
    grid: Grid,
    top: number,
    underside: number,
    private readonly start?: Float32Array,
  ) {
    this.material = new Material(grid, top, underside, start);
    const fit = Math.floor(keyframeMemory / (grid.columns * grid.rows * bytesPerCell));
    const keyframes = Math.min(mostKeyframes, fit);
    this.spacing = keyframes > 0 ? Math.max(1, Math.ceil(motions.count / (keyframes + 1))) : Infinity;
  }

  /** Number of motions carved into the field now. */
  get motionCount(): number {
    return this.applied;
  }

  /**
   * The material after the first `motionCount` motions (limited to what there is). The field returned is the
   * one and only: the next call changes it.
   */
  seek(motionCount: number): HeightField {
    const target = Math.min(this.motions.count, Math.max(0, Math.floor(motionCount)));
    this.jump(target);
    const { motions } = this;
    let tool = -1;
    let cutter: Cutter | undefined;
    while (this.applied < target) {
      const i = this.applied;
      if (motions.tool[i] !== tool || !cutter) {
        tool = motions.tool[i];
        cutter = this.cutterOf(tool);
      }
      this.material.apply(motions, i, cutter);
      this.applied++;
      if (this.applied % this.spacing === 0) this.layDown();
    }
    return this.material.field;
  }

  /** Goes to the last keyframe at or before the target, if carving on from here would not be shorter. */
  private jump(target: number): void {
    let nearest: Keyframe | undefined;
    for (const keyframe of this.keyframes) if (keyframe.motionCount <= target) nearest = keyframe;
    const from = nearest?.motionCount ?? 0;
    if (this.applied <= target && this.applied >= from) return;
    if (nearest) {
      const { height, setBy, throughBy } = this.material.field;
      height.set(nearest.height);
      setBy.set(nearest.setBy);
      throughBy.set(nearest.throughBy);
    } else this.material.reset(this.start);
    this.applied = from;
  }

  private layDown(): void {
    const last = this.keyframes.at(-1);
    if (last && last.motionCount >= this.applied) return;
    const { height, setBy, throughBy } = this.material.field;
    this.keyframes.push({
      motionCount: this.applied,
      height: height.slice(),
      setBy: setBy.slice(),
      throughBy: throughBy.slice(),
    });
  }
}

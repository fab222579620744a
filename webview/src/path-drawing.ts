/** The toolpath: cuts solid, rapids dashed; what is to come and what is hidden is fainter; the marked motions stand out. */
import { Group, type DataTexture } from "three";
import type { Palette } from "./colours.ts";
import { segmentStride, type PathSegments } from "./path-segments.ts";
import type { MotionRange } from "./session.ts";
import { drawSegments, lineMesh, segmentTexture, type LineMesh } from "./wide-lines.ts";

/** Most segments drawn as marked; a longer range is shown by its first ones. */
const mostMarked = 20_000;

/** CSS px. */
const lineWidth = 1.3;
/** Share of the board that lines may cover before they are thinned out. */
const mostCovered = 0.16;
const frontOpacity = { done: 0.6, toDo: 0.5 };
const behindOpacity = { done: 0.09, toDo: 0.36 };

export class PathDrawing {
  readonly group = new Group();
  private readonly texture: DataTexture;
  private readonly behind: LineMesh;
  private readonly front: LineMesh;
  private readonly marked: Marked;
  private readonly current: Marked;
  /** Length of the cutting motions over the board's area, 1/mm. */
  private readonly density: number;

  /** @param area of the board, mm^2 */
  constructor(
    private readonly segments: PathSegments,
    area: number,
  ) {
    this.density = cuttingLength(segments) / Math.max(area, 1);
    this.texture = segmentTexture(segments.data, segments.count);
    this.behind = lineMesh(this.texture, { width: lineWidth, opacity: 0, opacityToDo: 0, hidden: true });
    this.front = lineMesh(this.texture, { width: lineWidth, opacity: 0, opacityToDo: 0, lift: 0.05 });
    this.behind.renderOrder = 2;
    this.front.renderOrder = 3;
    this.marked = new Marked(this.texture, 4, 3.4);
    this.current = new Marked(this.texture, 6, 4.2);
    this.group.add(this.behind, this.front, ...this.marked.meshes, ...this.current.meshes);
  }

  setDone(done: number): void {
    this.front.material.uniforms.done.value = done;
    this.behind.material.uniforms.done.value = done;
  }

  setMark(mark: MotionRange | undefined): void {
    this.marked.fill(this.segments, mark);
  }

  setCurrent(motion: number): void {
    this.current.fill(this.segments, motion >= 0 ? { first: motion, end: motion + 1 } : undefined);
  }

  show(cuts: boolean, rapids: boolean): void {
    // With both off nothing is sent to be drawn.
    for (const mesh of [this.front, this.behind])
      drawSegments(mesh, 0, cuts || rapids ? this.segments.count : 0);
    for (const mesh of this.meshes) {
      mesh.material.uniforms.showCuts.value = cuts ? 1 : 0;
      mesh.material.uniforms.showRapids.value = rapids ? 1 : 0;
    }
  }

  /** Size of the picture in CSS px, and its scale in CSS px per mm. */
  setSize(width: number, height: number, scale: number): void {
    // Where the lines would cover much of the board they are thinned out, so that the wood is seen through them.
    const covered = (this.density * lineWidth) / scale;
    const thinned = Math.min(1, Math.max(0.14, mostCovered / covered));
    this.front.material.uniforms.opacity.value = frontOpacity.done * thinned;
    this.front.material.uniforms.opacityToDo.value = frontOpacity.toDo * thinned;
    this.behind.material.uniforms.opacity.value = behindOpacity.done * thinned;
    this.behind.material.uniforms.opacityToDo.value = behindOpacity.toDo * thinned;
    for (const mesh of this.meshes) {
      mesh.material.uniforms.size.value.set(width, height);
    }
  }

  setPalette(palette: Palette): void {
    const { rgb } = palette;
    for (const mesh of [this.behind, this.front]) {
      mesh.material.uniforms.cutColour.value = rgb.path;
      mesh.material.uniforms.rapidColour.value = rgb.rapid;
    }
    this.marked.colour(rgb["mark-casing"], rgb.mark);
    this.current.colour(rgb["current-casing"], rgb.current);
  }

  dispose(): void {
    for (const mesh of this.meshes) {
      mesh.geometry.dispose();
      mesh.material.dispose();
    }
    this.texture.dispose();
  }

  private get meshes(): LineMesh[] {
    return [this.behind, this.front, ...this.marked.meshes, ...this.current.meshes];
  }
}

/** mm. */
function cuttingLength({ data, count }: PathSegments): number {
  let length = 0;
  for (let s = 0, at = 0; s < count; s++, at += segmentStride) {
    if (data[at + 7] > 0)
      length += Math.hypot(data[at + 3] - data[at], data[at + 4] - data[at + 1], data[at + 5] - data[at + 2]);
  }
  return length;
}

/** A range of motions drawn wide with a casing, over everything, so that it is found under the wood too. */
class Marked {
  readonly meshes: readonly [LineMesh, LineMesh];

  constructor(texture: DataTexture, renderOrder: number, width: number) {
    const look = { opacity: 1, opacityToDo: 1, onTop: true } as const;
    this.meshes = [
      lineMesh(texture, { ...look, width: width + 2.6, dashed: false }),
      lineMesh(texture, { ...look, width }),
    ];
    this.meshes[0].renderOrder = renderOrder;
    this.meshes[1].renderOrder = renderOrder + 1;
  }

  fill(segments: PathSegments, range: MotionRange | undefined): void {
    const first = range ? segments.firstOfMotion[range.first] : 0;
    const end = range ? Math.min(segments.firstOfMotion[range.end], first + mostMarked) : 0;
    for (const mesh of this.meshes) drawSegments(mesh, first, end - first);
  }

  colour(casing: { x: number; y: number; z: number }, line: { x: number; y: number; z: number }): void {
    const [outer, inner] = this.meshes;
    for (const name of ["cutColour", "rapidColour"]) {
      outer.material.uniforms[name].value = casing;
      inner.material.uniforms[name].value = line;
    }
  }
}

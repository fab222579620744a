/** The toolpath: cuts solid, rapids dashed; what is to come and what is hidden is fainter; the marked motions stand out. */
import { Group, type InstancedBufferGeometry } from "three";
import type { Palette } from "./colours.ts";
import { segmentStride, type PathSegments } from "./path-segments.ts";
import type { MotionRange } from "./session.ts";
import { lineMesh, segmentGeometry, type LineMesh } from "./wide-lines.ts";

/** Most segments drawn as marked; a longer range is shown by its first ones. */
const mostMarked = 20_000;

export class PathDrawing {
  readonly group = new Group();
  private readonly geometry: InstancedBufferGeometry;
  private readonly behind: LineMesh;
  private readonly front: LineMesh;
  private readonly marked: Marked;
  private readonly current: Marked;

  constructor(private readonly segments: PathSegments) {
    this.geometry = segmentGeometry(segments.data, segments.count);
    this.behind = lineMesh(this.geometry, { width: 1.3, opacity: 0.09, opacityToDo: 0.36, hidden: true });
    this.front = lineMesh(this.geometry, { width: 1.3, opacity: 0.6, opacityToDo: 0.45, lift: 0.05 });
    this.behind.renderOrder = 2;
    this.front.renderOrder = 3;
    this.marked = new Marked(4, 3.4);
    this.current = new Marked(6, 4.2);
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
    for (const mesh of this.meshes) {
      mesh.material.uniforms.showCuts.value = cuts ? 1 : 0;
      mesh.material.uniforms.showRapids.value = rapids ? 1 : 0;
    }
  }

  /** Size of the picture in CSS px. */
  setSize(width: number, height: number, pixelRatio: number): void {
    for (const mesh of this.meshes) {
      mesh.material.uniforms.size.value.set(width, height);
      mesh.material.uniforms.pixelRatio.value = pixelRatio;
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
  }

  private get meshes(): LineMesh[] {
    return [this.behind, this.front, ...this.marked.meshes, ...this.current.meshes];
  }
}

/** A range of motions drawn wide with a casing, over everything, so that it is found under the wood too. */
class Marked {
  readonly meshes: readonly [LineMesh, LineMesh];

  constructor(renderOrder: number, width: number) {
    const empty = segmentGeometry(new Float32Array(segmentStride), 0);
    const look = { opacity: 1, opacityToDo: 1, onTop: true } as const;
    this.meshes = [
      lineMesh(empty, { ...look, width: width + 2.6, dashed: false }),
      lineMesh(empty, { ...look, width }),
    ];
    this.meshes[0].renderOrder = renderOrder;
    this.meshes[1].renderOrder = renderOrder + 1;
  }

  fill(segments: PathSegments, range: MotionRange | undefined): void {
    const first = range ? segments.firstOfMotion[range.first] : 0;
    const end = range ? Math.min(segments.firstOfMotion[range.end], first + mostMarked) : 0;
    const data = segments.data.slice(first * segmentStride, end * segmentStride);
    const geometry = segmentGeometry(end > first ? data : new Float32Array(segmentStride), end - first);
    this.meshes[0].geometry.dispose();
    for (const mesh of this.meshes) {
      mesh.geometry = geometry;
      mesh.visible = end > first;
    }
  }

  colour(casing: { x: number; y: number; z: number }, line: { x: number; y: number; z: number }): void {
    const [outer, inner] = this.meshes;
    for (const name of ["cutColour", "rapidColour"]) {
      outer.material.uniforms[name].value = casing;
      inner.material.uniforms[name].value = line;
    }
  }
}

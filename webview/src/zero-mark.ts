/** Where the program's zero is, which way the axes go, and how large the board is. */
import { MotionFlag, MotionKind } from "../../server/src/machine/motions.ts";
import type { Scene } from "../../server/src/report/scene.ts";
import type { Palette } from "./colours.ts";
import { drawing } from "./elements.ts";
import type { Label } from "./labels.ts";
import { aboutLength, roundLength } from "./lengths.ts";
import type { Box, Orbit } from "./orbit.ts";
import { segmentStride } from "./path-segments.ts";
import { drawSegments, lineMesh, segmentTexture, type LineMesh } from "./wide-lines.ts";

/** Length of the axes on the picture, CSS px. */
const axisPixels = 42;

/** Three lines from the zero, always the same size on the picture, with a casing that sets them off. */
export class ZeroMark {
  readonly meshes: readonly [LineMesh, LineMesh];
  private readonly texture = segmentTexture(unitAxes(), 3);
  private readonly data = this.texture.image.data as Float32Array;

  constructor() {
    const look = { opacity: 1, opacityToDo: 1, onTop: true } as const;
    this.meshes = [
      lineMesh(this.texture, { ...look, width: 4.5 }),
      lineMesh(this.texture, { ...look, width: 2 }),
    ];
    for (const mesh of this.meshes) drawSegments(mesh, 0, 3);
    this.meshes[0].renderOrder = 9;
    this.meshes[1].renderOrder = 10;
  }

  place(orbit: Orbit): void {
    for (let axis = 0; axis < 3; axis++)
      this.data[axis * segmentStride + 3 + axis] = axisPixels / orbit.scale;
    this.texture.needsUpdate = true;
    for (const mesh of this.meshes) mesh.material.uniforms.size.value.set(orbit.width, orbit.height);
  }

  setPalette(palette: Palette): void {
    this.meshes[0].material.uniforms.cutColour.value = palette.rgb.background;
    this.meshes[1].material.uniforms.cutColour.value = palette.rgb.axis;
  }
}

/** Three segments from the zero, 1 mm long. */
function unitAxes(): Float32Array {
  const data = new Float32Array(3 * segmentStride);
  for (let axis = 0; axis < 3; axis++) {
    data[axis * segmentStride + 3 + axis] = 1;
    data[axis * segmentStride + 7] = 1;
  }
  return data;
}

/** The line of the bed in views from the front and the side, where it is seen edge-on. */
export class BedLine {
  private readonly texture = segmentTexture(new Float32Array(2 * segmentStride), 2);
  readonly mesh = lineMesh(this.texture, { width: 1.5, opacity: 1, opacityToDo: 1 });
  private known = false;

  /** @param z height of the bed, mm; undefined where it is not known */
  load(box: Box, z: number | undefined): void {
    const reach = 0.12 * Math.max(box[3] - box[0], box[4] - box[1]);
    const [x0, y0, x1, y1] = [box[0] - reach, box[1] - reach, box[3] + reach, box[4] + reach];
    this.known = z !== undefined;
    if (z === undefined) return;
    (this.texture.image.data as Float32Array).set([x0, y0, z, x1, y0, z, 0, 1, x1, y0, z, x1, y1, z, 0, 1]);
    this.texture.needsUpdate = true;
  }

  place(orbit: Orbit): void {
    drawSegments(this.mesh, 0, this.known && orbit.elevation < 0.06 ? 2 : 0);
    this.mesh.material.uniforms.size.value.set(orbit.width, orbit.height);
  }

  setPalette(palette: Palette): void {
    this.mesh.material.uniforms.cutColour.value = palette.rgb["bed-dot"];
  }
}

/** What is to be in the picture: the board and the cuts, but not the rapids high above. */
export function drawnBox(scene: Scene, base: number | undefined): Box {
  const { board, motions } = scene;
  const box = [
    board.corner[0],
    board.corner[1],
    base ?? board.underside ?? board.top - 1,
    board.corner[0] + board.size[0],
    board.corner[1] + board.size[1],
    board.top,
  ];
  const columns = [motions.x, motions.y, motions.z];
  for (let i = 0; i < motions.count; i++) {
    const kind = motions.kind[i];
    const unknown = motions.flags[i] & (MotionFlag.startUnknown | MotionFlag.endUnknown);
    if (unknown || kind === MotionKind.rapid || kind === MotionKind.dwell) continue;
    for (let axis = 0; axis < 3; axis++) {
      const value = columns[axis][i + 1];
      box[axis] = Math.min(box[axis], value);
      box[axis + 3] = Math.max(box[axis + 3], value);
    }
  }
  return [box[0], box[1], box[2], box[3], box[4], box[5]];
}

/** The zero, the axes and the board's size, the more important first. */
export function boardLabels(scene: Scene, box: Box): Label[] {
  const { board, units } = scene;
  const [x0, y0] = board.corner;
  const [x1, y1] = [x0 + board.size[0], y0 + board.size[1]];
  const z = board.underside ?? box[2];
  const size = (mm: number) => (board.sizeDeclared ? roundLength(mm, units) : aboutLength(mm, units));
  const zeroSign = drawing(
    "svg",
    { viewBox: "0 0 14 14", width: 14, height: 14 },
    drawing("circle", { cx: 7, cy: 7, r: 5.6, class: "cw-zero-ring" }),
    drawing("path", {
      d: "M7 1.4A5.6 5.6 0 0 1 12.6 7H7zM7 12.6A5.6 5.6 0 0 1 1.4 7H7z",
      class: "cw-zero-fill",
    }),
  );
  const labels: Label[] = [
    { at: [0, 0, 0], away: [0, 0, 0], distance: 0, content: zeroSign, className: "cw-zero" },
    axisLabel("X", [1, 0, 0]),
    axisLabel("Y", [0, 1, 0]),
    axisLabel("Z", [0, 0, 1]),
    {
      at: [(x0 + x1) / 2, y0, z],
      away: [0, -1, 0],
      distance: 7,
      content: size(board.size[0]),
      className: "cw-size",
      along: [
        [x0, y0, z],
        [x1, y0, z],
      ],
    },
    {
      at: [x1, (y0 + y1) / 2, z],
      away: [1, 0, 0],
      distance: 7,
      content: size(board.size[1]),
      className: "cw-size",
      along: [
        [x1, y0, z],
        [x1, y1, z],
      ],
    },
  ];
  if (board.underside !== null) {
    labels.push({
      at: [x0, y0, z],
      away: [-1, -0.001, -0.6],
      distance: 8,
      content: "bed",
      className: "cw-size cw-edge-on",
    });
    labels.push({
      at: [x1, y0, (board.top + z) / 2],
      away: [0.8, -0.6, 0],
      distance: 7,
      content: roundLength(board.top - board.underside, units),
      className: "cw-size",
      along: [
        [x1, y0, z],
        [x1, y0, board.top],
      ],
    });
  }
  return labels;
}

function axisLabel(letter: string, direction: readonly [number, number, number]): Label {
  return {
    at: [0, 0, 0],
    away: direction,
    distance: axisPixels,
    foreshortened: true,
    content: letter,
    className: "cw-axis",
  };
}

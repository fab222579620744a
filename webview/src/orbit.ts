/**
 * The camera: a parallel projection that turns about a target. Azimuth 0 looks from the board's front
 * (towards +Y); elevation is the angle above the bed. Angles in radians, lengths in mm, scale in CSS px per mm.
 */
import { Matrix4, OrthographicCamera, Vector3 } from "three";

export interface Pose {
  readonly azimuth: number;
  readonly elevation: number;
  readonly target: readonly [number, number, number];
  readonly scale: number;
}

/** min x, min y, min z, max x, max y, max z, mm. */
export type Box = readonly [number, number, number, number, number, number];

export const viewAngles = {
  top: { azimuth: 0, elevation: Math.PI / 2 },
  front: { azimuth: 0, elevation: 0 },
  side: { azimuth: Math.PI / 2, elevation: 0 },
  slant: { azimuth: -0.5, elevation: 0.98 },
} as const;
export type ViewName = keyof typeof viewAngles;

export class Orbit {
  readonly camera = new OrthographicCamera(-1, 1, 1, -1, -1, 1);
  azimuth: number = viewAngles.slant.azimuth;
  elevation: number = viewAngles.slant.elevation;
  readonly target = new Vector3();
  /** CSS px per mm. */
  scale = 2;
  /** CSS px. */
  width = 1;
  height = 1;
  /** Half the depth the camera sees, mm. */
  reach = 10_000;
  readonly right = new Vector3();
  readonly up = new Vector3();
  readonly back = new Vector3();

  constructor() {
    this.camera.matrixAutoUpdate = false;
    this.update();
  }

  /** Turns by pixels dragged. */
  turn(dx: number, dy: number): void {
    this.azimuth -= dx * 0.008;
    this.elevation = Math.min(Math.max(this.elevation + dy * 0.008, 0), Math.PI / 2);
    this.update();
  }

  /** Moves the picture by CSS px. */
  pan(dx: number, dy: number): void {
    this.target.addScaledVector(this.right, -dx / this.scale).addScaledVector(this.up, dy / this.scale);
    this.update();
  }

  /** Grows the picture by a factor about a place on it (CSS px from the upper left). */
  zoom(factor: number, x = this.width / 2, y = this.height / 2): void {
    const before = this.scale;
    this.scale = Math.min(Math.max(before * factor, 0.02), 2000);
    const gain = 1 / before - 1 / this.scale;
    this.target
      .addScaledVector(this.right, (x - this.width / 2) * gain)
      .addScaledVector(this.up, (this.height / 2 - y) * gain);
    this.update();
  }

  /** Shows the whole box with a margin in CSS px. */
  fit(box: Box, margin: number): void {
    let [low, high, down, top] = [Infinity, -Infinity, Infinity, -Infinity];
    for (const corner of boxCorners(box)) {
      const across = corner.dot(this.right);
      const along = corner.dot(this.up);
      low = Math.min(low, across);
      high = Math.max(high, across);
      down = Math.min(down, along);
      top = Math.max(top, along);
    }
    const room = (extent: number, span: number) =>
      Math.max(extent - 2 * margin, extent / 3) / Math.max(span, 1);
    this.scale = Math.min(room(this.width, high - low), room(this.height, top - down));
    this.target
      .set((box[0] + box[3]) / 2, (box[1] + box[4]) / 2, (box[2] + box[5]) / 2)
      .addScaledVector(this.right, 0);
    this.target.addScaledVector(this.right, (low + high) / 2 - this.target.dot(this.right));
    this.target.addScaledVector(this.up, (down + top) / 2 - this.target.dot(this.up));
    this.reach = 20 * Math.hypot(box[3] - box[0], box[4] - box[1], box[5] - box[2]) + 1000;
    this.update();
  }

  get pose(): Pose {
    const { azimuth, elevation, target, scale } = this;
    return { azimuth, elevation, target: [target.x, target.y, target.z], scale };
  }

  set pose(pose: Pose) {
    this.azimuth = pose.azimuth;
    this.elevation = pose.elevation;
    this.target.set(...pose.target);
    this.scale = pose.scale;
    this.update();
  }

  /** Tells the camera about the axes, the target and the size. */
  update(): void {
    const [ca, sa] = [Math.cos(this.azimuth), Math.sin(this.azimuth)];
    const [ce, se] = [Math.cos(this.elevation), Math.sin(this.elevation)];
    this.right.set(ca, sa, 0);
    this.up.set(-sa * se, ca * se, ce);
    this.back.set(sa * ce, -ca * ce, se);
    const { camera } = this;
    camera.matrix.copy(new Matrix4().makeBasis(this.right, this.up, this.back).setPosition(this.target));
    camera.matrixWorldNeedsUpdate = true;
    camera.updateMatrixWorld(true);
    const [halfWidth, halfHeight] = [this.width / 2 / this.scale, this.height / 2 / this.scale];
    camera.left = -halfWidth;
    camera.right = halfWidth;
    camera.top = halfHeight;
    camera.bottom = -halfHeight;
    camera.near = -this.reach;
    camera.far = this.reach;
    camera.updateProjectionMatrix();
  }

  /** A place on the picture, CSS px from the upper left, and its nearness (larger is nearer), mm. */
  project(x: number, y: number, z: number): { x: number; y: number; near: number } {
    const { target, right, up, back, scale } = this;
    const [dx, dy, dz] = [x - target.x, y - target.y, z - target.z];
    return {
      x: this.width / 2 + (dx * right.x + dy * right.y + dz * right.z) * scale,
      y: this.height / 2 - (dx * up.x + dy * up.y + dz * up.z) * scale,
      near: dx * back.x + dy * back.y + dz * back.z,
    };
  }

  /** The place (mm) on the plane through the target that lies under a place of the picture. */
  unproject(x: number, y: number): Vector3 {
    return this.target
      .clone()
      .addScaledVector(this.right, (x - this.width / 2) / this.scale)
      .addScaledVector(this.up, (this.height / 2 - y) / this.scale);
  }
}

function boxCorners(box: Box): Vector3[] {
  return Array.from(
    { length: 8 },
    (_, i) => new Vector3(box[i & 1 ? 3 : 0], box[i & 2 ? 4 : 1], box[i & 4 ? 5 : 2]),
  );
}

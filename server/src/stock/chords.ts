/** Arcs that have no closed form here, as chords. Lengths in mm, angles in radians. */
import { planeAxes, type Motions } from "../machine/motions.ts";

/** Most a chord may stand off its arc, mm. */
export const sagitta = 1e-4;
/** Most chords of one motion: reached only by arcs of many turns or of hundreds of metres. */
const mostChords = 200_000;

/** The chords of one arc motion: points `0` to `count`, worked out one at a time. */
export class ChordPath {
  count = 0;
  /** No chord is longer than this in the XY plane. */
  longest = 0;
  /** No place of the path lies lower. */
  lowest = 0;
  x = 0;
  y = 0;
  z = 0;

  private readonly place = new Float64Array(3);
  private readonly start = new Float64Array(3);
  private readonly end = new Float64Array(3);
  private a = 0;
  private b = 0;
  private climbAxis = 2;
  private centreA = 0;
  private centreB = 0;
  private startAngle = 0;
  private sweep = 0;
  private radius0 = 0;
  private radius1 = 0;

  load(motions: Motions, i: number): void {
    const arc = motions.arc[i];
    const { arcs } = motions;
    const [a, b, climbAxis] = planeAxes[arcs.plane[arc]];
    const { start, end } = this;
    start[0] = motions.x[i];
    start[1] = motions.y[i];
    start[2] = motions.z[i];
    end[0] = motions.x[i + 1];
    end[1] = motions.y[i + 1];
    end[2] = motions.z[i + 1];
    this.a = a;
    this.b = b;
    this.climbAxis = climbAxis;
    this.centreA = arcs.centreA[arc];
    this.centreB = arcs.centreB[arc];
    this.sweep = arcs.sweep[arc];
    this.startAngle = Math.atan2(start[b] - this.centreB, start[a] - this.centreA);
    this.radius0 = Math.hypot(start[a] - this.centreA, start[b] - this.centreB);
    this.radius1 = Math.hypot(end[a] - this.centreA, end[b] - this.centreB);
    const radius = Math.max(this.radius0, this.radius1);
    const turn = Math.abs(this.sweep);
    const angle = radius > sagitta ? 2 * Math.acos(1 - sagitta / radius) : Math.PI;
    const change = this.radius1 - this.radius0;
    this.count = Math.max(1, Math.min(mostChords, Math.ceil(turn / Math.min(angle, Math.PI / 4))));
    const climb = climbAxis === 2 ? 0 : end[climbAxis] - start[climbAxis];
    this.longest = Math.hypot(radius * turn + Math.abs(change), climb) / this.count + 1e-9;
    this.lowest =
      climbAxis === 2 ? Math.min(start[2], end[2]) : (a === 2 ? this.centreA : this.centreB) - radius;
  }

  /** Sets `x`, `y`, `z` to point `j`. */
  go(j: number): void {
    if (j <= 0 || j >= this.count) {
      const place = j <= 0 ? this.start : this.end;
      this.x = place[0];
      this.y = place[1];
      this.z = place[2];
      return;
    }
    const { place, climbAxis } = this;
    const t = j / this.count;
    const angle = this.startAngle + t * this.sweep;
    const radius = this.radius0 + t * (this.radius1 - this.radius0);
    place[this.a] = this.centreA + radius * Math.cos(angle);
    place[this.b] = this.centreB + radius * Math.sin(angle);
    place[climbAxis] = this.start[climbAxis] + t * (this.end[climbAxis] - this.start[climbAxis]);
    this.x = place[0];
    this.y = place[1];
    this.z = place[2];
  }
}

/** Plays the program at a multiple of its own pace. */
import { motionLength } from "../../server/src/machine/geometry.ts";
import { MotionKind, type Motions } from "../../server/src/machine/motions.ts";
import type { Session } from "./session.ts";

/** Paces where the program states none, mm/min. */
const rapidRate = 5000;
const undeclaredFeed = 600;
/** With reduced motion the place jumps twice a second instead of gliding, seconds. */
const calmStep = 0.5;

export const speeds = [1, 4, 16, 64, 256] as const;

/** Seconds a motion takes in playing. Accelerations do not count: this is a pace to watch, not a time to quote. */
export function playSeconds(motions: Motions, i: number): number {
  if (motions.kind[i] === MotionKind.dwell) return motions.dwellSeconds.get(i) ?? 0;
  const pace = motions.kind[i] === MotionKind.rapid ? rapidRate : motions.feed[i] || undeclaredFeed;
  return (motionLength(motions, i) / pace) * 60;
}

export class Player {
  speed: number = 16;
  private last = 0;
  private owed = 0;
  private readonly calm = window.matchMedia("(prefers-reduced-motion: reduce)");

  constructor(private readonly session: Session) {
    session.onChange((change) => {
      if (change === "playing" && session.playing) {
        this.last = performance.now();
        this.owed = 0;
        requestAnimationFrame((now) => this.tick(now));
      }
      if (change === "scene") session.setPlaying(false);
    });
  }

  /** Starts, from the beginning if all is done; or stops. */
  toggle(): void {
    const { session } = this;
    if (!session.playing && session.done >= session.motionCount) session.goTo(0);
    session.setPlaying(!session.playing && session.motionCount > 0);
  }

  private tick(now: number): void {
    const { session } = this;
    if (!session.playing || !session.scene) return;
    // A page that was in the background does not catch up.
    this.owed += Math.min(Math.max(now - this.last, 0) / 1000, 0.25);
    this.last = now;
    if (!this.calm.matches || this.owed >= calmStep) {
      this.advance(this.owed * this.speed, !this.calm.matches);
      this.owed = 0;
    }
    if (session.done >= session.motionCount) session.setPlaying(false);
    else requestAnimationFrame((later) => this.tick(later));
  }

  private advance(seconds: number, glide: boolean): void {
    const { session } = this;
    const { motions } = session.scene!;
    let { done, underway } = session;
    let left = seconds;
    while (done < motions.count) {
      const needed = playSeconds(motions, done) * (1 - underway);
      if (needed > left) {
        underway += left / playSeconds(motions, done);
        break;
      }
      left -= needed;
      done++;
      underway = 0;
    }
    // Without gliding the share of a motion is carried over as one whole motion at least.
    if (glide) session.goTo(done, underway);
    else session.goTo(done > session.done ? done : done + 1);
  }
}

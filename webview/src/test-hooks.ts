/** What the tests in a real browser ask for. Reads only. */
import type { Session } from "./session.ts";
import type { Stage } from "./stage.ts";

export interface TestHooks {
  readonly motionCount: number;
  /** Middle of motion `i` in CSS px relative to the canvas; undefined where it is not in the picture. */
  screenPointOfMotion(i: number): { x: number; y: number } | undefined;
  /** Motion in focus, -1 before the first. */
  current(): number;
  /** Resolves after a picture that shows the present state in full. */
  frame(): Promise<void>;
}

declare global {
  interface Window {
    cutwrightTest?: TestHooks;
  }
}

export function exposeTestHooks(session: Session, stage: Stage | undefined): void {
  window.cutwrightTest = {
    get motionCount() {
      return session.motionCount;
    },
    screenPointOfMotion: (i) => stage?.screenPointOfMotion(i),
    current: () => session.current,
    frame: () => stage?.frame() ?? Promise.resolve(),
  };
}

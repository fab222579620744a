/** Mouse, touch and keyboard on the drawing. */
import type { Orbit } from "./orbit.ts";

/** Movement that still counts as a click, CSS px. */
const clickSlack = 4;

export interface GestureTargets {
  /** The camera moved. */
  moved(): void;
  clicked(x: number, y: number): void;
  /** The pointer is over a place, or left (undefined). */
  hovered(place: { x: number; y: number } | undefined): void;
}

/** Listens on the canvas. One pointer turns, two pinch and pan; Shift or another button than the first pans. */
export function listenForGestures(canvas: HTMLCanvasElement, orbit: Orbit, targets: GestureTargets): void {
  const pointers = new Map<number, { x: number; y: number }>();
  let travelled = 0;
  let panning = false;
  const placeOf = (event: PointerEvent | WheelEvent) => {
    const box = canvas.getBoundingClientRect();
    return { x: event.clientX - box.left, y: event.clientY - box.top };
  };
  canvas.addEventListener("contextmenu", (event) => event.preventDefault());
  canvas.addEventListener("pointerdown", (event) => {
    canvas.setPointerCapture(event.pointerId);
    pointers.set(event.pointerId, placeOf(event));
    if (pointers.size === 1) {
      travelled = 0;
      panning = event.button !== 0 || event.shiftKey;
    } else travelled = Infinity;
    targets.hovered(undefined);
  });
  canvas.addEventListener("pointermove", (event) => {
    const now = placeOf(event);
    const before = pointers.get(event.pointerId);
    if (!before) {
      if (event.pointerType !== "touch") targets.hovered(now);
      return;
    }
    const [dx, dy] = [now.x - before.x, now.y - before.y];
    travelled += Math.hypot(dx, dy);
    if (pointers.size === 1) {
      pointers.set(event.pointerId, now);
      if (travelled <= clickSlack) return;
      if (panning) orbit.pan(dx, dy);
      else orbit.turn(dx, dy);
    } else {
      const other = [...pointers].find(([id]) => id !== event.pointerId)![1];
      const spread = Math.hypot(before.x - other.x, before.y - other.y);
      orbit.pan(dx / 2, dy / 2);
      if (spread > 1)
        orbit.zoom(
          Math.hypot(now.x - other.x, now.y - other.y) / spread,
          (now.x + other.x) / 2,
          (now.y + other.y) / 2,
        );
      pointers.set(event.pointerId, now);
    }
    targets.moved();
  });
  const release = (event: PointerEvent) => {
    const known = pointers.delete(event.pointerId);
    if (known && event.type === "pointerup" && pointers.size === 0 && travelled <= clickSlack) {
      const { x, y } = placeOf(event);
      targets.clicked(x, y);
    }
  };
  canvas.addEventListener("pointerup", release);
  canvas.addEventListener("pointercancel", release);
  canvas.addEventListener("pointerleave", () => targets.hovered(undefined));
  canvas.addEventListener(
    "wheel",
    (event) => {
      event.preventDefault();
      const lines = event.deltaMode === WheelEvent.DOM_DELTA_LINE ? 20 : 1;
      const { x, y } = placeOf(event);
      orbit.zoom(Math.exp(Math.min(Math.max(-event.deltaY * lines * 0.0016, -0.5), 0.5)), x, y);
      targets.moved();
    },
    { passive: false },
  );
  canvas.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const arrows: Record<string, readonly [number, number]> = {
      ArrowLeft: [-1, 0],
      ArrowRight: [1, 0],
      ArrowUp: [0, -1],
      ArrowDown: [0, 1],
    };
    const arrow = arrows[event.key];
    if (arrow) {
      if (event.shiftKey) orbit.pan(-arrow[0] * 30, -arrow[1] * 30);
      else orbit.turn(arrow[0] * 14, arrow[1] * 14);
    } else if (event.key === "+" || event.key === "=") orbit.zoom(1.2);
    else if (event.key === "-") orbit.zoom(1 / 1.2);
    else return;
    event.preventDefault();
    targets.moved();
  });
}

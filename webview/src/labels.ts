/** Words in the drawing: HTML over the canvas, moved with the camera, dropped where two would overlap. */
import { element } from "./elements.ts";
import type { Orbit } from "./orbit.ts";

export interface Label {
  /** Where it points, mm. */
  readonly at: readonly [number, number, number];
  /** Direction (mm space) in which it is set off from that place, and how far, CSS px. */
  readonly away: readonly [number, number, number];
  readonly distance: number;
  /** The distance shrinks with the direction's foreshortening, as an axis does. */
  readonly foreshortened?: boolean;
  readonly content: string | Element;
  readonly className: string;
  /** Where given: the edge (from, to, mm) it measures. It is left out where the edge looks shorter than the label. */
  readonly along?: readonly [readonly [number, number, number], readonly [number, number, number]];
}

interface Placed {
  readonly label: Label;
  readonly node: HTMLElement;
  width: number;
  height: number;
}

export class LabelLayer {
  readonly node = element("div", { class: "cw-labels", "aria-hidden": "true" });
  private placed: Placed[] = [];

  /** Sets the labels, the more important first. */
  set(labels: readonly Label[]): void {
    this.placed = labels.map((label) => ({
      label,
      node: element("span", { class: `cw-label ${label.className}` }, label.content),
      width: 0,
      height: 0,
    }));
    this.node.replaceChildren(...this.placed.map((entry) => entry.node));
  }

  place(orbit: Orbit): void {
    const taken: { x0: number; y0: number; x1: number; y1: number }[] = [];
    for (const entry of this.placed) {
      const { label, node } = entry;
      if (entry.width === 0) {
        entry.width = node.offsetWidth;
        entry.height = node.offsetHeight;
      }
      const { x, y, length } = this.spot(entry, orbit);
      const box = {
        x0: x - entry.width / 2,
        y0: y - entry.height / 2,
        x1: x + entry.width / 2,
        y1: y + entry.height / 2,
      };
      const inside = box.x0 >= 2 && box.y0 >= 2 && box.x1 <= orbit.width - 2 && box.y1 <= orbit.height - 2;
      const free = !taken.some((t) => t.x0 < box.x1 && box.x0 < t.x1 && t.y0 < box.y1 && box.y0 < t.y1);
      const flat = length <= (label.foreshortened ? 0.2 : 0.05) && label.distance > 0;
      const shown = inside && free && !flat && this.edgeLongEnough(entry, orbit);
      node.classList.toggle("cw-off", !shown);
      if (!shown) continue;
      taken.push(box);
      node.style.transform = `translate(${Math.round(box.x0)}px, ${Math.round(box.y0)}px)`;
    }
  }

  /** Middle of the label, CSS px, and how much of its direction is to be seen (0 to 1). */
  private spot({ label, width, height }: Placed, orbit: Orbit): { x: number; y: number; length: number } {
    const { x, y } = orbit.project(...label.at);
    const [ax, ay, az] = label.away;
    let dx = ax * orbit.right.x + ay * orbit.right.y + az * orbit.right.z;
    let dy = -(ax * orbit.up.x + ay * orbit.up.y + az * orbit.up.z);
    const length = Math.hypot(dx, dy);
    if (length < 1e-6) return { x, y, length };
    if (label.foreshortened) {
      const reach = label.distance + 9 / length;
      return { x: x + dx * reach, y: y + dy * reach, length };
    }
    if (label.along) {
      // Square to the edge as it is seen, on the side the direction points to.
      const a = orbit.project(...label.along[0]);
      const b = orbit.project(...label.along[1]);
      const [nx, ny] = [a.y - b.y, b.x - a.x];
      const sign = nx * dx + ny * dy < 0 ? -1 : 1;
      dx = nx * sign;
      dy = ny * sign;
    }
    const norm = Math.hypot(dx, dy) || 1;
    // Half the label's own size in that direction, so that wide words keep clear of the edge too.
    const reach = label.distance + (Math.abs(dx) * width + Math.abs(dy) * height) / (2 * norm);
    return { x: x + (dx / norm) * reach, y: y + (dy / norm) * reach, length };
  }

  private edgeLongEnough({ label, width }: Placed, orbit: Orbit): boolean {
    if (!label.along) return true;
    const a = orbit.project(...label.along[0]);
    const b = orbit.project(...label.along[1]);
    return Math.hypot(a.x - b.x, a.y - b.y) > Math.min(width * 0.8, 13);
  }
}

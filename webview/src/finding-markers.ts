/**
 * Findings in the drawing. Markers that would cover each other become one with a count. They are for the
 * pointer; by keyboard and screen reader the same findings are in the list.
 */
import type { SceneFinding } from "../../server/src/report/scene.ts";
import { element } from "./elements.ts";
import type { Orbit } from "./orbit.ts";
import { severityOrder, severityShape } from "./severity-shapes.ts";

/** Most findings marked, the worse first. */
const mostMarkers = 300;
/** Markers nearer than this are one, CSS px. */
const together = 22;

interface Marker {
  readonly finding: SceneFinding;
  readonly index: number;
  readonly node: HTMLButtonElement;
  readonly count: HTMLElement;
  /** Findings behind this marker now, its own first. */
  members: number[];
}

export class FindingMarkers {
  readonly node = element("div", { class: "cw-markers", "aria-hidden": "true" });
  private markers: Marker[] = [];
  private chosen = -1;
  private top = 0;

  constructor(private readonly choose: (index: number) => void) {}

  /** @param top the board's top, mm: a finding below it is marked there, where the cut is seen to begin */
  set(findings: readonly SceneFinding[], top: number): void {
    this.top = top;
    this.markers = findings
      .map((finding, index) => ({ finding, index }))
      .filter(({ finding }) => finding.at !== null)
      .sort((a, b) => severityOrder[a.finding.severity] - severityOrder[b.finding.severity])
      .slice(0, mostMarkers)
      .map(({ finding, index }) => this.makeMarker(finding, index));
    this.node.replaceChildren(...this.markers.map((marker) => marker.node));
  }

  setChosen(index: number): void {
    this.chosen = index;
    for (const marker of this.markers)
      marker.node.classList.toggle("cw-chosen", marker.members.includes(index));
  }

  place(orbit: Orbit): void {
    const shown: { marker: Marker; x: number; y: number }[] = [];
    for (const marker of this.markers) {
      const [mx, my, mz] = marker.finding.at!;
      const { x, y } = orbit.project(mx, my, Math.max(mz, this.top));
      marker.members = [marker.index];
      const near = shown.find((other) => Math.hypot(other.x - x, other.y - y) < together);
      const outside = x < 0 || y < 0 || x > orbit.width || y > orbit.height;
      marker.node.classList.toggle("cw-off", near !== undefined || outside);
      if (near) near.marker.members.push(marker.index);
      else if (!outside) {
        shown.push({ marker, x, y });
        marker.node.style.transform = `translate(${Math.round(x)}px, ${Math.round(y)}px)`;
      }
    }
    for (const { marker } of shown) {
      const more = marker.members.length;
      marker.count.textContent = more > 1 ? String(more) : "";
      marker.node.classList.toggle("cw-chosen", marker.members.includes(this.chosen));
    }
  }

  private makeMarker(finding: SceneFinding, index: number): Marker {
    const count = element("span", { class: "cw-marker-count" });
    const node = element(
      "button",
      { type: "button", tabindex: -1, class: "cw-marker", title: `line ${finding.line}: ${finding.message}` },
      severityShape(finding.severity),
      count,
    );
    const marker: Marker = { finding, index, node, count, members: [index] };
    // Pressing a shared marker again goes on to the next finding behind it.
    node.addEventListener("click", () => {
      const at = marker.members.indexOf(this.chosen);
      this.choose(marker.members[(at + 1) % marker.members.length]);
    });
    return marker;
  }
}

/** A shape for each severity, so that they are told apart without colour: octagon, triangle, disc. */
import type { SceneFinding } from "../../server/src/report/scene.ts";
import { drawing } from "./elements.ts";

export type Severity = SceneFinding["severity"];

export const severityWords: Record<Severity, string> = { error: "Error", warning: "Warning", info: "Note" };
/** The worse first. */
export const severityOrder: Record<Severity, number> = { error: 0, warning: 1, info: 2 };

/** The shape, 20 by 20, with a sign in it. */
export function severityShape(severity: Severity): SVGSVGElement {
  const svg = drawing("svg", {
    viewBox: "0 0 20 20",
    width: 20,
    height: 20,
    class: `cw-shape cw-shape-${severity}`,
    "aria-hidden": "true",
    focusable: "false",
  });
  if (severity === "error") {
    svg.append(
      drawing("path", { class: "cw-shape-body", d: "M6.3 1h7.4L19 6.3v7.4L13.7 19H6.3L1 13.7V6.3z" }),
      drawing("path", { class: "cw-shape-sign", d: "M6.6 6.6l6.8 6.8M13.4 6.6l-6.8 6.8" }),
    );
  } else if (severity === "warning") {
    svg.append(
      drawing("path", { class: "cw-shape-body", d: "M10 1.2L19.4 18H.6z" }),
      drawing("path", { class: "cw-shape-sign", d: "M10 7v5.2M10 14.6v1.4" }),
    );
  } else {
    svg.append(
      drawing("circle", { class: "cw-shape-body", cx: 10, cy: 10, r: 9 }),
      drawing("path", { class: "cw-shape-sign", d: "M10 9v5.6M10 5.2v1.4" }),
    );
  }
  return svg;
}

/** Small samples of what is drawn, for the legend and the layer names. */
import { drawing } from "./elements.ts";

export type SwatchKind = "board" | "bed" | "skin" | "path" | "rapid" | "tool" | "current" | "mark";

/** A sample, 26 by 14. Its colours come from the style sheet, as the drawing's do. */
export function swatch(kind: SwatchKind): SVGSVGElement {
  const svg = drawing("svg", {
    viewBox: "0 0 26 14",
    width: 26,
    height: 14,
    class: `cw-swatch cw-swatch-${kind}`,
    "aria-hidden": "true",
  });
  if (kind === "bed") {
    svg.append(drawing("rect", { width: 26, height: 14, class: "cw-swatch-ground" }));
    for (const x of [5, 13, 21])
      svg.append(drawing("circle", { cx: x, cy: 7, r: 1.3, class: "cw-swatch-dot" }));
  } else if (kind === "skin") {
    svg.append(
      drawing("rect", { width: 26, height: 14, class: "cw-swatch-ground" }),
      drawing("path", { d: "M-2 14L12 0M6 14L20 0M14 14L28 0", class: "cw-swatch-hatch" }),
    );
  } else if (kind === "tool") {
    svg.append(drawing("path", { d: "M9.5 0v12h7V0z", class: "cw-swatch-cutter" }));
  } else if (kind !== "board") {
    if (kind === "current" || kind === "mark")
      svg.append(drawing("path", { d: "M1 7h24", class: "cw-swatch-casing" }));
    svg.append(drawing("path", { d: "M1 7h24", class: "cw-swatch-line" }));
  }
  return svg;
}

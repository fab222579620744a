/** What the shades mean, with numbers: depth below the top, and the signs that no layer's name explains. */
import type { Scene } from "../../server/src/report/scene.ts";
import { depthStops } from "./colours.ts";
import { drawing, element } from "./elements.ts";
import { lengthNumber, roundLength, roundStep } from "./lengths.ts";
import { swatch } from "./swatch.ts";

const barWidth = 260;
const barHeight = 14;

export class DepthLegend {
  readonly node = element("section", { class: "cw-legend cw-panel", "aria-label": "Legend" });

  load(scene: Scene): void {
    const { board, units } = scene;
    let deepest = board.top;
    for (const cut of scene.tree.cuts) deepest = Math.min(deepest, cut.bottom);
    const depth = board.top - (board.underside ?? deepest);
    const parts: Node[] = [element("h2", {}, `Depth below the top, ${units}`)];
    if (depth > 0) parts.push(depthBar(depth, board.underside !== null, units));
    const dotStep = roundStep(Math.max(...board.size) / 40, units);
    const entries: [SVGSVGElement, string][] = [
      [swatch("current"), "current motion"],
      [swatch("mark"), "marked motions"],
    ];
    if (board.underside !== null)
      entries.push([swatch("bed"), `bed where cut through, dots ${roundLength(dotStep, units)} apart`]);
    parts.push(
      element(
        "ul",
        { class: "cw-keys" },
        ...entries.map(([sign, text]) =>
          element("li", { class: text.length > 20 ? "cw-wide" : undefined }, sign, element("span", {}, text)),
        ),
      ),
    );
    if (board.underside === null)
      parts.push(
        element(
          "p",
          { class: "cw-hint" },
          "No thickness is declared: how much wood stays under a cut is not known.",
        ),
      );
    this.node.replaceChildren(...parts);
  }
}

/** The scale as a bar with round numbers under it, set in so that the end numbers are not cut off. */
function depthBar(depth: number, hasUnderside: boolean, units: "mm" | "in"): SVGSVGElement {
  const inset = 19;
  const across = barWidth - 2 * inset;
  const stops = Array.from({ length: depthStops }, (_, i) =>
    drawing("stop", { offset: i / (depthStops - 1), class: `cw-stop-${i + 1}` }),
  );
  const svg = drawing(
    "svg",
    {
      viewBox: `0 0 ${barWidth} 34`,
      class: "cw-depth-bar",
      role: "img",
      "aria-label": `Shades from light at the top to dark at ${roundLength(depth, units)}${hasUnderside ? ", the underside" : ""}`,
    },
    drawing("defs", {}, drawing("linearGradient", { id: "cw-depth-scale" }, ...stops)),
    drawing("rect", {
      x: inset,
      y: 0,
      width: across,
      height: barHeight,
      fill: "url(#cw-depth-scale)",
      class: "cw-depth-frame",
    }),
  );
  const step = roundStep(depth / 6, units);
  const ticks: number[] = [];
  for (let value = 0; value < depth - step * 0.6; value += step) ticks.push(value);
  ticks.push(depth);
  for (const value of ticks) {
    const x = inset + (value / depth) * across;
    svg.append(
      drawing("line", { x1: x, x2: x, y1: barHeight, y2: barHeight + 4, class: "cw-tick" }),
      drawing(
        "text",
        { x, y: barHeight + 16, "text-anchor": "middle", class: "cw-tick-text" },
        String(Number(lengthNumber(value, units))),
      ),
    );
  }
  return svg;
}

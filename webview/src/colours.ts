/**
 * Colours of the drawing, read from the style sheet so that themes stay in one place. Lines and surfaces are
 * also told apart by dashes, hatching, width and shade: none of them rests on hue alone.
 */
import { Vector3 } from "three";

const names = [
  "background",
  "board-top",
  "board-wall",
  "bed",
  "bed-dot",
  "bed-wall",
  "skin",
  "skin-gap",
  "rim",
  "path",
  "rapid",
  "mark",
  "current",
  "mark-casing",
  "current-casing",
  "tool",
  "axis",
  "text",
] as const;
export type ColourName = (typeof names)[number];

/** Stops of the depth scale, shallow to deep. */
export const depthStops = 5;

export interface Palette {
  /** CSS colours, for 2D drawing. */
  readonly css: Readonly<Record<ColourName, string>>;
  /** The same as red, green, blue (0 to 1, sRGB), for shaders that write them unchanged. */
  readonly rgb: Readonly<Record<ColourName, Vector3>>;
  readonly depthCss: readonly string[];
  readonly depth: readonly Vector3[];
}

/** Reads the palette in force at an element. */
export function readPalette(at: Element): Palette {
  const probe = document.createElement("span");
  probe.hidden = true;
  // In forced colours every text would have one colour; the drawing keeps its shades and hatching.
  probe.style.setProperty("forced-color-adjust", "none");
  at.append(probe);
  const css = {} as Record<ColourName, string>;
  const rgb = {} as Record<ColourName, Vector3>;
  const resolve = (property: string): string => {
    probe.style.color = `var(${property})`;
    return getComputedStyle(probe).color;
  };
  for (const name of names) {
    css[name] = resolve(`--cw-${name}`);
    rgb[name] = parseColour(css[name]);
  }
  const depthCss = Array.from({ length: depthStops }, (_, i) => resolve(`--cw-depth-${i + 1}`));
  probe.remove();
  return { css, rgb, depthCss, depth: depthCss.map(parseColour) };
}

/** Reads the computed forms `rgb(r, g, b)`, `rgba(...)` and `color(srgb r g b)`. */
function parseColour(css: string): Vector3 {
  const numbers = (css.match(/[\d.]+(?:e-?\d+)?/g) ?? []).map(Number);
  const divisor = css.startsWith("color(") ? 1 : 255;
  return new Vector3((numbers[0] ?? 0) / divisor, (numbers[1] ?? 0) / divisor, (numbers[2] ?? 0) / divisor);
}

/** What the view remembers while the editor hides it: camera and layers. Read with care: it may be from an older view. */
import type { Pose } from "./orbit.ts";
import { layerNames, type Layers } from "./session.ts";

export interface KeptState {
  readonly pose: Pose | undefined;
  readonly layers: Partial<Layers>;
}

/** Reads a kept state; what does not fit is left out. */
export function readKeptState(value: unknown): KeptState {
  const fields = isRecord(value) ? value : {};
  const layers: Partial<Layers> = {};
  if (isRecord(fields.layers)) {
    for (const name of layerNames) {
      const on = fields.layers[name];
      if (typeof on === "boolean") layers[name] = on;
    }
  }
  return { pose: readPose(fields.pose), layers };
}

function readPose(value: unknown): Pose | undefined {
  if (!isRecord(value) || !Array.isArray(value.target)) return undefined;
  const target: unknown[] = value.target;
  const numbers = [value.azimuth, value.elevation, value.scale, ...target];
  if (target.length !== 3 || !numbers.every((entry) => typeof entry === "number" && Number.isFinite(entry)))
    return undefined;
  const [azimuth, elevation, scale, x, y, z] = numbers as number[];
  return scale > 0 ? { azimuth, elevation, scale, target: [x, y, z] } : undefined;
}

function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === "object" && value !== null;
}

import type { Tool } from "../job/facts.ts";

/**
 * Width of the groove a tool leaves, mm, when its tip runs `depth` mm below the surface. A flat cutter cuts its
 * diameter at any depth; a V, ball or bull cutter and a drill less until they are in deep enough.
 * An angle that is not declared, or a depth that is not known (+Infinity), gives the diameter.
 */
export function grooveWidth(tool: Tool, depth: number): number {
  const { diameter } = tool;
  const d = Math.max(depth, 0);
  switch (tool.shape) {
    case "flat":
      return diameter;
    case "ball":
      return d >= diameter / 2 ? diameter : 2 * Math.sqrt(d * (diameter - d));
    case "bull": {
      const corner = Math.min(tool.cornerRadius ?? 0, diameter / 2);
      return d >= corner ? diameter : diameter - 2 * corner + 2 * Math.sqrt(d * (2 * corner - d));
    }
    case "V":
    case "drill":
      if (tool.angle === undefined || !Number.isFinite(d)) return diameter;
      return Math.min(diameter, (tool.tipDiameter ?? 0) + 2 * d * Math.tan(tool.angle / 2));
  }
}

/** Tracks this share of a groove's width apart still clear what lies between them. */
export const besideAt = 1.02;
/** Tracks nearer than this share of a groove's width are one track. */
export const sameTrack = 0.15;

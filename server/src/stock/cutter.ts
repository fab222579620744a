/** Cutters as surfaces of revolution. Lengths in mm, angles in radians. */
import type { Tool } from "../job/facts.ts";

/** Form of the cutting surface. A drill's point is a V. */
export const Profile = { flat: 0, ball: 1, V: 2, bull: 3 } as const;
export type Profile = (typeof Profile)[keyof typeof Profile];

/** The lower surface of a cutter: height above its tip as a function of the distance from its axis. */
export interface Cutter {
  readonly profile: Profile;
  /** Largest radius, mm. Nothing is cut farther from the axis. */
  readonly radius: number;
  /** Radius of the flat part at the tip, mm: all of a flat cutter, none of a ball, the tip of a V. */
  readonly flatRadius: number;
  /** V: rise over run of the cone, 1 / tan(half the point angle). Otherwise 0. */
  readonly rise: number;
  /** Bull nose: radius of the corner; ball: the radius. Otherwise 0. */
  readonly cornerRadius: number;
}

/** Point angles taken where none is declared (common practice, no source): 118 degrees drill, 90 degrees V. */
const drillAngle = (118 * Math.PI) / 180;
const engravingAngle = Math.PI / 2;

/** The cutting surface of a declared tool. Dimensions that contradict each other are limited to the diameter. */
export function cutterFrom(tool: Tool): Cutter {
  const radius = Math.max(0, tool.diameter / 2);
  const flat: Cutter = { profile: Profile.flat, radius, flatRadius: radius, rise: 0, cornerRadius: 0 };
  const ball: Cutter = { profile: Profile.ball, radius, flatRadius: 0, rise: 0, cornerRadius: radius };
  switch (tool.shape) {
    case "flat":
      return flat;
    case "ball":
      return ball;
    case "bull": {
      const cornerRadius = Math.min(Math.max(tool.cornerRadius ?? 0, 0), radius);
      if (cornerRadius === 0) return flat;
      if (cornerRadius === radius) return ball;
      return { profile: Profile.bull, radius, flatRadius: radius - cornerRadius, rise: 0, cornerRadius };
    }
    case "V":
    case "drill": {
      const angle = tool.angle ?? (tool.shape === "drill" ? drillAngle : engravingAngle);
      const flatRadius = Math.min(Math.max((tool.tipDiameter ?? 0) / 2, 0), radius);
      if (!(angle > 0 && angle < Math.PI) || flatRadius === radius) return flat;
      return { profile: Profile.V, radius, flatRadius, rise: 1 / Math.tan(angle / 2), cornerRadius: 0 };
    }
  }
}

/**
 * Height of the cutting surface above the tip, mm, at the squared distance `r2` (mm^2) from the axis.
 * Beyond the radius it is that at the radius: callers decide what is in reach.
 */
export function heightAboveTip(cutter: Cutter, r2: number): number {
  return profileHeight(
    cutter.profile,
    cutter.radius,
    cutter.flatRadius,
    cutter.rise,
    cutter.cornerRadius,
    r2,
  );
}

/** As `heightAboveTip`, with the cutter in single numbers, for tight loops. */
export function profileHeight(
  profile: Profile,
  radius: number,
  flatRadius: number,
  rise: number,
  cornerRadius: number,
  r2: number,
): number {
  switch (profile) {
    case Profile.flat:
      return 0;
    case Profile.ball: {
      const q2 = radius * radius - r2;
      return q2 > 0 ? radius - Math.sqrt(q2) : radius;
    }
    case Profile.V: {
      const past = Math.sqrt(r2) - flatRadius;
      return past > 0 ? past * rise : 0;
    }
    case Profile.bull: {
      const past = Math.sqrt(r2) - flatRadius;
      if (past <= 0) return 0;
      const q2 = cornerRadius * cornerRadius - past * past;
      return q2 > 0 ? cornerRadius - Math.sqrt(q2) : cornerRadius;
    }
  }
}

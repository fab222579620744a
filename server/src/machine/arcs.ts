/** Arc geometry in its plane (NISTIR 6556 section 3.5.3). Lengths in mm, angles in radians. */

export interface ArcInPlane {
  readonly centreA: number;
  readonly centreB: number;
  /** Positive counter-clockwise; whole turns included. */
  readonly sweep: number;
}

/** Two points of an arc closer than this count as one: then a centre-form arc is a full circle. */
const samePoint = 1e-6;

/**
 * Angle turned from the start to the end point.
 * @param turns the P word: 1 for less than or just one full turn, each further one adds a full turn
 */
export function arcSweep(
  fromA: number,
  fromB: number,
  toA: number,
  toB: number,
  centreA: number,
  centreB: number,
  counterClockwise: boolean,
  turns: number,
): number {
  const full = 2 * Math.PI;
  const start = Math.atan2(fromB - centreB, fromA - centreA);
  const end = Math.atan2(toB - centreB, toA - centreA);
  let sweep = end - start;
  if (Math.hypot(toA - fromA, toB - fromB) < samePoint) sweep = 0;
  if (counterClockwise) {
    while (sweep <= 0) sweep += full;
    return sweep + full * (turns - 1);
  }
  while (sweep >= 0) sweep -= full;
  return sweep - full * (turns - 1);
}

/**
 * Centre of an arc given by its radius. A negative radius asks for more than half a turn.
 * `shortBy` is how much the radius falls short of half the distance between the points, mm; the centre is
 * then midway. Undefined where start and end are one point: such an arc has no centre.
 */
export function centreFromRadius(
  fromA: number,
  fromB: number,
  toA: number,
  toB: number,
  radius: number,
  counterClockwise: boolean,
): { centreA: number; centreB: number; shortBy: number } | undefined {
  const dA = toA - fromA;
  const dB = toB - fromB;
  const chord = Math.hypot(dA, dB);
  if (chord < samePoint) return undefined;
  const half = chord / 2;
  const shortBy = Math.max(0, half - Math.abs(radius));
  const height = Math.sqrt(Math.max(0, radius * radius - half * half));
  // The centre lies left of the chord for a short counter-clockwise arc, right of it for a short clockwise one.
  const side = (radius > 0 ? 1 : -1) * (counterClockwise ? 1 : -1);
  return {
    centreA: fromA + dA / 2 - (side * height * dB) / chord,
    centreB: fromB + dB / 2 + (side * height * dA) / chord,
    shortBy,
  };
}

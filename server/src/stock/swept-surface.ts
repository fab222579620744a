/** A surface that one motion leaves, ready to be asked point by point and row by row. Lengths in mm. */
export interface SweptSurface {
  /** Extent in the plane. */
  readonly minX: number;
  readonly maxX: number;
  readonly minY: number;
  readonly maxY: number;
  /** No place of the surface lies lower. */
  readonly lowest: number;
  /** The surface is one level over a convex outline: what lies between two covered places of a row is covered. */
  readonly isLevelFlat: boolean;
  /** Height of the surface over a point; Infinity where the cutter does not pass. */
  over(px: number, py: number): number;
  /**
   * Finds the stretches of the row `y` outside of which the surface certainly is not (up to rounding).
   * Returns how many there are (0 to 2): `spanFrom` to `spanTo`, then `secondFrom` to `secondTo`.
   */
  spans(y: number): number;
  readonly spanFrom: number;
  readonly spanTo: number;
  readonly secondFrom: number;
  readonly secondTo: number;
}

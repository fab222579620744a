import type { CellShape } from "./cell-share.ts";

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
  /** How far from its axis the cutter counts. */
  readonly reach: number;
  /** Height of the surface over a point; Infinity where the cutter does not pass. */
  over(px: number, py: number): number;
  /**
   * The share of a cell around the point that lies within the surface's outline, 0 to 1. Says by the fields
   * below how the point lies to the track of the cutter's axis; they are set where the share is between the two.
   */
  share(px: number, py: number, cell: CellShape): number;
  /** Distance from the track, mm. */
  readonly away: number;
  /** Whether that is in the cutter's reach. */
  readonly within: boolean;
  /** Unit vector from the track to the point. */
  readonly awayX: number;
  readonly awayY: number;
  /**
   * Finds the stretches of the row `y` outside of which the surface, grown by `margin`, certainly is not (up
   * to rounding). Returns how many there are (0 to 2): `spanFrom` to `spanTo`, then `secondFrom` to `secondTo`.
   */
  spans(y: number, margin: number): number;
  readonly spanFrom: number;
  readonly spanTo: number;
  readonly secondFrom: number;
  readonly secondTo: number;
}

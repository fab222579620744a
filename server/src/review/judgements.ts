/** What the material run leaves for the rules to word. */

/** A rapid that meets material still there when it runs. */
export interface RapidHit {
  readonly motion: number;
  readonly at: readonly [number, number, number];
  /** How deep the cutter would be in the material, mm. */
  readonly depth: number;
}

/** How a cut that is meant to go through comes out. */
export interface ThroughResult {
  readonly cut: number;
  /** Thickness left under the cut where most is left, mm; 0 or less: how far it goes below the underside there. */
  readonly left: number;
  /** Z of the underside it was judged against, mm. */
  readonly underside: number;
  /** Motion to show: the deepest, or where most is left. */
  readonly motion: number;
  readonly at: readonly [number, number, number];
  /** True where the cut's lowest level is deep enough and only a part of its path stays above (a ramp without a last round). */
  readonly partOnly: boolean;
  /** mm^2 of material left under the cut, counted in cells. */
  readonly area: number;
}

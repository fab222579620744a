import type { MachineProfile } from "../job/facts.ts";
import { Plane } from "./motions.ts";

/** Distances in mm, feeds in mm/min (1/min under inverse-time feed), angles in radians. */
export interface ModalState {
  /** Ten times the motion code in force (0, 10, 20, 30, 810 ...); 800: none. */
  motion: number;
  plane: Plane;
  incremental: boolean;
  arcCentresAbsolute: boolean;
  inverseTime: boolean;
  units: "mm" | "in";
  /** True: canned cycles come back to R (G99), false: to where they started (G98). */
  retractToR: boolean;
  /** Ten times the coordinate-system code: 540 to 593. */
  system: number;
  /** Feed in mm/min; 0: never set. */
  feed: number;
  /** Tool in the spindle and tool selected by T; 0: none. */
  tool: number;
  selectedTool: number;
  /** Speed set by S, rev/min, and direction: 1 clockwise, -1 counter-clockwise, 0 off. */
  speed: number;
  spindle: -1 | 0 | 1;
  mist: boolean;
  flood: boolean;
  /** Place in the stock frame, mm; an axis whose bit is in `unknownAxes` (1 X, 2 Y, 4 Z) is not known. */
  x: number;
  y: number;
  z: number;
  unknownAxes: number;
  /** Offsets of G92 in force and as last stored, mm. */
  g92: [number, number, number];
  storedG92: [number, number, number];
  /** Sticky words of canned cycles: plane-normal Z and R as written (mm), P in s, Q in mm; NaN: not given. */
  cycleZ: number;
  cycleR: number;
  cycleP: number;
  cycleQ: number;
}

/**
 * State before the first block. Where the tool stands is not known. Defaults are those of NISTIR 6556
 * except the units and the arc-centre mode, which the machine profile states.
 */
export function startState(profile: MachineProfile): ModalState {
  return {
    motion: 800,
    plane: Plane.xy,
    incremental: false,
    arcCentresAbsolute: profile.arcCentres === "absolute",
    inverseTime: false,
    units: profile.startUnits,
    retractToR: false,
    system: 540,
    feed: 0,
    tool: 0,
    selectedTool: 0,
    speed: 0,
    spindle: 0,
    mist: false,
    flood: false,
    x: 0,
    y: 0,
    z: 0,
    unknownAxes: 7,
    g92: [0, 0, 0],
    storedG92: [0, 0, 0],
    cycleZ: NaN,
    cycleR: NaN,
    cycleP: NaN,
    cycleQ: NaN,
  };
}

/** Signed spindle speed for a motion, rev/min. With M3 and no S the direction alone counts: 1 or -1. */
export function spindleOf(state: ModalState): number {
  return state.spindle === 0 ? 0 : state.spindle * (state.speed || 1);
}

/**
 * Modal groups of G and M codes (NISTIR 6556 section 3.4, table 4). Codes are held as ten times the number
 * written, so that G92.1 is 921.
 */
export const Group = {
  motion: 1,
  plane: 2,
  distance: 3,
  arcDistance: 4,
  feedMode: 5,
  units: 6,
  compensation: 7,
  lengthOffset: 8,
  retract: 10,
  coordinateSystem: 12,
  pathControl: 13,
  nonModal: 14,
} as const;

export const MGroup = { stop: 1, toolChange: 2, spindle: 3, coolant: 4, overrides: 5 } as const;

/** What a group is called in messages. */
export const groupNames: Readonly<Record<number, string>> = {
  [Group.motion]: "motion",
  [Group.plane]: "plane",
  [Group.distance]: "distance mode",
  [Group.arcDistance]: "arc-centre mode",
  [Group.feedMode]: "feed mode",
  [Group.units]: "units",
  [Group.compensation]: "cutter compensation",
  [Group.lengthOffset]: "tool length offset",
  [Group.retract]: "cycle retract",
  [Group.coordinateSystem]: "work coordinate system",
  [Group.pathControl]: "path control",
  [Group.nonModal]: "non-modal",
};

export const mGroupNames: Readonly<Record<number, string>> = {
  [MGroup.stop]: "stopping",
  [MGroup.toolChange]: "tool change",
  [MGroup.spindle]: "spindle",
  [MGroup.coolant]: "coolant",
  [MGroup.overrides]: "overrides",
};

/** Group of each G code that is followed, by ten times its number; 0: not followed. */
export const groupOfG = new Uint8Array(1000);
const gGroups: [number, number[]][] = [
  [Group.motion, [0, 10, 20, 30, 800, 810, 820, 830]],
  [Group.plane, [170, 180, 190]],
  [Group.distance, [900, 910]],
  [Group.arcDistance, [901, 911]],
  [Group.feedMode, [930, 940]],
  [Group.units, [200, 210]],
  [Group.compensation, [400]],
  [Group.lengthOffset, [430, 490]],
  [Group.retract, [980, 990]],
  [Group.coordinateSystem, [540, 550, 560, 570, 580, 590, 591, 592, 593]],
  [Group.pathControl, [610, 611, 640]],
  [Group.nonModal, [40, 280, 300, 530, 920, 921, 922, 923]],
];
for (const [group, codes] of gGroups) for (const code of codes) groupOfG[code] = group;

/** Group of each M code that is followed; 0: not followed. */
export const groupOfM = new Uint8Array(100);
const mGroups: [number, number[]][] = [
  [MGroup.stop, [0, 1, 2, 30, 60]],
  [MGroup.toolChange, [6]],
  [MGroup.spindle, [3, 4, 5]],
  [MGroup.coolant, [7, 8, 9]],
  [MGroup.overrides, [48, 49]],
];
for (const [group, codes] of mGroups) for (const code of codes) groupOfM[code] = group;

/** How close to a whole tenth a code must be (NISTIR 6556 section 3.4: within 0.0001). */
export const codeTolerance = 0.0001;

/** A code as it is written: 921 is "G92.1". */
export function codeName(letter: "G" | "M", tenTimes: number): string {
  return letter + (tenTimes % 10 === 0 ? String(tenTimes / 10) : (tenTimes / 10).toFixed(1));
}

import type { MachineProfile } from "./facts.ts";

/** Stated defaults of a benchtop router (common practice, no source); places of the machine are not known. */
export const defaultProfile: MachineProfile = {
  rapidRate: [3000, 3000, 1500],
  acceleration: [300, 300, 200],
  topFeed: [3000, 3000, 1500],
  home28: [0, 0, 0],
  home30: [0, 0, 0],
  homeAxes: "all",
  workOffsets: {},
  startUnits: "mm",
  arcCentres: "incremental",
  toolChangeSeconds: 90,
  spindleStartSeconds: 5,
  source: { kind: "default" },
};

type Triple = readonly [number, number, number];

/**
 * The machine profile from the setting `cutwright.machine` (plain numbers in mm, mm/min, mm/s^2, s). A value that
 * does not fit is left out and told through `problem` with the remedy.
 */
export function readProfile(settings: unknown, problem: (message: string) => void): MachineProfile {
  if (settings === undefined || settings === null) return defaultProfile;
  if (typeof settings !== "object" || Array.isArray(settings)) {
    problem(
      'The setting cutwright.machine must be an object, for example { "rapidRate": [3000, 3000, 1500] }.',
    );
    return defaultProfile;
  }
  const given = settings as Record<string, unknown>;
  const profile: { -readonly [K in keyof MachineProfile]: MachineProfile[K] } = { ...defaultProfile };
  let used = false;
  const isTriple = (value: unknown, least: number): value is Triple =>
    Array.isArray(value) &&
    value.length === 3 &&
    value.every((v) => typeof v === "number" && Number.isFinite(v) && v >= least && Math.abs(v) <= 1e6);
  const triple = (
    name: "rapidRate" | "acceleration" | "topFeed" | "travel" | "workZero" | "home28" | "home30",
    least: number,
  ) => {
    if (given[name] === undefined) return;
    if (isTriple(given[name], least)) {
      profile[name] = given[name];
      used = true;
    } else
      problem(
        `cutwright.machine.${name} must be three numbers for X, Y and Z${least > 0 ? " above 0" : ""}, for example [3000, 3000, 1500].`,
      );
  };
  triple("rapidRate", 1e-6);
  triple("acceleration", 1e-6);
  triple("topFeed", 1e-6);
  triple("travel", 1e-6);
  triple("workZero", -Infinity);
  triple("home28", -Infinity);
  triple("home30", -Infinity);
  const choice = <K extends "homeAxes" | "startUnits" | "arcCentres">(
    name: K,
    values: readonly MachineProfile[K][],
  ) => {
    if (given[name] === undefined) return;
    if ((values as readonly unknown[]).includes(given[name])) {
      profile[name] = given[name] as MachineProfile[K];
      used = true;
    } else problem(`cutwright.machine.${name} must be ${values.map((v) => `"${v}"`).join(" or ")}.`);
  };
  choice("homeAxes", ["all", "named"]);
  choice("startUnits", ["mm", "in"]);
  choice("arcCentres", ["incremental", "absolute"]);
  for (const name of ["toolChangeSeconds", "spindleStartSeconds"] as const) {
    const value = given[name];
    if (value === undefined) continue;
    if (typeof value === "number" && value >= 0 && value < 1e5) {
      profile[name] = value;
      used = true;
    } else problem(`cutwright.machine.${name} must be a number of seconds, 0 or more.`);
  }
  if (given.workOffsets !== undefined) {
    const offsets: Record<string, Triple> = {};
    const entries =
      typeof given.workOffsets === "object" && given.workOffsets !== null
        ? Object.entries(given.workOffsets)
        : [];
    for (const [code, value] of entries) {
      if (/^G5(5|6|7|8|9(\.[123])?)$/.test(code) && isTriple(value, -Infinity)) offsets[code] = value;
      else
        problem(
          `cutwright.machine.workOffsets: "${code}" must be G55 to G59.3 with three numbers, the distance from G54 in mm.`,
        );
    }
    profile.workOffsets = offsets;
    used = true;
  }
  for (const name of Object.keys(given)) {
    if (!(name in defaultProfile) && name !== "travel" && name !== "workZero")
      problem(`cutwright.machine has no "${name}".`);
  }
  return used ? { ...profile, source: { kind: "settings" } } : profile;
}

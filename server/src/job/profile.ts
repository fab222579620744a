import type { MachineProfile } from "./facts.ts";
import { nearest } from "./nearest.ts";

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
  source: { kind: "default", note: "common practice, no source" },
};

/** Lengths of the shop that stand beside the profile in the same setting, mm. */
export const shopLengths = ["bedThickness", "bedUnevenness", "deepestBedCut", "touchOffError"] as const;

type Triple = readonly [number, number, number];

const positiveTriples = ["rapidRate", "acceleration", "topFeed", "travel"] as const;
const placeTriples = ["workZero", "home28", "home30"] as const;
const choices = {
  homeAxes: ["all", "named"],
  startUnits: ["mm", "in"],
  arcCentres: ["incremental", "absolute"],
} as const;
const durations = ["toolChangeSeconds", "spindleStartSeconds"] as const;
const names: readonly string[] = [
  ...positiveTriples,
  ...placeTriples,
  ...Object.keys(choices),
  ...durations,
  "workOffsets",
  ...shopLengths,
];

/**
 * The machine profile from the setting `cutwright.machine` (plain numbers in mm, mm/min, mm/s^2, s). A value that
 * does not fit is left out and told through `problem` with the remedy. Null counts as not set.
 */
export function readProfile(settings: unknown, problem: (message: string) => void): MachineProfile {
  if (settings === undefined || settings === null) return defaultProfile;
  if (typeof settings !== "object" || Array.isArray(settings)) {
    problem('The setting cutwright.machine must be an object, such as { "rapidRate": [3000, 3000, 1500] }.');
    return defaultProfile;
  }
  const given = settings as Record<string, unknown>;
  const set: { -readonly [K in keyof MachineProfile]?: MachineProfile[K] } = {};
  const wrong = (name: string, must: string) => problem(`cutwright.machine.${name} must be ${must}`);
  const isSet = (name: string) => given[name] !== undefined && given[name] !== null;

  for (const name of positiveTriples.filter(isSet)) {
    const value = triple(given[name]);
    if (value?.every((v) => v > 0)) set[name] = value;
    else wrong(name, "three numbers above 0 for X, Y and Z, such as [3000, 3000, 1500].");
  }
  for (const name of placeTriples.filter(isSet)) {
    const value = triple(given[name]);
    if (value) set[name] = value;
    else wrong(name, "three numbers for X, Y and Z, such as [0, 0, 0].");
  }
  const choose = <T>(name: keyof typeof choices, values: readonly T[]): T | undefined => {
    if (!isSet(name)) return undefined;
    const value = values.find((known) => known === given[name]);
    if (value === undefined) wrong(name, `${values.map((known) => `"${String(known)}"`).join(" or ")}.`);
    return value;
  };
  const homeAxes = choose("homeAxes", choices.homeAxes);
  if (homeAxes) set.homeAxes = homeAxes;
  const startUnits = choose("startUnits", choices.startUnits);
  if (startUnits) set.startUnits = startUnits;
  const arcCentres = choose("arcCentres", choices.arcCentres);
  if (arcCentres) set.arcCentres = arcCentres;
  for (const name of durations.filter(isSet)) {
    const value = given[name];
    if (typeof value === "number" && value >= 0 && value < 1e5) set[name] = value;
    else wrong(name, "a number of seconds, 0 or more.");
  }
  if (isSet("workOffsets")) set.workOffsets = workOffsets(given.workOffsets, wrong);
  for (const name of Object.keys(given)) {
    if (names.includes(name)) continue;
    const near = nearest(name, names);
    problem(
      `cutwright.machine has no "${name}". ${near ? `Did you mean "${near}"?` : `Known: ${names.join(", ")}.`}`,
    );
  }
  if (Object.keys(set).length === 0) return defaultProfile;
  return { ...defaultProfile, ...set, source: { kind: "settings" } };
}

function triple(value: unknown): Triple | undefined {
  const fits =
    Array.isArray(value) &&
    value.length === 3 &&
    value.every((v) => typeof v === "number" && Number.isFinite(v) && Math.abs(v) <= 1e6);
  return fits ? (value as unknown as Triple) : undefined;
}

function workOffsets(
  given: unknown,
  wrong: (name: string, must: string) => void,
): Readonly<Record<string, Triple>> {
  const offsets: Record<string, Triple> = {};
  if (typeof given !== "object" || given === null || Array.isArray(given)) {
    wrong("workOffsets", 'an object, such as { "G55": [200, 0, 0] }.');
    return offsets;
  }
  for (const [code, value] of Object.entries(given)) {
    const offset = triple(value);
    if (!/^G5(5|6|7|8|9(\.[123])?)$/.test(code)) {
      wrong("workOffsets", `by code, G55 to G59.3, not "${code}": such as { "G55": [200, 0, 0] }.`);
    } else if (offset) offsets[code] = offset;
    else wrong(`workOffsets.${code}`, "three numbers: the distance from G54 in mm, such as [200, 0, 0].");
  }
  return offsets;
}

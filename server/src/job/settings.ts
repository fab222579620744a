/** The editor's settings (section `cutwright`): what belongs to the shop and not to a job. */
import type { JobFacts, MachineProfile, Sourced } from "./facts.ts";
import { longest } from "./length.ts";
import { readProfile, shopLengths } from "./profile.ts";

export type Severities = JobFacts["severities"];

export interface ShopSettings {
  readonly severities: Severities;
  readonly machine: MachineProfile;
  /** The shop's bed and its share of the through allowance, mm. */
  readonly lengths: Partial<Record<(typeof shopLengths)[number], Sourced<number>>>;
}

/** Reads the settings; a value that does not fit is left out and told through `problem`. */
export function readSettings(settings: unknown, problem: (message: string) => void): ShopSettings {
  const given = isObject(settings) ? settings : {};
  if (settings !== undefined && settings !== null && !isObject(settings)) {
    problem('The settings must be an object, such as { "machine": { "rapidRate": [3000, 3000, 1500] } }.');
  }
  const severities: Record<string, Severities[string]> = {};
  if (given.rules !== undefined && given.rules !== null && !isObject(given.rules)) {
    problem('The setting cutwright.rules must be an object, such as { "pass-repeated": "off" }.');
  }
  for (const [rule, value] of isObject(given.rules) ? Object.entries(given.rules) : []) {
    if (value === "error" || value === "warning" || value === "info" || value === "off")
      severities[rule] = value;
    else problem(`The setting cutwright.rules: "${rule}" must be "error", "warning", "info" or "off".`);
  }
  const lengths: ShopSettings["lengths"] = {};
  for (const name of isObject(given.machine) ? shopLengths : []) {
    const value = (given.machine as Record<string, unknown>)[name];
    if (value === undefined || value === null) continue;
    const least = name === "bedThickness" ? Number.MIN_VALUE : 0;
    if (typeof value === "number" && value >= least && value <= longest) {
      lengths[name] = { value, source: { kind: "settings" } };
    } else
      problem(
        `cutwright.machine.${name} must be a number of mm, ${name === "bedThickness" ? "above 0, such as 18" : "0 or more, such as 0.2"}.`,
      );
  }
  return { severities, machine: readProfile(given.machine, problem), lengths };
}

function isObject(value: unknown): value is Record<string, unknown> {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

/** Short cuts for engine tests: text in, motions out. */
import type { MachineProfile } from "../../server/src/job/facts.ts";
import { readProgram } from "../../server/src/language/read.ts";
import { interpret } from "../../server/src/machine/interpret.ts";
import { motionKindNames, type Toolpath } from "../../server/src/machine/motions.ts";

/** A profile as NISTIR 6556 has it: all parameters zero. */
export const plainProfile: MachineProfile = {
  rapidRate: [5000, 5000, 2000],
  acceleration: [500, 500, 300],
  topFeed: [5000, 5000, 2000],
  home28: [0, 0, 0],
  home30: [0, 0, 0],
  homeAxes: "all",
  workOffsets: {},
  startUnits: "mm",
  arcCentres: "incremental",
  toolChangeSeconds: 60,
  spindleStartSeconds: 3,
  source: { kind: "default" },
};

export function toolpathOf(text: string, profile: Partial<MachineProfile> = {}): Toolpath {
  return interpret(readProgram(text), { ...plainProfile, ...profile });
}

/** Motions as text, one a line: "rapid 4 5 3". Places rounded to 1e-6. */
export function motionsOf(text: string, profile: Partial<MachineProfile> = {}): string[] {
  const { motions } = toolpathOf(text, profile);
  const round = (value: number) => String(Math.round(value * 1e6) / 1e6 + 0);
  return Array.from({ length: motions.count }, (_, i) =>
    [
      motionKindNames[motions.kind[i]],
      round(motions.x[i + 1]),
      round(motions.y[i + 1]),
      round(motions.z[i + 1]),
    ].join(" "),
  );
}

/** Rule ids of all problems of reading and interpreting, in text order. */
export function problemsOf(text: string, profile: Partial<MachineProfile> = {}): string[] {
  const program = readProgram(text);
  const toolpath = interpret(program, { ...plainProfile, ...profile });
  return [...program.problems, ...toolpath.problems].sort((a, b) => a.start - b.start).map((p) => p.rule);
}

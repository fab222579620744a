import type { JobFacts, Tool } from "./facts.ts";

/** Cutter assumed where none is declared: flat, 6 mm. A stated default; `tool-undeclared` tells it. */
export const assumedDiameter = 6;

/**
 * The cutter a tool number stands for. Number 0 (the program names no tool) means the only declared one, if
 * there is just one. `assumed` is true where nothing is declared and the stated default serves.
 */
export function toolFor(facts: JobFacts, number: number): { tool: Tool; assumed: boolean } {
  const declared = facts.tools.get(number);
  if (declared) return { tool: declared, assumed: false };
  if (number === 0 && facts.tools.size === 1) {
    for (const tool of facts.tools.values()) return { tool, assumed: false };
  }
  return {
    tool: {
      number,
      shape: "flat",
      diameter: assumedDiameter,
      source: { kind: "default", note: "common practice, no source" },
    },
    assumed: true,
  };
}

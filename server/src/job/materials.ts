/** Preset thickness variation of panels. Presets only widen the through allowance; a declared value always wins. */

export interface PanelPreset {
  /** Names that a job may write, lower case. */
  readonly names: readonly string[];
  /** How far the thickness may be off somewhere on the board, mm, for a board of the given thickness (mm). */
  readonly variation: (thickness: number) => number;
  readonly source: string;
}

const inch = 25.4;

export const panelPresets: readonly PanelPreset[] = [
  {
    names: ["mdf"],
    variation: () => 0.005 * inch,
    source: "ANSI A208.2 (MDF): 0.005 in about the panel average; from memory",
  },
  {
    names: ["sanded plywood", "plywood, sanded", "plywood sanded"],
    variation: (thickness) => (thickness <= 0.75 * inch ? inch / 64 : 0.03 * thickness),
    source: "PS 1-19 (plywood), sanded panels: 1/64 in up to 3/4 in, 3 % above; as quoted by a trade body",
  },
  {
    names: ["plywood", "unsanded plywood", "plywood, unsanded"],
    variation: (thickness) => (thickness <= (13 / 16) * inch ? inch / 32 : 0.05 * thickness),
    source:
      "PS 1-19 (plywood), unsanded and overlaid panels: 1/32 in up to 13/16 in, 5 % above; as quoted by a trade body",
  },
];

/** The preset for a material's name, if there is one. */
export function panelPreset(material: string): PanelPreset | undefined {
  const name = material.trim().toLowerCase();
  return panelPresets.find((preset) => preset.names.includes(name));
}

/** Variation taken where neither the job nor a preset tells, mm: a stated default (common practice, no source). */
export const defaultVariation = 0.4;

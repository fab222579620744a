/** Preset thickness variation of panels. Presets only widen the through allowance; a declared value always wins. */

export interface PanelPreset {
  readonly name: string;
  /** Whether a material as the user names it is this panel. */
  readonly fits: (material: string) => boolean;
  /** How far the thickness may be off somewhere on the board, mm, for a board of the given thickness (mm). */
  readonly variation: (thickness: number) => number;
  readonly source: string;
}

const inch = 25.4;
/** Up to a limit in inches: 3/4 in is within 3/4 in whichever way its millimetres were rounded. */
const upTo = (thickness: number, inches: number) => thickness <= inches * inch + 1e-6;
const sandedPlywood = (material: string) =>
  /\bplywood\b/i.test(material) &&
  /\bsanded\b/i.test(material) &&
  !/\b(un-?|touch[- ]?)sanded\b|overlaid/i.test(material);

/** In the order they are tried. */
export const panelPresets: readonly PanelPreset[] = [
  {
    name: "MDF",
    fits: (material) => /\bmdf\b/i.test(material),
    variation: () => 0.005 * inch,
    source: "ANSI A208.2 (MDF): 0.005 in about the panel average; from memory",
  },
  {
    name: "sanded plywood",
    fits: sandedPlywood,
    variation: (thickness) => (upTo(thickness, 3 / 4) ? inch / 64 : 0.03 * thickness),
    source: "PS 1-19 (plywood), sanded panels: 1/64 in up to 3/4 in, 3 % above; as quoted by a trade body",
  },
  {
    // Plywood of which nothing more is said counts as unsanded: the wider of the two.
    name: "plywood",
    fits: (material) => /\bplywood\b/i.test(material),
    variation: (thickness) => (upTo(thickness, 13 / 16) ? inch / 32 : 0.05 * thickness),
    source:
      "PS 1-19 (plywood), unsanded, touch-sanded and overlaid panels: 1/32 in up to 13/16 in, 5 % above; as quoted by a trade body",
  },
];

/** The preset for a material's name ("MDF", "birch plywood, sanded"), if there is one. */
export function panelPreset(material: string): PanelPreset | undefined {
  return panelPresets.find((preset) => preset.fits(material));
}

/** Variation taken where neither the job nor a preset tells, mm: a stated default (common practice, no source). */
export const defaultVariation = 0.4;

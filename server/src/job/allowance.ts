import type { AllowanceTerm, Source, Sourced, Stock, ThroughAllowance } from "./facts.ts";
import { defaultVariation, panelPreset } from "./materials.ts";

const practice: Source = { kind: "default", note: "common practice, no source" };
/** Stated defaults, mm (common practice, no source). */
export const defaultMeasuringError = 0.1;
export const defaultTouchOffError = 0.1;
export const defaultBedUnevenness = 0.2;
/** Thickness a preset is asked for where none is declared, mm. */
const usualThickness = 18;

/** What a job declares about the terms, each in mm; undefined: not declared. */
export interface AllowanceFacts {
  readonly measuringError?: Sourced<number> | undefined;
  readonly variation?: Sourced<number> | undefined;
  readonly bedUnevenness?: Sourced<number> | undefined;
  readonly touchOffError?: Sourced<number> | undefined;
  readonly judgeBy?: "worst case" | "root-sum-square" | undefined;
}

/**
 * How far below the underside a cut must go (design section 5), mm. With zero on the stock top: measuring error,
 * thickness variation, bed unevenness and touch-off error. With zero on the bed the first two drop out and
 * tape under the stock is subtracted: the sums count from Z0, `overcut` from the real underside above the tape.
 * No sum falls below 0.
 */
export function throughAllowance(stock: Stock, facts: AllowanceFacts): ThroughAllowance {
  const onTop = stock.zero.value === "top";
  const errors: AllowanceTerm[] = [
    ...(onTop
      ? [
          term("measuring error", facts.measuringError ?? stated(defaultMeasuringError)),
          term("thickness variation", facts.variation ?? variationOf(stock)),
        ]
      : []),
    term("bed unevenness", facts.bedUnevenness ?? stated(defaultBedUnevenness)),
    term("touch-off error", facts.touchOffError ?? stated(defaultTouchOffError)),
  ];
  const tape = onTop ? undefined : stock.tape;
  const raised = tape?.value ?? 0;
  const sum = errors.reduce((total, { value }) => total + value, 0);
  const squares = errors.reduce((total, { value }) => total + value * value, 0);
  const worstCase = length(sum - raised);
  const rootSumSquare = length(Math.sqrt(squares) - raised);
  const judgedBy = facts.judgeBy ?? "worst case";
  return {
    terms:
      raised > 0 && tape ? [...errors, term("tape under the stock", { ...tape, value: -raised })] : errors,
    worstCase,
    rootSumSquare,
    judgedBy,
    required: judgedBy === "worst case" ? worstCase : rootSumSquare,
    overcut: length(judgedBy === "worst case" ? sum : Math.sqrt(squares)),
  };
}

/** Never below 0, and without the last digits' noise of a sum: 0.1 + 0.2 is 0.3. */
function length(mm: number): number {
  return Math.max(0, Math.round(mm * 1e9) / 1e9);
}

function term(name: AllowanceTerm["name"], { value, source }: Sourced<number>): AllowanceTerm {
  return { name, value, source };
}

function stated(value: number): Sourced<number> {
  return { value, source: practice };
}

function variationOf({ material, thickness }: Stock): Sourced<number> {
  const preset = material && panelPreset(material.value);
  if (!preset) return stated(defaultVariation);
  return {
    value: preset.variation(thickness?.value ?? usualThickness),
    source: { kind: "default", note: preset.source },
  };
}

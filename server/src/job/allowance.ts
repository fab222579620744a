import type { AllowanceTerm, Source, Sourced, Stock, ThroughAllowance } from "./facts.ts";
import { defaultVariation, panelPreset } from "./materials.ts";

const byDefault: Source = { kind: "default" };
/** Stated defaults, mm (common practice, no source). */
export const defaultMeasuringError = 0.1;
export const defaultTouchOffError = 0.1;
export const defaultBedUnevenness = 0.2;

/** What a job declares about the terms, each in mm; undefined: not declared. */
export interface AllowanceFacts {
  readonly measuringError?: Sourced<number> | undefined;
  readonly variation?: Sourced<number> | undefined;
  readonly bedUnevenness?: Sourced<number> | undefined;
  readonly touchOffError?: Sourced<number> | undefined;
  readonly tape?: Sourced<number> | undefined;
  readonly judgeBy?: "worst case" | "root-sum-square" | undefined;
}

/**
 * How far below the underside a cut must go (design section 5), mm. With zero on the stock top: measuring error,
 * thickness variation, bed unevenness and touch-off error. With zero on the bed the first two drop out and
 * tape under the stock is subtracted.
 */
export function throughAllowance(stock: Stock, facts: AllowanceFacts): ThroughAllowance {
  const term = (
    name: AllowanceTerm["name"],
    declared: Sourced<number> | undefined,
    otherwise: number,
  ): AllowanceTerm => ({
    name,
    value: declared?.value ?? otherwise,
    source: declared?.source ?? byDefault,
  });
  const errors: AllowanceTerm[] = [];
  if (stock.zero.value === "top") {
    errors.push(term("measuring error", facts.measuringError, defaultMeasuringError));
    errors.push(term("thickness variation", facts.variation, presetVariation(stock)));
  }
  errors.push(term("bed unevenness", facts.bedUnevenness, defaultBedUnevenness));
  errors.push(term("touch-off error", facts.touchOffError, defaultTouchOffError));
  const tape = stock.zero.value === "bed" && facts.tape ? facts.tape.value : 0;
  const terms = [...errors];
  if (tape && facts.tape)
    terms.push({ name: "tape under the stock", value: -tape, source: facts.tape.source });
  const sum = errors.reduce((total, { value }) => total + value, 0);
  const squares = errors.reduce((total, { value }) => total + value * value, 0);
  const worstCase = Math.max(0, sum - tape);
  const rootSumSquare = Math.max(0, Math.sqrt(squares) - tape);
  const judgedBy = facts.judgeBy ?? "worst case";
  return {
    terms,
    worstCase,
    rootSumSquare,
    judgedBy,
    required: judgedBy === "worst case" ? worstCase : rootSumSquare,
  };
}

function presetVariation(stock: Stock): number {
  const preset = stock.material && panelPreset(stock.material.value);
  return preset ? preset.variation(stock.thickness?.value ?? 18) : defaultVariation;
}

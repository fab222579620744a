import { rule as arcEndpointOff } from "./arc-endpoint-off.ts";
import { rule as arcRadiusTooSmall } from "./arc-radius-too-small.ts";
import { rule as bedCutDeep } from "./bed-cut-deep.ts";
import { rule as commentNested } from "./comment-nested.ts";
import { rule as commentUnclosed } from "./comment-unclosed.ts";
import { rule as declarationUnclear } from "./declaration-unclear.ts";
import { rule as declarationUnused } from "./declaration-unused.ts";
import { rule as feedMissing } from "./feed-missing.ts";
import { rule as jobAmbiguous } from "./job-ambiguous.ts";
import { rule as jobInvalid } from "./job-invalid.ts";
import { rule as jobUnreadable } from "./job-unreadable.ts";
import { rule as lineNotReviewed } from "./line-not-reviewed.ts";
import { rule as machinePlaceUnknown } from "./machine-place-unknown.ts";
import { rule as modalConflict } from "./modal-conflict.ts";
import { rule as nothingToCut } from "./nothing-to-cut.ts";
import { rule as numberMalformed } from "./number-malformed.ts";
import { rule as outsideStock } from "./outside-stock.ts";
import { rule as passRemovesNothing } from "./pass-removes-nothing.ts";
import { rule as passRepeated } from "./pass-repeated.ts";
import { rule as programEndMissing } from "./program-end-missing.ts";
import { rule as rapidBelowTop } from "./rapid-below-top.ts";
import { rule as rapidInStock } from "./rapid-in-stock.ts";
import { rule as silenceWithoutReason } from "./silence-without-reason.ts";
import { rule as skinCutAway } from "./skin-cut-away.ts";
import { rule as spindleOff } from "./spindle-off.ts";
import { rule as thicknessUnknown } from "./thickness-unknown.ts";
import { rule as throughCutMarginal } from "./through-cut-marginal.ts";
import { rule as throughCutShort } from "./through-cut-short.ts";
import { rule as toolUndeclared } from "./tool-undeclared.ts";
import { rule as unitsNotStated } from "./units-not-stated.ts";
import { rule as wordRepeated } from "./word-repeated.ts";
import { rule as wordUnknown } from "./word-unknown.ts";
import { rule as silenceUnused } from "./silence-unused.ts";
import type { Rule } from "../rule.ts";

/** All rules. `silence-unused` runs last: it asks what the others left over. */
export const rules: readonly Rule[] = [
  arcEndpointOff,
  arcRadiusTooSmall,
  bedCutDeep,
  commentNested,
  commentUnclosed,
  declarationUnclear,
  declarationUnused,
  feedMissing,
  jobAmbiguous,
  jobInvalid,
  jobUnreadable,
  lineNotReviewed,
  machinePlaceUnknown,
  modalConflict,
  nothingToCut,
  numberMalformed,
  outsideStock,
  passRemovesNothing,
  passRepeated,
  programEndMissing,
  rapidBelowTop,
  rapidInStock,
  silenceWithoutReason,
  skinCutAway,
  spindleOff,
  thicknessUnknown,
  throughCutMarginal,
  throughCutShort,
  toolUndeclared,
  unitsNotStated,
  wordRepeated,
  wordUnknown,
  silenceUnused,
];

/** Phrases that the outline and the hover share. */
import type { Cut, Intent } from "../cuts/cuts.ts";
import { lengthText } from "../review/length-text.ts";
import type { Review } from "../review/review.ts";
import { surfaces } from "../stock/surfaces.ts";

/** "Round hole, 4 passes, 18.00 mm deep, meant to go through". */
export function cutTitle(review: Review, cut: Cut): string {
  const passes = cut.passes.length === 1 ? "1 pass" : `${cut.passes.length} passes`;
  return `${capital(cut.kind)}, ${passes}, ${depthText(review, cut.bottom)}, ${intentText(review, cut.intent)}`;
}

/** "18.00 mm deep", measured from the board's top; "at Z-18.00 mm" where the top is not known. */
export function depthText(review: Review, z: number): string {
  const { units } = review.toolpath;
  const { top } = surfaces(review.job.stock);
  if (top === undefined) return `at Z${lengthText(z, units)}`;
  const depth = top - z;
  return depth >= 0 ? `${lengthText(depth, units)} deep` : `${lengthText(-depth, units)} above the board`;
}

/** "meant to go through", "meant to leave 2.00 mm", "meant to stop partway", "not known whether it goes through". */
export function intentText(review: Review, intent: Intent): string {
  switch (intent.goes) {
    case "through":
      return "meant to go through";
    case "partway":
      return intent.leaves === undefined
        ? "meant to stop partway"
        : `meant to leave ${lengthText(intent.leaves, review.toolpath.units)}`;
    case "unknown":
      return "not known whether it goes through";
  }
}

export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** Numbers as the user reads them, in the program's own units. The engine's are mm and mm/min. */

export type Units = "mm" | "in";

/** "12.50" (mm, two decimals) or "0.4921" (inches, four). */
export function lengthNumber(mm: number, units: Units): string {
  const value = units === "in" ? (mm / 25.4).toFixed(4) : mm.toFixed(2);
  // No "-0.00": a sign on nothing makes a reader look for a reason.
  return /^-0\.?0*$/.test(value) ? value.slice(1) : value;
}

/** "12.50 mm". */
export function lengthText(mm: number, units: Units): string {
  return `${lengthNumber(mm, units)} ${units}`;
}

/** "320 mm", "6.35 mm", "0.25 in": no more decimals than the value needs. */
export function roundLength(mm: number, units: Units): string {
  const value = units === "in" ? mm / 25.4 : mm;
  return `${Number(value.toFixed(units === "in" ? 4 : 2))} ${units}`;
}

/** "about 320 mm", "about 7.4 in": for what is only assumed. */
export function aboutLength(mm: number, units: Units): string {
  return `about ${units === "in" ? Number((mm / 25.4).toFixed(1)) : Math.round(mm)} ${units}`;
}

/** "600 mm/min". */
export function feedText(mmPerMinute: number, units: Units): string {
  const value = units === "in" ? mmPerMinute / 25.4 : mmPerMinute;
  return `${Number(value.toFixed(units === "in" ? 2 : 1))} ${units}/min`;
}

/** "X1.00 Y2.00 Z-3.00". */
export function placeText(x: number, y: number, z: number, units: Units): string {
  return `X${lengthNumber(x, units)} Y${lengthNumber(y, units)} Z${lengthNumber(z, units)}`;
}

/** A round step (1, 2 or 5 times a power of ten of the program's units) of at least `atLeast` mm, in mm. */
export function roundStep(atLeast: number, units: Units): number {
  const unit = units === "in" ? 25.4 : 1;
  const wanted = Math.max(atLeast / unit, 1e-6);
  const power = 10 ** Math.floor(Math.log10(wanted));
  for (const factor of [1, 2, 5]) if (factor * power >= wanted * 0.999) return factor * power * unit;
  return 10 * power * unit;
}

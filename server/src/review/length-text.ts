/** A length as the user writes lengths: two decimals in mm, four in inches. */
export function lengthText(mm: number, units: "mm" | "in"): string {
  const value = units === "in" ? (mm / 25.4).toFixed(4) : mm.toFixed(2);
  // No "-0.00": a sign on nothing makes a reader look for a reason.
  return `${/^-0\.?0*$/.test(value) ? value.slice(1) : value} ${units}`;
}

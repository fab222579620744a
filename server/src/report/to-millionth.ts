/** A number to a millionth, and never -0: what floating-point sums add beyond that is noise to a reader. */
export function toMillionth(value: number): number {
  return Math.round(value * 1e6) / 1e6 + 0;
}

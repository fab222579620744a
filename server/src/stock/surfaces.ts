import type { Stock } from "../job/facts.ts";

/**
 * Z of the stock's top and underside, mm in the stock frame. Without a thickness only the surface that
 * carries the zero is known.
 */
export function surfaces(stock: Stock): { top: number | undefined; underside: number | undefined } {
  const thickness = stock.thickness?.value;
  return stock.zero.value === "top"
    ? { top: 0, underside: thickness === undefined ? undefined : -thickness }
    : { top: thickness, underside: 0 };
}

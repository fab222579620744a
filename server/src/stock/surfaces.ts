import type { Stock } from "../job/facts.ts";

/** Z of the stock's top and underside and of the bed's top, mm in the stock frame; undefined where not known. */
export interface Surfaces {
  readonly top: number | undefined;
  readonly underside: number | undefined;
  readonly bed: number | undefined;
}

/**
 * Where the stock and the bed under it lie. Tape parts them by its thickness. Without a thickness of the board
 * only the surfaces on the zero's side of it are known.
 */
export function surfaces(stock: Stock): Surfaces {
  const thickness = stock.thickness?.value;
  const tape = stock.tape?.value ?? 0;
  if (stock.zero.value === "top") {
    const underside = thickness === undefined ? undefined : -thickness;
    return { top: 0, underside, bed: underside === undefined ? undefined : underside - tape };
  }
  return { top: thickness === undefined ? undefined : thickness + tape, underside: tape, bed: 0 };
}

/** Where board, tape and bed lie: the project's own definition; sums by hand. */
import { describe, expect, it } from "vitest";
import type { Stock } from "../../server/src/job/facts.ts";
import { surfaces } from "../../server/src/stock/surfaces.ts";

const source = { kind: "default" } as const;
const stock = (zero: "top" | "bed", thickness?: number, tape?: number): Stock => ({
  zero: { value: zero, source },
  ...(thickness === undefined ? {} : { thickness: { value: thickness, source } }),
  ...(tape === undefined ? {} : { tape: { value: tape, source } }),
});

describe("zero on the stock top", () => {
  it("tape lowers the bed", () => {
    expect(surfaces(stock("top", 18.5))).toEqual({ top: 0, underside: -18.5, bed: -18.5 });
    expect(surfaces(stock("top", 18.5, 0.25))).toEqual({ top: 0, underside: -18.5, bed: -18.75 });
  });
  it("without a thickness only the top is known", () => {
    expect(surfaces(stock("top", undefined, 0.25))).toEqual({
      top: 0,
      underside: undefined,
      bed: undefined,
    });
  });
});

describe("zero on the bed", () => {
  it("tape raises the board", () => {
    expect(surfaces(stock("bed", 18.5))).toEqual({ top: 18.5, underside: 0, bed: 0 });
    expect(surfaces(stock("bed", 18.5, 0.25))).toEqual({ top: 18.75, underside: 0.25, bed: 0 });
  });
  it("without a thickness the top is not known", () => {
    expect(surfaces(stock("bed", undefined, 0.25))).toEqual({ top: undefined, underside: 0.25, bed: 0 });
  });
});

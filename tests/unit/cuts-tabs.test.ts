/** Tabs of both forms. */
import { describe, expect, it } from "vitest";
import { cutting } from "../support/cuts.ts";

const tabsOf = (...lines: string[]) => cutting(...lines).tree.passes.map((pass) => pass.tabs);

describe("tabs", () => {
  it("by steps: place, height and length", () => {
    const [tabs] = tabsOf(
      "G0 X0 Y0",
      "G1 Z-18.5 F300",
      "G1 X40 F1200",
      "G1 Z-14",
      "G1 X50",
      "G1 Z-18.5",
      "G1 X90",
    );
    expect(tabs).toHaveLength(1);
    expect(tabs[0].at).toEqual([45, 0]);
    expect(tabs[0].height).toBeCloseTo(4.5, 9);
    expect(tabs[0].length).toBeCloseTo(10, 9);
    expect(tabs[0].endMotion - tabs[0].firstMotion).toBe(3);
  });

  it("by ramps: the whole stretch above the bottom", () => {
    const [tabs] = tabsOf(
      "G0 X0 Y0",
      "G1 Z-18 F300",
      "G1 X40",
      "G1 X43 Z-15",
      "G1 X47",
      "G1 X50 Z-18",
      "G1 X90",
      "G1 X95 Z-17",
      "G1 X100 Z-18",
      "G1 X120",
    );
    expect(
      tabs.map((tab) => [tab.at[0], tab.length, tab.height].map((v) => Math.round(v * 1e6) / 1e6)),
    ).toEqual([
      [45, 10, 3],
      [95, 10, 1],
    ]);
  });

  it("around a corner and on an arc", () => {
    const [tabs] = tabsOf(
      "G0 X0 Y0",
      "G1 Z-18 F300",
      "G1 X40",
      "G1 Z-15",
      "G1 X45",
      "G1 Y5",
      "G1 Z-18",
      "G1 Y30",
      "G3 X35 Y40 I-10 J0 Z-15",
      "G1 X30 Z-18",
      "G1 X0",
    );
    expect(tabs).toHaveLength(2);
    expect(tabs[0].at).toEqual([45, 0]);
    expect(tabs[1].height).toBeCloseTo(3, 9);
  });

  it("are not the ramp in, the rise at the end, nor a rise of rounding", () => {
    expect(
      tabsOf(
        "G0 X0 Y0 Z0",
        "G1 X20 Z-9 F300",
        "G1 X0 Z-18",
        "G1 X90",
        "G1 Z-17.98",
        "G1 X95",
        "G1 Z-18",
        "G1 X99",
        "G1 X105 Z-2",
      ),
    ).toEqual([[]]);
  });

  it("are not a rise to the top, which ends the pass", () => {
    expect(tabsOf("G0 X0 Y0", "G1 Z-18 F300", "G1 X40", "G1 Z0", "G1 X50", "G1 Z-18", "G1 X90")).toEqual([
      [],
      [],
    ]);
  });

  it("do not make the bottom higher: the exact depth decides", () => {
    const { tree } = cutting(
      "G0 X0 Y0",
      "G1 Z-18.0001 F300",
      "G1 X40",
      "G1 Z-12",
      "G1 X50",
      "G1 Z-18.0001",
      "G1 X60",
    );
    expect(tree.cuts[0].bottom).toBe(-18.0001);
    expect(tree.passes).toHaveLength(1);
  });
});

import { describe, expect, it } from "vitest";
import { defaultProfile, readProfile } from "../../server/src/job/profile.ts";

const read = (settings: unknown) => {
  const problems: string[] = [];
  return { profile: readProfile(settings, (message) => problems.push(message)), problems };
};

describe("readProfile", () => {
  it.each([undefined, null, {}, { travel: null }])(
    "takes the stated default where nothing is set: %j",
    (settings) => {
      expect(read(settings)).toEqual({ profile: defaultProfile, problems: [] });
    },
  );

  it("reads what is set and keeps the rest", () => {
    const own = {
      rapidRate: [5000, 5000, 2000],
      travel: [600, 400, 100],
      workZero: [-500, -300, -40],
      homeAxes: "named",
      startUnits: "in",
      workOffsets: { G55: [200, 0, 0], "G59.3": [0, 0, 1] },
      toolChangeSeconds: 0,
    };
    // The shop's lengths stand in the same setting and are read elsewhere.
    const { profile, problems } = read({ ...own, touchOffError: 0.05 });
    expect(problems).toEqual([]);
    expect(profile).toEqual({ ...defaultProfile, ...own, source: { kind: "settings" } });
  });

  it.each([
    ["fast", "must be an object"],
    [{ rapidRate: [5000, 5000] }, "rapidRate must be three numbers above 0"],
    [{ rapidRate: [5000, 0, 1] }, "rapidRate must be three numbers above 0"],
    [{ acceleration: 300 }, "acceleration must be three numbers"],
    [{ home28: [0, 0, Infinity] }, "home28 must be three numbers"],
    [{ startUnits: "cm" }, 'startUnits must be "mm" or "in"'],
    [{ spindleStartSeconds: -1 }, "0 or more"],
    [{ workOffsets: { G54: [0, 0, 0] } }, 'by code, G55 to G59.3, not "G54"'],
    [{ workOffsets: { G55: 5 } }, "workOffsets.G55 must be three numbers"],
    [{ workOffsets: [] }, "workOffsets must be an object"],
    [{ rapidrate: [1, 1, 1] }, 'Did you mean "rapidRate"?'],
    [{ toString: 1 }, 'has no "toString"'],
  ])("tells what does not fit: %j", (settings, message) => {
    const { problems, profile } = read(settings);
    expect(problems).toHaveLength(1);
    expect(problems[0]).toContain(message);
    expect(profile.rapidRate).toEqual(defaultProfile.rapidRate);
  });
});

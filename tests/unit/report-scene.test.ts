import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { makeScene } from "../../server/src/report/make-scene.ts";
import { decodeScene, encodeScene } from "../../server/src/report/scene-codec.ts";
import type { Scene } from "../../server/src/report/scene.ts";
import { hostile, sampleFinding, sampleJob, sampleReview, sampleText } from "./report-fixture.ts";

describe("scene of a review", () => {
  it("cuts the columns to the motions and lists every tool used", () => {
    const scene = makeScene(sampleReview());
    expect(scene.motions.kind).toHaveLength(13);
    expect(scene.motions.x).toHaveLength(14);
    expect(scene.tools.map((tool) => tool.number)).toEqual([1]);
    expect(scene.board).toEqual({
      name: "prototype",
      corner: [-10, -10],
      size: [320, 220],
      sizeDeclared: true,
      top: 0,
      underside: -18.6,
      material: "MDF",
    });
    expect(scene.lines[7]).toBe("G1 Z-18 F300");
  });

  it("has no underside without a thickness and guesses the size from the cuts", () => {
    const { board } = makeScene(
      sampleReview({ job: { ...sampleJob, stock: { zero: sampleJob.stock.zero } }, skins: [] }),
    );
    expect(board.underside).toBeNull();
    expect(board.sizeDeclared).toBe(false);
    expect(board.corner).toEqual([0, 10]);
    expect(board.size).toEqual([130, 60]);
  });

  it("leaves out findings about other files and shortens endless lines", () => {
    const other = sampleFinding(sampleText, 1, { file: "a.job.json" });
    const text = `(${"x".repeat(10_000)})\n${sampleText}`;
    const scene = makeScene(sampleReview({ findings: [other] }, text));
    expect(scene.findings).toEqual([]);
    expect(scene.lines[0].length).toBeLessThan(300);
  });
});

describe("scene as text", () => {
  it("comes back as it was", () => {
    const scene = makeScene(sampleReview({ startHeight: Float32Array.from([0, -1.5, NaN, -Infinity]) }));
    expect(decodeScene(encodeScene(scene))).toEqual(scene);
  });

  it("keeps infinite numbers, NaN and dwells", () => {
    const made = makeScene(sampleReview());
    const scene: Scene = { ...made, board: { ...made.board, underside: -Infinity, top: NaN } };
    const back = decodeScene(encodeScene(scene));
    expect(back.board.underside).toBe(-Infinity);
    expect(back.board.top).toBeNaN();
    expect(back.motions.dwellSeconds.get(12)).toBe(1.5);
  });

  it("keeps every bit of columns of any length", () => {
    const made = makeScene(sampleReview());
    fc.assert(
      fc.property(fc.float64Array({ maxLength: 40 }), fc.integer({ min: 0, max: 5 }), (values, skip) => {
        // A view into the middle of a buffer must carry only its own part.
        const x = values.subarray(Math.min(skip, values.length));
        const back = decodeScene(encodeScene({ ...made, motions: { ...made.motions, x } }));
        expect(back.motions.x).toEqual(x.slice());
      }),
      { numRuns: 200 },
    );
  });

  it("keeps long columns, whose base64 is made in parts", () => {
    const made = makeScene(sampleReview());
    const x = Float64Array.from({ length: 100_003 }, (_, i) => Math.sin(i) * i);
    const back = decodeScene(encodeScene({ ...made, motions: { ...made.motions, x } }));
    expect(back.motions.x).toEqual(x);
  });

  it("keeps any text in names and lines", () => {
    const made = makeScene(sampleReview());
    expect(decodeScene(encodeScene({ ...made, title: hostile, lines: [hostile] })).lines).toEqual([hostile]);
  });

  it("refuses another version in plain words", () => {
    expect(() => decodeScene('{"version":2}')).toThrow("not a scene of a version");
  });
});

/** Steps, messages, kept state, picking and the words of a motion: the parts that need no drawing. */
import { describe, expect, test } from "vitest";
import type { Scene } from "../../server/src/report/scene.ts";
import { readKeptState } from "../../webview/src/kept-state.ts";
import { lengthText, roundStep } from "../../webview/src/lengths.ts";
import { readMessage } from "../../webview/src/messages.ts";
import { depthText, motionText } from "../../webview/src/motion-text.ts";
import { Orbit } from "../../webview/src/orbit.ts";
import { pathSegments } from "../../webview/src/path-segments.ts";
import { motionsNear } from "../../webview/src/picking.ts";
import { playSeconds } from "../../webview/src/player.ts";
import { nextStop, stopsOf, stopsReached } from "../../webview/src/steps.ts";
import { depthProfile } from "../../webview/src/time-strip.ts";
import { sceneOf } from "./sample-board.ts";

const program = [
  "(cutwright: thickness 10 mm; size 100 x 60 mm; tool 1 flat 6 mm)",
  "G21 G90 G17",
  "(Slot)",
  "T1 M6",
  "S9000 M3",
  "G0 X10 Y10 Z5",
  "G1 Z-2 F300",
  "G1 X60 F600",
  "G0 Z5",
  "G0 X10 Y10",
  "G1 Z-4 F300",
  "G1 X60 F600",
  "G0 Z5",
  "G0 X10 Y40",
  "G1 Z-11 F300",
  "G2 X30 Y40 I10 J0 F600",
  "G4 P1.5",
  "G0 Z5",
  "M30",
].join("\n");
const scene: Scene = sceneOf(program, "slots.nc");
const motionOn = (block: string) => scene.motions.line.indexOf(program.split("\n").indexOf(block));

describe("steps", () => {
  test("by pass and by cut, both ways, from anywhere, to the ends", () => {
    const stops = stopsOf(scene);
    const count = scene.motions.count;
    const forward: number[] = [];
    for (let done = 0; done < count;) forward.push((done = nextStop(stops, "pass", done, 1, count)));
    expect(forward).toEqual([...new Set([...stops.pass, count])]);
    const back: number[] = [];
    for (let done = count; done > 0;) back.push((done = nextStop(stops, "pass", done, -1, count)));
    expect(back.at(-1)).toBe(0);
    expect(back.slice(0, -1).reverse()).toEqual([...stops.pass].filter((stop) => stop < count));
    expect(nextStop(stops, "cut", 1, 1, count)).toBe(stops.cut[0]);
    expect(nextStop(stops, "motion", 0, -1, count)).toBe(0);
    expect(nextStop(stops, "motion", count, 1, count)).toBe(count);
    expect(stopsReached(stops.pass, 0)).toBe(0);
    expect(stopsReached(stops.pass, count)).toBe(stops.pass.length);
  });
});

describe("messages", () => {
  test("only well-formed ones are read", () => {
    expect(readMessage({ type: "cursor", line: 3, endLine: 5 })).toEqual({
      type: "cursor",
      line: 3,
      endLine: 5,
    });
    expect(readMessage({ type: "cursor", line: 3 })).toEqual({ type: "cursor", line: 3, endLine: 3 });
    expect(readMessage({ type: "cursor", line: 3, endLine: 1 })).toEqual({
      type: "cursor",
      line: 3,
      endLine: 3,
    });
    for (const odd of [
      null,
      4,
      "x",
      {},
      { type: "cursor", line: 1.5 },
      { type: "scene", scene: {} },
      { type: "reveal" },
    ])
      expect(readMessage(odd)).toBeUndefined();
  });

  test("a kept state from elsewhere does no harm", () => {
    expect(readKeptState(undefined)).toEqual({ pose: undefined, layers: {} });
    expect(readKeptState({ pose: { azimuth: "x" }, layers: { stock: false, other: true, skin: 3 } })).toEqual(
      {
        pose: undefined,
        layers: { stock: false },
      },
    );
    const pose = { azimuth: 1, elevation: 0.5, scale: 2, target: [1, 2, 3] };
    expect(readKeptState({ pose }).pose).toEqual(pose);
    expect(readKeptState({ pose: { ...pose, scale: NaN } }).pose).toBeUndefined();
  });
});

describe("words", () => {
  test("a motion is told with its line, kind, places, depth, feed and tool", () => {
    const text = motionText(scene, motionOn("G2 X30 Y40 I10 J0 F600"));
    expect(text.line).toBe("line 16");
    expect(text.code).toBe("G2 X30 Y40 I10 J0 F600");
    expect(text.kind).toBe("arc, clockwise");
    expect(text.facts).toContain("from X10.00 Y40.00 Z-11.00");
    expect(text.facts).toContain("to X30.00 Y40.00 Z-11.00");
    expect(text.facts).toContain("11.00 mm below the top, 1.00 mm below the underside");
    expect(text.facts).toContain("feed 600 mm/min");
    expect(text.facts).toContain("tool 1, flat 6 mm");
    expect(motionText(scene, motionOn("G1 Z-2 F300")).kind).toBe("plunge");
    expect(motionText(scene, motionOn("G4 P1.5")).kind).toBe("dwell 1.5 s");
  });

  test("depths name what is left, and inches have four decimals", () => {
    expect(depthText(scene, 0)).toBe("at the board's top");
    expect(depthText(scene, 5)).toBe("5.00 mm above the top");
    expect(depthText(scene, -4)).toBe("4.00 mm below the top, 6.00 mm left under it");
    expect(depthText(scene, -10)).toBe("10.00 mm below the top, at the underside");
    expect(depthText({ ...scene, board: { ...scene.board, underside: null } }, -4)).toBe(
      "4.00 mm below the top",
    );
    expect(lengthText(25.4, "in")).toBe("1.0000 in");
    expect(lengthText(-0.001, "mm")).toBe("0.00 mm");
    expect(roundStep(7, "mm")).toBe(10);
    expect(roundStep(7, "in")).toBeCloseTo(12.7, 9);
  });
});

describe("time", () => {
  test("a motion takes its length at its feed, a dwell its own time", () => {
    expect(playSeconds(scene.motions, motionOn("G1 X60 F600"))).toBeCloseTo(5, 9);
    expect(playSeconds(scene.motions, motionOn("G4 P1.5"))).toBe(1.5);
    // Half a circle of radius 10 mm at 600 mm/min.
    expect(playSeconds(scene.motions, motionOn("G2 X30 Y40 I10 J0 F600"))).toBeCloseTo(Math.PI, 9);
  });

  test("the depth profile has the deepest cut of each share", () => {
    const profile = depthProfile(scene, scene.motions.count);
    expect(profile[motionOn("G1 X60 F600")]).toBe(-2);
    expect(profile[motionOn("G2 X30 Y40 I10 J0 F600")]).toBe(-11);
    expect(profile[motionOn("G0 Z5")]).toBeNaN();
    expect(Math.min(...depthProfile(scene, 1))).toBe(-11);
  });
});

describe("picking", () => {
  test("takes the nearest motion, cutting before rapid, and none far away", () => {
    const orbit = new Orbit();
    orbit.width = 800;
    orbit.height = 600;
    orbit.azimuth = 0;
    orbit.elevation = Math.PI / 2;
    orbit.update();
    orbit.fit([0, 0, -10, 100, 60, 0], 40);
    const segments = pathSegments(scene.motions);
    const layers = { cuts: true, rapids: true };
    const at = (x: number, y: number) => orbit.project(x, y, 0);
    const slot = at(35, 10);
    const found = motionsNear(segments, orbit, slot.x, slot.y + 3, layers);
    // Two levels of one slot lie over each other: the upper is nearer to the eye.
    expect(found.slice(0, 2)).toEqual([motionOn("G1 X60 F600"), scene.motions.line.lastIndexOf(11)]);
    expect(motionsNear(segments, orbit, slot.x, slot.y + 3, { cuts: false, rapids: false })).toEqual([]);
    const away = at(80, 55);
    expect(motionsNear(segments, orbit, away.x, away.y, layers)).toEqual([]);
    const arc = at(20, 50);
    expect(motionsNear(segments, orbit, arc.x, arc.y, layers)[0]).toBe(motionOn("G2 X30 Y40 I10 J0 F600"));
  });

  test("a place on the picture and the place in space agree", () => {
    const orbit = new Orbit();
    orbit.width = 640;
    orbit.height = 480;
    orbit.fit([0, 0, -10, 100, 60, 0], 20);
    orbit.zoom(1.7, 100, 80);
    const spot = orbit.unproject(200, 120);
    const back = orbit.project(spot.x, spot.y, spot.z);
    expect(back.x).toBeCloseTo(200, 6);
    expect(back.y).toBeCloseTo(120, 6);
    // Zooming keeps the place under the pointer.
    const before = orbit.unproject(100, 80);
    orbit.zoom(2, 100, 80);
    expect(orbit.unproject(100, 80).distanceTo(before)).toBeLessThan(1e-9);
  });
});

/** Random cutters and single motions for the material's property tests. Lengths in mm. */
import * as fc from "fast-check";
import { cutterFrom, type Cutter } from "../../server/src/stock/cutter.ts";
import type { Tool, ToolShape } from "../../server/src/job/facts.ts";
import { MotionFlag, Plane, planeAxes, type Motions } from "../../server/src/machine/motions.ts";
import { MotionsBuilder } from "./motions-builder.ts";

export function tool(shape: ToolShape, diameter: number, more: Partial<Tool> = {}): Tool {
  return { number: 1, shape, diameter, ...more, source: { kind: "default" } };
}

const number = (min: number, max: number) => fc.double({ min, max, noNaN: true, noDefaultInfinity: true });

export const anyTool: fc.Arbitrary<Tool> = fc.oneof(
  number(0.5, 12).map((d) => tool("flat", d)),
  number(0.5, 12).map((d) => tool("ball", d)),
  fc
    .tuple(number(1, 12), number(0.3, 2.6), fc.oneof(fc.constant(0), number(0, 0.9)))
    .map(([d, angle, tip]) => tool("V", d, { angle, tipDiameter: tip * d })),
  number(0.5, 12).map((d) => tool("drill", d)),
  fc.tuple(number(1, 12), number(0.05, 1)).map(([d, c]) => tool("bull", d, { cornerRadius: (c * d) / 2 })),
);

export const anyCutter: fc.Arbitrary<Cutter> = anyTool.map(cutterFrom);

/** A table whose motion 1 is the one under test. */
export interface OneMotion {
  readonly name: string;
  readonly motions: Motions;
}

const place = fc.tuple(number(-15, 15), number(-15, 15), number(-10, 2));

function straight(name: string, end: fc.Arbitrary<[number, number, number]>): fc.Arbitrary<OneMotion> {
  return fc.tuple(place, end).map(([from, step]) => ({
    name,
    motions: new MotionsBuilder(from).feed(from[0] + step[0], from[1] + step[1], from[2] + step[2]).done(),
  }));
}

interface ArcOptions {
  readonly plane: number;
  readonly climb: fc.Arbitrary<number>;
  readonly sweep: fc.Arbitrary<number>;
  /** End radius as a share of the start radius. */
  readonly growth: fc.Arbitrary<number>;
}

function arc(name: string, { plane, climb, sweep, growth }: ArcOptions): fc.Arbitrary<OneMotion> {
  return fc
    .tuple(place, number(0.2, 12), number(-Math.PI, Math.PI), climb, sweep, fc.boolean(), growth)
    .map(([from, radius, startAngle, up, turn, clockwise, share]) => {
      const [a, b, c] = planeAxes[plane];
      const signed = clockwise ? -turn : turn;
      const centreA = from[a] - radius * Math.cos(startAngle);
      const centreB = from[b] - radius * Math.sin(startAngle);
      const to: [number, number, number] = [0, 0, 0];
      to[a] = centreA + radius * share * Math.cos(startAngle + signed);
      to[b] = centreB + radius * share * Math.sin(startAngle + signed);
      to[c] = from[c] + up;
      return { name, motions: new MotionsBuilder(from).arc(to, [centreA, centreB], signed, plane).done() };
    });
}

const level = fc.constant(0);
const some = number(-6, 6);
const sameRadius = fc.constant(1);
const partTurn = number(0.05, 2 * Math.PI - 0.05);
const turns = fc.integer({ min: 1, max: 3 }).map((n) => n * 2 * Math.PI);
const anyTurn = fc.oneof(partTurn, turns, number(2 * Math.PI, 18));

export const anyMotion: fc.Arbitrary<OneMotion> = fc.oneof(
  straight("level", fc.tuple(number(-20, 20), number(-20, 20), level)),
  straight("level along X", fc.tuple(number(-20, 20), level, level)),
  straight("ramp", fc.tuple(number(-20, 20), number(-20, 20), some)),
  straight("steep ramp", fc.tuple(number(-0.3, 0.3), number(-0.3, 0.3), some)),
  straight("plunge", fc.tuple(level, level, some)),
  arc("level arc", { plane: Plane.xy, climb: level, sweep: anyTurn, growth: sameRadius }),
  arc("helix", { plane: Plane.xy, climb: some, sweep: anyTurn, growth: sameRadius }),
  arc("level arc, end a little off", {
    plane: Plane.xy,
    climb: level,
    sweep: anyTurn,
    growth: number(0.999, 1.001),
  }),
  arc("helix, end a little off", {
    plane: Plane.xy,
    climb: some,
    sweep: partTurn,
    growth: number(0.999, 1.001),
  }),
  arc("spiral", { plane: Plane.xy, climb: fc.oneof(level, some), sweep: anyTurn, growth: number(0.3, 2) }),
  arc("upright arc ZX", {
    plane: Plane.zx,
    climb: fc.oneof(level, some),
    sweep: anyTurn,
    growth: sameRadius,
  }),
  arc("upright arc YZ", {
    plane: Plane.yz,
    climb: fc.oneof(level, some),
    sweep: anyTurn,
    growth: sameRadius,
  }),
  fc
    .tuple(place, place, fc.constantFrom(MotionFlag.startUnknown, MotionFlag.endUnknown))
    .map(([from, to, flag]) => ({
      name: "start or end not known",
      motions: new MotionsBuilder(from).feed(...to, flag).done(),
    })),
);

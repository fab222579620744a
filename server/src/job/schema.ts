/** The job file's schema: one source for the checks here, and for completion and hover in the editor. */
import { Kind, Type, TypeRegistry, type Static, type TSchema } from "@sinclair/typebox";

const lengthHelp =
  'A length with its unit, such as "18.3 mm", "0.72 in" or "3/4 in", or a number in the file\'s "units".';
const length = (description: string) =>
  Type.Union([Type.String(), Type.Number()], { description: `${description} ${lengthHelp}`, kind: "length" });
const point = (description: string) =>
  Type.Array(length("X, then Y."), { minItems: 2, maxItems: 2, description, kind: "point" });
// TypeBox writes a choice as anyOf; editors complete a plain "enum" better, so it gets a kind of its own.
TypeRegistry.Set<{ enum: string[] }>(
  "Choice",
  (schema, value) => typeof value === "string" && schema.enum.includes(value),
);
const oneOf = <T extends string>(values: readonly T[], description: string) =>
  Type.Unsafe<T>({ [Kind]: "Choice", type: "string", enum: values, description });
const closed = { additionalProperties: false };

const board = Type.Object(
  {
    thickness: Type.Optional(
      length("The measured thickness: the thickest of several points, not the label's."),
    ),
    size: Type.Optional(point("Width (X) and depth (Y) of the board.")),
    corner: Type.Optional(point("Where the board's lower-left corner lies in the program's coordinates.")),
    zero: Type.Optional(oneOf(["top", "bed"], "What Z0 lies on: the top of the stock (default) or the bed.")),
    variation: Type.Optional(
      length("How much thicker the board may be elsewhere than where it was measured."),
    ),
    measuringError: Type.Optional(length("How far off the measurement may be. Default 0.1 mm.")),
    material: Type.Optional(
      Type.String({
        description:
          'What the board is, such as "MDF", "sanded plywood", "plywood" or "beech". Panels bring a preset for the thickness variation.',
      }),
    ),
  },
  { ...closed, description: "A board, by the name it is given here." },
);

const tool = Type.Object(
  {
    number: Type.Integer({ minimum: 0, maximum: 65535, description: "The T number." }),
    shape: oneOf(["flat", "ball", "V", "bull", "drill"], "The cutter's shape."),
    diameter: length("Cutting diameter; of a V cutter the largest."),
    angle: Type.Optional(
      Type.Number({
        exclusiveMinimum: 0,
        exclusiveMaximum: 180,
        description: "Full point angle in degrees: V cutters and drills.",
      }),
    ),
    tipDiameter: Type.Optional(length("Flat at the tip of a V cutter.")),
    cornerRadius: Type.Optional(length("Corner radius of a bull-nose cutter.")),
    flutes: Type.Optional(Type.Integer({ minimum: 1, maximum: 20, description: "Number of cutting edges." })),
    cuttingLength: Type.Optional(length("Length of the cutting edges.")),
  },
  { ...closed, description: "A cutter." },
);

const programEntry = Type.Union(
  [
    Type.String(),
    Type.Object(
      {
        file: Type.String({ description: "The program, beside this file." }),
        board: Type.Optional(
          Type.String({ description: "Another board than the one in force: a fresh one." }),
        ),
      },
      closed,
    ),
  ],
  { description: "A program beside this file: its name, or its name and its board.", kind: "program" },
);

const cut = Type.Object(
  {
    operation: Type.Optional(Type.String({ description: "Name of the operation: the comment ahead of it." })),
    line: Type.Optional(Type.Integer({ minimum: 1, description: "A line of the cut." })),
    at: Type.Optional(point("A place on the cut.")),
    program: Type.Optional(Type.String({ description: "The program; without it every program of the job." })),
    goes: oneOf(["through", "partway"], "Whether it is meant to go through."),
    leaves: Type.Optional(length("With partway: the thickness meant to be left.")),
  },
  { ...closed, description: "What certain cuts are meant to do: named by operation, by line or by place." },
);

const holdDown = Type.Object(
  {
    kind: oneOf(["screw", "clamp", "tape"], "What holds the board."),
    at: point("Where it is."),
    keepOut: Type.Optional(length("Radius to keep out of.")),
    height: Type.Optional(length("Height above the top of the stock.")),
  },
  { ...closed, description: "A screw, a clamp or a taped place." },
);

const severity = oneOf(["error", "warning", "info", "off"], "How serious a rule's findings are.");

export const jobSchema = Type.Object(
  {
    $schema: Type.Optional(Type.String()),
    units: Type.Optional(oneOf(["mm", "in"], "Units of bare numbers in this file. Default mm.")),
    programs: Type.Optional(
      Type.Array(programEntry, { description: "The job's programs, in the order they run on one board." }),
    ),
    boards: Type.Optional(Type.Record(Type.String(), board, { description: "The boards, by name." })),
    board: Type.Optional(Type.String({ description: "The board in force." })),
    bed: Type.Optional(
      Type.Object(
        {
          thickness: Type.Optional(length("Thickness of the sacrificial bed.")),
          unevenness: Type.Optional(length("How uneven the bed is. Default 0.2 mm.")),
          deepestCut: Type.Optional(length("Deepest cut allowed into the bed. Default 3 mm.")),
        },
        { ...closed, description: "The sacrificial board under the stock." },
      ),
    ),
    touchOffError: Type.Optional(length("How far off the touch-off of Z0 may be. Default 0.1 mm.")),
    tape: Type.Optional(length("Thickness of tape under the stock; counts with Z0 on the bed.")),
    judgeBy: Type.Optional(
      oneOf(
        ["worst case", "root-sum-square"],
        "How the terms of the through allowance are added. Default worst case.",
      ),
    ),
    tools: Type.Optional(Type.Array(tool, { description: "The cutters." })),
    holdDowns: Type.Optional(Type.Array(holdDown, { description: "What holds the board." })),
    cuts: Type.Optional(
      Type.Array(cut, { description: "What certain cuts are meant to do, where inference is not right." }),
    ),
    rules: Type.Optional(Type.Record(Type.String(), severity, { description: "Severity by rule." })),
  },
  {
    ...closed,
    $id: "cutwright-job",
    title: "Cutwright job",
    description: "The boards, cutters and intentions of a job.",
  },
);

export type JobFile = Static<typeof jobSchema>;

/** Names an object of the schema may have, for a suggestion beside an unknown one. */
export function propertyNames(schema: TSchema): string[] {
  return Object.keys((schema as { properties?: object }).properties ?? {});
}

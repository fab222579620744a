/**
 * The job file's schema: one source for the checks here, and for completion, hover and checks in the editor.
 * `errorMessage` is what is said where a value does not fit: the editor's JSON service knows that keyword, and
 * `job-check.ts` uses it too, so that both say the same.
 */
import { Type, type TSchema } from "@sinclair/typebox";

const lengthMessage = (example: string) =>
  `Must be a length such as "${example}" or "3/4 in", or a number in the file's "units".`;
const length = (description: string, example: string, declared: Record<string, unknown> = {}) =>
  Type.Union([Type.String(), Type.Number()], {
    description: `${description} A length with its unit ("${example}", "0.72 in", "3/4 in", "1 1/2 in"), or a number in the file's "units".`,
    examples: [example],
    errorMessage: lengthMessage(example),
    ...declared,
  });
const point = (description: string, example: readonly [string, string]) =>
  Type.Array(length("X first, then Y.", example[0]), {
    minItems: 2,
    maxItems: 2,
    description,
    examples: [example],
    errorMessage: `Must be two lengths, X then Y, such as ["${example[0]}", "${example[1]}"].`,
  });
const quoted = (values: readonly string[]) => {
  const all = values.map((value) => `"${value}"`);
  return all.length === 1 ? all[0] : `${all.slice(0, -1).join(", ")} or ${all.at(-1)}`;
};
/** One of several words. Written as "enum": the editor completes those best. */
const oneOf = (values: readonly string[], description: string, declared: Record<string, unknown> = {}) =>
  Type.String({
    description,
    enum: [...values],
    pattern: `^(${values.join("|")})$`,
    errorMessage: `Must be ${quoted(values)}.`,
    ...declared,
  });
const text = (description: string, example: string, declared: Record<string, unknown> = {}) =>
  Type.String({
    description,
    minLength: 1,
    examples: [example],
    errorMessage: `Must be a text in quotes, such as "${example}".`,
    ...declared,
  });
const whole = (description: string, minimum: number, maximum: number, example: number) =>
  Type.Integer({
    description,
    minimum,
    maximum,
    examples: [example],
    errorMessage: `Must be a whole number from ${minimum} to ${maximum}, such as ${example}.`,
  });
const closed = (description: string, example: string) => ({
  additionalProperties: false,
  description,
  errorMessage: `Must be an object, such as ${example}.`,
});
const list = <T extends TSchema>(item: T, description: string, example: string) =>
  Type.Array(item, { description, errorMessage: `Must be a list, such as ${example}.` });

const board = Type.Object(
  {
    thickness: Type.Optional(
      length("The measured thickness: the thickest of several points, not the label's.", "18.3 mm"),
    ),
    size: Type.Optional(point("Width (along X) and depth (along Y) of the board.", ["320 mm", "220 mm"])),
    corner: Type.Optional(
      point("Where the board's lower-left corner lies in the program's coordinates.", ["-10 mm", "-10 mm"]),
    ),
    zero: Type.Optional(
      oneOf(["top", "bed"], "What Z0 lies on: the top of the stock, or the bed under it. Default: top.", {
        default: "top",
      }),
    ),
    variation: Type.Optional(
      length(
        "How much thicker the board may be elsewhere than where it was measured. Default: by the material, else 0.4 mm.",
        "0.2 mm",
      ),
    ),
    measuringError: Type.Optional(
      length("How far off the thickness measurement may be. Default: 0.1 mm.", "0.1 mm"),
    ),
    material: Type.Optional(
      text(
        'What the board is: "MDF", "sanded plywood", "plywood", "beech". MDF and plywood bring a preset for the thickness variation.',
        "MDF",
      ),
    ),
  },
  closed("A board: what it measures and where it lies.", '{ "thickness": "18.3 mm" }'),
);

const tool = Type.Object(
  {
    number: whole("The cutter's T number.", 0, 65535, 1),
    shape: oneOf(["flat", "ball", "V", "bull", "drill"], "The cutter's shape."),
    diameter: length("Cutting diameter; the largest one of a V cutter.", "6 mm"),
    angle: Type.Optional(
      Type.Number({
        exclusiveMinimum: 0,
        exclusiveMaximum: 180,
        description: "Full point angle in degrees, of V cutters (needed) and drills.",
        examples: [60],
        errorMessage: "Must be the full point angle in degrees, above 0 and below 180, such as 60.",
      }),
    ),
    tipDiameter: Type.Optional(length("Flat at the tip of a V cutter. Default: none.", "0.2 mm")),
    cornerRadius: Type.Optional(
      length("Corner radius of a bull-nose cutter (needed): at most half the diameter.", "2 mm"),
    ),
    flutes: Type.Optional(whole("Number of cutting edges.", 1, 20, 2)),
    cuttingLength: Type.Optional(length("Length of the cutting edges.", "25 mm")),
  },
  closed("A cutter.", '{ "number": 1, "shape": "flat", "diameter": "6 mm" }'),
);

/** A program with its own board. */
export const programOnBoard = Type.Object(
  {
    file: text("The program, in this folder or below it.", "seed-holes.nc"),
    board: Type.Optional(
      text("The board this program runs on: one of the names under boards.", "production"),
    ),
  },
  closed("A program and its board.", '{ "file": "seed-holes.nc", "board": "production" }'),
);

const programEntry = Type.Union([text("The program's file name.", "seed-holes.nc"), programOnBoard], {
  description: "A program beside this file: its name, or its name and its board.",
  errorMessage:
    'Must be a program\'s name such as "seed-holes.nc", or { "file": "seed-holes.nc", "board": "production" }.',
});

const cut = Type.Object(
  {
    operation: Type.Optional(
      text("Name of the operation: the comment ahead of it in the program.", "Rebate"),
    ),
    line: Type.Optional(whole("A line of the cut, counted from 1.", 1, 1_000_000_000, 42)),
    at: Type.Optional(point("A place on the cut, in the program's coordinates.", ["10 mm", "20 mm"])),
    program: Type.Optional(
      text("The program meant: one of those under programs. Without it, all of them.", "seed-holes.nc"),
    ),
    goes: oneOf(["through", "partway"], "Whether the cut is meant to go through the board."),
    leaves: Type.Optional(length("With partway: the thickness meant to be left under the cut.", "2 mm")),
  },
  closed(
    "What certain cuts are meant to do: named by operation, by line or by place.",
    '{ "operation": "Rebate", "goes": "partway" }',
  ),
);

const holdDown = Type.Object(
  {
    kind: oneOf(["screw", "clamp", "tape"], "What holds the board there."),
    at: point("Its middle, in the program's coordinates.", ["10 mm", "10 mm"]),
    keepOut: Type.Optional(length("Radius that cutters keep out of. Default: 0.", "8 mm")),
    height: Type.Optional(length("Height above the top of the stock. Default: 0.", "4 mm")),
  },
  closed("A screw, a clamp or a taped place.", '{ "kind": "screw", "at": ["10 mm", "10 mm"] }'),
);

export const jobSchema = Type.Object(
  {
    $schema: Type.Optional(Type.String({ description: "Address of this schema. Not needed." })),
    units: Type.Optional(
      oneOf(["mm", "in"], "Units of bare numbers in this file. Default: mm.", { default: "mm" }),
    ),
    programs: Type.Optional(
      list(
        programEntry,
        "The job's programs in the order they run. Those on one board cut it one after the other.",
        '["seed-holes.nc", "outline.nc"]',
      ),
    ),
    boards: Type.Optional(
      Type.Record(Type.String(), board, {
        description: "The boards, each by a name of your own.",
        errorMessage:
          'Must be an object of boards by name, such as { "prototype": { "thickness": "18.3 mm" } }.',
      }),
    ),
    board: Type.Optional(text("Name of the board in force.", "prototype")),
    bed: Type.Optional(
      Type.Object(
        {
          thickness: Type.Optional(length("Thickness of the bed.", "18 mm")),
          unevenness: Type.Optional(
            length("How much the bed's top differs in height. Default: 0.2 mm.", "0.2 mm"),
          ),
          deepestCut: Type.Optional(length("The deepest a cut may go into the bed. Default: 3 mm.", "3 mm")),
        },
        closed("The sacrificial board under the stock.", '{ "thickness": "18 mm", "unevenness": "0.2 mm" }'),
      ),
    ),
    touchOffError: Type.Optional(
      length("How far off Z0 may be after touching off. Default: 0.1 mm.", "0.1 mm"),
    ),
    tape: Type.Optional(length("Thickness of tape between stock and bed.", "0.2 mm")),
    judgeBy: Type.Optional(
      oneOf(
        ["worst case", "root-sum-square"],
        "How the terms of the through allowance add up: all at their worst at once, or the root of the sum of squares. Default: worst case.",
        { default: "worst case" },
      ),
    ),
    tools: Type.Optional(
      list(tool, "The cutters.", '[{ "number": 1, "shape": "flat", "diameter": "6 mm" }]'),
    ),
    holdDowns: Type.Optional(
      list(holdDown, "What holds the board.", '[{ "kind": "screw", "at": ["10 mm", "10 mm"] }]'),
    ),
    cuts: Type.Optional(
      list(
        cut,
        "What certain cuts are meant to do, where their depth does not tell.",
        '[{ "operation": "Rebate", "goes": "partway" }]',
      ),
    ),
    rules: Type.Optional(
      Type.Record(
        Type.String(),
        oneOf(["error", "warning", "info", "off"], "How serious this rule's findings are."),
        {
          description: "Severity by rule id.",
          errorMessage: 'Must be an object of severities by rule, such as { "pass-repeated": "off" }.',
        },
      ),
    ),
  },
  {
    ...closed("The boards, cutters and intentions of a job.", '{ "programs": ["seed-holes.nc"] }'),
    title: "Cutwright job",
  },
);

/** Names an object of the schema may have. */
export function propertyNames(schema: TSchema): string[] {
  return Object.keys((schema as { properties?: object }).properties ?? {});
}

import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { JobFacts } from "../../server/src/job/facts.ts";
import { resolveJob } from "../../server/src/job/resolve.ts";
import { toolFor } from "../../server/src/job/tool-for.ts";
import { readProgram } from "../../server/src/language/read.ts";

const file = "/shop/tray.job.json";
const programFile = "/shop/tray.nc";

interface More {
  readonly program?: string;
  readonly settings?: unknown;
  readonly board?: string;
}

function resolved(
  job: string | object | undefined,
  { program = "G21\nG0 X1\nM30", settings, board }: More = {},
): JobFacts {
  const text = typeof job === "object" ? JSON.stringify(job, null, 2) : job;
  return resolveJob({
    programFile,
    program: readProgram(program),
    ...(text === undefined ? {} : { jobFile: { file, text } }),
    ...(settings === undefined ? {} : { settings }),
    ...(board === undefined ? {} : { board }),
  });
}

/** Rule, exact words and message of the problems in a job file. */
function told(job: string | object) {
  const text = typeof job === "object" ? JSON.stringify(job, null, 2) : job;
  return resolved(text).problems.map((p) => {
    expect(p.file).toBe(file);
    expect(p.line).toBe(text.slice(0, p.start).split("\n").length - 1);
    return { rule: p.rule, words: text.slice(p.start, p.end), message: p.message };
  });
}

const whole = {
  units: "mm",
  programs: ["holes.nc", { file: "tray.nc", board: "thick" }],
  boards: {
    thin: { thickness: "12 mm" },
    thick: {
      size: ["320 mm", 220],
      corner: ["-10 mm", "-1/2 in"],
      thickness: "18.6 mm",
      variation: "0.2 mm",
      measuringError: 0.05,
      material: "MDF",
      zero: "bed",
    },
  },
  board: "thin",
  bed: { thickness: "18 mm", unevenness: "0.3 mm", deepestCut: "2 mm" },
  touchOffError: "0.02 mm",
  tape: "0.1 mm",
  judgeBy: "root-sum-square",
  tools: [
    { number: 1, shape: "flat", diameter: "6 mm", flutes: 2, cuttingLength: "25 mm" },
    { number: 2, shape: "V", diameter: "12 mm", angle: 60, tipDiameter: "0.2 mm" },
  ],
  holdDowns: [{ kind: "screw", at: ["10 mm", "10 mm"], keepOut: "8 mm", height: "4 mm" }],
  cuts: [
    { operation: "Rebate", goes: "partway", leaves: "12 mm" },
    { line: 42, program: "tray.nc", goes: "through" },
    { line: 7, program: "holes.nc", goes: "partway" },
    { at: ["10 mm", "20 mm"], goes: "through" },
  ],
  rules: { "pass-repeated": "off" },
};

describe("a whole job file", () => {
  const facts = resolved(whole);
  it("has no problems, and every fact is read in mm", () => {
    expect(facts.problems).toEqual([]);
    expect(facts.jobFile).toBe(file);
    expect(facts.programs).toEqual(["/shop/holes.nc", programFile]);
    expect(facts.boards).toEqual(["thin", "thick"]);
    expect(facts.stock).toMatchObject({
      name: "thick",
      thickness: { value: 18.6 },
      size: { value: [320, 220] },
      corner: { value: [-10, -12.7] },
      zero: { value: "bed" },
      material: { value: "MDF" },
    });
    expect(facts.throughBand).toBeCloseTo(1.86, 12);
    expect(facts.bedThickness?.value).toBe(18);
    expect(facts.deepestBedCut.value).toBe(2);
    expect(facts.tools.get(1)).toMatchObject({ shape: "flat", diameter: 6, flutes: 2, cuttingLength: 25 });
    expect(facts.tools.get(2)?.angle).toBeCloseTo(Math.PI / 3, 12);
    expect(facts.holdDowns).toEqual([{ kind: "screw", at: [10, 10], keepOut: 8, height: 4 }]);
    expect(facts.severities).toEqual({ "pass-repeated": "off" });
  });

  it("says where each came from: file and one-based line", () => {
    const lines = JSON.stringify(whole, null, 2).split("\n");
    const { thickness } = facts.stock;
    expect(thickness?.source).toMatchObject({ kind: "job", file });
    expect(lines[(thickness?.source.line ?? 0) - 1]).toContain('"18.6 mm"');
    expect(lines[(facts.deepestBedCut.source.line ?? 0) - 1]).toContain('"deepestCut"');
  });

  it("takes the allowance from the board in force and from the bed", () => {
    expect(facts.allowance.terms.map((t) => t.value)).toEqual([0.3, 0.02, -0.1]);
    expect(facts.allowance.judgedBy).toBe("root-sum-square");
  });

  it("keeps the statements about this program only", () => {
    expect(facts.intents.map(({ where, goes, leaves }) => ({ ...where, goes, leaves }))).toEqual([
      { kind: "operation", name: "Rebate", goes: "partway", leaves: 12 },
      { kind: "line", line: 42, goes: "through", leaves: undefined },
      { kind: "place", x: 10, y: 20, goes: "through", leaves: undefined },
    ]);
  });
});

describe("without a job file", () => {
  it("nothing is guessed about the board, and defaults say that they are", () => {
    const facts = resolved(undefined);
    expect(facts.stock).toEqual({
      zero: { value: "top", source: { kind: "default", note: "common practice, no source" } },
    });
    expect(facts.throughBand).toBeUndefined();
    expect(facts.deepestBedCut).toEqual({
      value: 3,
      source: { kind: "default", note: "common practice, no source" },
    });
    expect([facts.programs, facts.boards, facts.problems]).toEqual([[], [], []]);
  });
});

describe("which one counts", () => {
  const job = {
    programs: ["tray.nc"],
    boards: { a: { thickness: "18 mm", zero: "bed" } },
    bed: { deepestCut: "1 mm" },
  };
  const settings = { machine: { deepestBedCut: 2, touchOffError: 0.3 }, rules: { "pass-repeated": "error" } };

  it("the comment before the job file, each fact for itself", () => {
    const { stock } = resolved(job, { program: "(cutwright: thickness 17 mm; tool 1 ball 3 mm)\nG0 X1" });
    expect(stock.thickness).toEqual({ value: 17, source: { kind: "comment", file: programFile, line: 1 } });
    expect(stock.zero).toMatchObject({ value: "bed", source: { kind: "job" } });
  });

  it("the job file before the settings, those before the default", () => {
    expect(resolved(job, { settings }).deepestBedCut).toMatchObject({ value: 1, source: { kind: "job" } });
    expect(resolved({}, { settings }).deepestBedCut).toEqual({ value: 2, source: { kind: "settings" } });
    expect(resolved({}, { settings }).allowance.terms.at(-1)).toMatchObject({
      value: 0.3,
      source: { kind: "settings" },
    });
    expect(resolved({}).deepestBedCut.value).toBe(3);
  });

  it("severities: the job file's rule before the settings'", () => {
    const rules = { "pass-repeated": "off" };
    expect(resolved({ rules }, { settings }).severities).toEqual(rules);
    expect(resolved({}, { settings }).severities).toEqual({ "pass-repeated": "error" });
  });

  it("the through band is 1 mm on thin boards, a tenth of thick ones (design section 5)", () => {
    const band = (thickness: string) => resolved({ boards: { a: { thickness } } }).throughBand;
    expect(band("6 mm")).toBe(1);
    expect(band("10 mm")).toBe(1);
    expect(band("25 mm")).toBeCloseTo(2.5, 12);
  });
});

describe("the board in force", () => {
  const boards = { a: { thickness: "18 mm" }, b: { thickness: "12 mm" } };
  const programs = ["tray.nc"];
  const name = (job: object, more: More = {}) => resolved(job, more).stock.name;

  it("is the one asked for, the comment's, the program's, the job's, the first", () => {
    expect(name({ boards })).toBe("a");
    expect(name({ boards, board: "b" })).toBe("b");
    expect(name({ boards, board: "a", programs: [{ file: "tray.nc", board: "b" }] })).toBe("b");
    const program = "(cutwright: board a)\nG0 X1";
    expect(name({ boards, board: "b", programs: [{ file: "tray.nc", board: "b" }] }, { program })).toBe("a");
    expect(name({ boards, board: "b" }, { program, board: "b" })).toBe("b");
  });

  it("is told where several are declared and none is chosen", () => {
    expect(told({ programs, boards }).map((p) => p.rule)).toEqual(["job-ambiguous"]);
    expect(told({ programs, boards })[0].message).toContain('Add "board": "a"');
    expect(told({ programs, boards: { a: {} } })).toEqual([]);
    expect(told({ programs, boards, board: "b" })).toEqual([]);
  });

  it("an unknown name is told where it stands, and the first board is taken", () => {
    const job = { programs: [{ file: "tray.nc", board: "prod" }], boards, board: "aa" };
    expect(told(job).map((p) => p.words)).toEqual(['"prod"', '"aa"']);
    expect(told(job)[1].message).toContain('Did you mean "a"?');
    expect(name(job)).toBe("a");
    const program = "G0 X1\n(cutwright: board c; zero top)";
    const [problem] = resolved({ programs, boards, board: "b" }, { program }).problems;
    expect(program.slice(problem.start, problem.end)).toBe("board c");
    expect(problem).toMatchObject({ rule: "declaration-unclear", file: programFile, line: 1 });
    expect(resolved({ programs, boards, board: "b" }, { board: "c" }).problems[0].message).toContain(
      'No board "c"',
    );
  });

  it("what is wrong in another board is told too, but not that it is still to be measured", () => {
    const job = (thickness: string) => ({
      programs,
      boards: { a: { thickness: "18 mm" }, b: { thickness } },
      board: "a",
    });
    expect(told(job("thick")).map((p) => p.words)).toEqual(['"thick"']);
    expect(told(job(""))).toEqual([]);
  });
});

describe("a comment wins over the job file", () => {
  const program = `G21
(cutwright: tape 0.4 mm; variation 0.5 mm; measuring error 0.6 mm; bed unevenness 0.7 mm)
(cutwright: touch-off error 0.8 mm; bed thickness 9 mm; deepest bed cut 1 mm; judge by worst case)
(cutwright: hold-down clamp at 10 mm, 10 mm keep-out 20 mm; hold-down tape at 50, 60)
G0 X1`;
  const shown = ({ terms, judgedBy }: JobFacts["allowance"]) => [
    judgedBy,
    ...terms.map(({ value, source }) => [value, source.kind, source.line]),
  ];

  it("about the bed, the tape and the terms of the allowance", () => {
    const facts = resolved(whole, { program });
    expect(facts.problems).toEqual([]);
    expect(facts.stock.tape).toEqual({ value: 0.4, source: { kind: "comment", file: programFile, line: 2 } });
    expect(facts.bedThickness).toMatchObject({ value: 9, source: { kind: "comment", line: 3 } });
    expect(facts.deepestBedCut).toMatchObject({ value: 1, source: { kind: "comment", line: 3 } });
    expect(shown(facts.allowance)).toEqual([
      "worst case",
      [0.7, "comment", 2],
      [0.8, "comment", 3],
      [-0.4, "comment", 2],
    ]);
    // 0.7 + 0.8, with and without the tape of 0.4.
    expect([facts.allowance.required, facts.allowance.overcut]).toEqual([1.1, 1.5]);
    const onTop = resolved(whole, { program: `(cutwright: zero top)\n${program}` });
    expect(shown(onTop.allowance)).toEqual([
      "worst case",
      [0.6, "comment", 3],
      [0.5, "comment", 3],
      [0.7, "comment", 3],
      [0.8, "comment", 4],
    ]);
    expect(onTop.stock.tape?.value).toBe(0.4);
  });

  it("and over the settings; without it the job file's tape counts", () => {
    const settings = { machine: { bedThickness: 30, bedUnevenness: 1, deepestBedCut: 5, touchOffError: 1 } };
    const facts = resolved(undefined, { program, settings });
    expect([facts.bedThickness?.value, facts.deepestBedCut.value]).toEqual([9, 1]);
    expect(facts.allowance.terms.map(({ value }) => value)).toEqual([0.6, 0.5, 0.7, 0.8]);
    expect(resolved(whole).stock.tape).toMatchObject({ value: 0.1, source: { kind: "job", file } });
  });

  it("about a hold-down at the same place; others are added", () => {
    const holdDowns = [...whole.holdDowns, { kind: "screw", at: [200, 10], keepOut: 8, height: 4 }];
    expect(resolved({ ...whole, holdDowns }, { program }).holdDowns).toEqual([
      { kind: "clamp", at: [10, 10], keepOut: 20, height: 0 },
      { kind: "tape", at: [50, 60], keepOut: 0, height: 0 },
      { kind: "screw", at: [200, 10], keepOut: 8, height: 4 },
    ]);
  });

  it("and what is wrong in the job file is told all the same", () => {
    const job = { programs: ["tray.nc"], tape: "thin", touchOffError: "none", bed: { unevenness: "some" } };
    const { problems } = resolved(job, { program });
    expect(problems.map(({ rule }) => rule)).toEqual(["job-invalid", "job-invalid", "job-invalid"]);
  });
});

describe("one wrong value loses only itself", () => {
  const lengthMessage = 'must be a length such as "18.3 mm" or "3/4 in"';
  it.each([
    ['"thick"', lengthMessage],
    ['"18 mm thick"', lengthMessage],
    ["{}", lengthMessage],
    ["true", lengthMessage],
    ['"11 m"', lengthMessage],
    ["1e300", "at most 10 m"],
    ["10001", "at most 10 m"],
    ['"0 mm"', 'must be more than 0, such as "18.3 mm"'],
    ["-18", 'must be more than 0, such as "18.3 mm"'],
    ['""', "Measure the board with calipers at the four corners and write the thickest here"],
  ])("thickness %s", (thickness, message) => {
    const text = `{"programs":["tray.nc"],\n"boards":{"a":{"size":[300,200],"thickness":${thickness},"zero":"bed"}}}`;
    expect(told(text)).toEqual([
      { rule: "job-invalid", words: thickness, message: expect.stringContaining(message) as string },
    ]);
    const { stock } = resolved(text);
    expect([stock.thickness, stock.size?.value, stock.zero.value]).toEqual([undefined, [300, 200], "bed"]);
  });

  it.each([
    [{ unit: "mm" }, '"unit"', 'Did you mean "units"?'],
    [{ units: "furlong" }, '"furlong"', '"units" must be "mm" or "in".'],
    [{ xyzzy: 1 }, '"xyzzy"', "Known here: $schema, units"],
    [{ boards: { a: { thicknes: "18 mm" } } }, '"thicknes"', 'Did you mean "thickness"?'],
    [{ boards: { a: { zero: "side" } } }, '"side"', '"zero" must be "top" or "bed".'],
    [{ boards: { a: { size: ["300 mm", "0 mm"] } } }, '"0 mm"', "more than 0"],
    [{ programs: [{ file: "tray.nc", bord: "a" }] }, '"bord"', 'Did you mean "board"?'],
    [{ programs: ["tray.nc", 5] }, "5", 'Entry 2 must be a program\'s name such as "seed-holes.nc"'],
    [{ programs: ["tray.nc", ""] }, '""', "must be a program's name"],
    [{ programs: ["tray.nc", "../a.nc"] }, '"../a.nc"', 'without a drive, a leading / or ".."'],
    [{ programs: ["tray.nc", "a/../../b.nc"] }, '"a/../../b.nc"', "beside the job file"],
    [{ programs: ["tray.nc", "/etc/a.nc"] }, '"/etc/a.nc"', "beside the job file"],
    [{ programs: ["tray.nc", "C:\\a.nc"] }, '"C:\\\\a.nc"', "beside the job file"],
    [{ programs: ["tray.nc", "./tray.nc"] }, '"./tray.nc"', "listed twice"],
    [{ tools: [{ number: 1, shape: "flat", diameter: "0 mm" }] }, '"0 mm"', 'more than 0, such as "6 mm"'],
    [
      { tools: [{ number: 1, shape: "round", diameter: 6 }] },
      '"round"',
      '"flat", "ball", "V", "bull" or "drill"',
    ],
    [{ tools: [{ number: 1, shape: "flat", diameter: 6, flutes: 2.5 }] }, "2.5", "whole number from 1 to 20"],
    [
      { tools: [{ number: 1, shape: "V", diameter: 6, angle: "60 deg" }] },
      '"60 deg"',
      "degrees, above 0 and below 180",
    ],
    [
      { tools: [{ number: 2, shape: "V", diameter: 9, angle: 60, tipDiameter: 9 }] },
      "9",
      "tip must be smaller",
    ],
    [{ holdDowns: [{ kind: "nail", at: [1, 2] }] }, '"nail"', '"screw", "clamp" or "tape"'],
    [{ rules: { "pass-repeated": "on" } }, '"on"', '"error", "warning", "info" or "off"'],
    [{ bed: { unevenness: "-1 mm" } }, '"-1 mm"', '0 or more, such as "0.2 mm"'],
    [{ judgeBy: "luck" }, '"luck"', '"worst case" or "root-sum-square"'],
    [{ cuts: [{ operation: "Rebate", goes: "down" }] }, '"down"', '"through" or "partway"'],
    [{ cuts: [{ operation: "Rebate", goes: "through", leaves: "2 mm" }] }, '"2 mm"', 'Remove "leaves"'],
    [{ programs: ["tray.nc", "b.nc"], cuts: [{ line: 3, goes: "through" }] }, "3", 'add "program"'],
    [
      { programs: ["tray.nc"], cuts: [{ line: 3, program: "c.nc", goes: "through" }] },
      '"c.nc"',
      "lists no program",
    ],
    [
      { programs: ["tray.nc"], cuts: [{ line: 3, program: "../c.nc", goes: "through" }] },
      '"../c.nc"',
      "beside the job file",
    ],
  ])("%j", (job, words, message) => {
    const text = JSON.stringify(job);
    const problems = resolved(text).problems;
    expect(problems[0].message).toContain(message);
    expect(problems[0].rule).toBe("job-invalid");
    expect(text.slice(problems[0].start, problems[0].end)).toBe(words);
  });

  it("a missing property is told at the object that lacks it", () => {
    const [first] = told('{"tools":[{"number":1,"diameter":6}]}');
    expect(first).toMatchObject({
      words: '{"number":1,"diameter":6}',
      message: expect.stringContaining('"shape" is missing.') as string,
    });
  });

  it("cuts must be named in one way", () => {
    expect(told('{"cuts":[{"goes":"through"}]}')[0].message).toContain("Say which cuts are meant");
    expect(told('{"cuts":[{"goes":"through","line":1,"at":[1,2]}]}')[0].message).toContain(
      "Write two entries",
    );
  });

  it("two tools of one number, and a name that stands twice: the first counts", () => {
    const tools = [
      { number: 1, shape: "flat", diameter: 6 },
      { number: 1, shape: "flat", diameter: 3 },
    ];
    expect(told({ tools })[0].message).toContain("Tool 1 is declared twice");
    expect(resolved({ tools }).tools.get(1)?.diameter).toBe(6);
    const text = '{"boards":{"a":{"thickness":"18 mm","thickness":"12 mm"}}}';
    expect(told(text)).toMatchObject([
      { words: '"thickness"', message: expect.stringContaining("twice") as string },
    ]);
    expect(resolved(text).stock.thickness?.value).toBe(18);
  });

  it.each(["V", "bull"])("a %s cutter without what its shape needs is left out, and told", (shape) => {
    const job = {
      tools: [
        { number: 1, shape, diameter: 6 },
        { number: 2, shape: "flat", diameter: 3 },
      ],
    };
    expect(told(job)).toHaveLength(1);
    expect(told(job)[0].message).toContain("Until then tool 1 counts as not declared");
    expect([...resolved(job).tools.keys()]).toEqual([2]);
  });

  it("a job file given for a program that it does not list", () => {
    expect(told({ programs: ["other.nc"] })).toMatchObject([
      {
        words: '[\n    "other.nc"\n  ]',
        message: expect.stringContaining('"tray.nc" is not listed here') as string,
      },
    ]);
  });
});

describe("a job file that is no JSON", () => {
  it.each([
    ['{"units":"in",}', []],
    ['// a comment\n{/* another */"units":"in"}', []],
    ['\ufeff{"units":"in"}', []],
    ['{"units":"in" "board":"a"}', ['"board"']],
    ['{"units":"in"', [""]],
    ['{"units":"in"} x', ["x"]],
    ['{"units":"in","board":a}', ["a"]],
  ])("%j", (text, words) => {
    const problems = resolved(text).problems.filter((p) => p.rule === "job-unreadable");
    expect(problems.map((p) => text.slice(p.start, p.end))).toEqual(words);
    for (const { message } of problems)
      expect(message).toMatch(/^Not valid JSON here, so that values may be lost\. .{10}/);
  });

  it("a byte order mark shifts no place", () => {
    expect(told('\ufeff{"unit":"mm"}')).toMatchObject([{ rule: "job-invalid", words: '"unit"' }]);
  });

  it("what can be made out counts all the same", () => {
    expect(resolved('{"boards":{"a":{"thickness":"18 mm"}},,"tools":[').stock.thickness?.value).toBe(18);
  });

  it.each([
    ["", "one JSON object"],
    ["[]", "one JSON object"],
    ["hello", "one JSON object"],
    ["{\0}\0", "not UTF-8"],
    ['{"programs":["B\ufffdcher.nc"]}', "not saved as UTF-8"],
    ["[".repeat(1000), "nest too deep"],
    [`{"a":${"[".repeat(200)}${"]".repeat(200)}}`, "nest too deep"],
    [`{}${" ".repeat(2_000_001)}`, "more than 2 MB"],
  ])("%#", (text, message) => {
    const [problem] = resolved(text).problems;
    expect(problem.rule).toBe("job-unreadable");
    expect(problem.message).toContain(message);
  });

  it("a file that is wrong everywhere is told a hundred times, and that there is more", () => {
    const { problems } = resolved({ cuts: Array(1000).fill({}) });
    expect(problems).toHaveLength(101);
    expect(problems.at(-1)?.message).toContain("There is more wrong");
  });

  it("a large one is read in reasonable time", () => {
    const tools = Array.from({ length: 20_000 }, (_, number) => ({
      number,
      shape: "flat",
      diameter: "6 mm",
    }));
    const begun = performance.now();
    expect(resolved(JSON.stringify({ tools }, null, 1)).tools.size).toBe(20_000);
    expect(performance.now() - begun).toBeLessThan(5000);
  });
});

describe("toolFor", () => {
  const tools = [{ number: 3, shape: "ball", diameter: "6 mm" }];
  it("gives the declared cutter", () => {
    expect(toolFor(resolved({ tools }), 3)).toMatchObject({ tool: { shape: "ball" }, assumed: false });
  });
  it("takes the only one where the program names none", () => {
    expect(toolFor(resolved({ tools }), 0)).toMatchObject({ tool: { number: 3 }, assumed: false });
    const two = [...tools, { number: 4, shape: "flat", diameter: "3 mm" }];
    expect(toolFor(resolved({ tools: two }), 0).assumed).toBe(true);
  });
  it("assumes a flat 6 mm cutter otherwise, and says so", () => {
    expect(toolFor(resolved({ tools }), 1)).toEqual({
      tool: {
        number: 1,
        shape: "flat",
        diameter: 6,
        source: { kind: "default", note: "common practice, no source" },
      },
      assumed: true,
    });
  });
});

describe("anything at all", () => {
  const names = fc.constantFrom(
    "programs",
    "boards",
    "board",
    "tools",
    "bed",
    "cuts",
    "holdDowns",
    "rules",
    "thickness",
    "size",
    "at",
    "number",
    "shape",
    "diameter",
    "file",
    "goes",
    "line",
    "units",
    "__proto__",
    "constructor",
    "toString",
    "a",
  );
  const leaf = fc.oneof(
    fc.constantFrom("18 mm", "", "tray.nc", "V", "a", "through", "in", "off", null, true),
    fc.double(),
    fc.string(),
  );
  const { value } = fc.letrec((tie) => ({
    value: fc.oneof(
      { depthSize: "medium" },
      leaf,
      fc.array(tie("value"), { maxLength: 4 }),
      fc
        .array(fc.tuple(names, tie("value")), { maxLength: 6 })
        .map((pairs) => Object.fromEntries(pairs) as unknown),
    ),
  }));

  const sound = (facts: JobFacts, text: string) => {
    for (const { start, end, line, message } of facts.problems) {
      expect(start).toBeGreaterThanOrEqual(0);
      expect(end).toBeGreaterThanOrEqual(start);
      expect(end).toBeLessThanOrEqual(Math.max(1, text.length));
      expect(line).toBeGreaterThanOrEqual(0);
      expect(message).toMatch(/^["A-Z].*[.?]$/s);
    }
    const { thickness, size } = facts.stock;
    expect(thickness === undefined || (thickness.value > 0 && thickness.value <= 10_000)).toBe(true);
    expect(size === undefined || size.value.every((v) => v > 0 && v <= 10_000)).toBe(true);
    for (const { diameter } of facts.tools.values()) expect(diameter).toBeGreaterThan(0);
    expect(Number.isFinite(facts.allowance.required)).toBe(true);
  };

  it("any JSON is read without throwing, and only sound values come out", () => {
    fc.assert(
      fc.property(value, (job) => {
        const text = JSON.stringify(job) ?? "";
        sound(resolved(text), text);
      }),
      { numRuns: 500 },
    );
  });

  it("any text, and a whole job file with any one place damaged", () => {
    const text = JSON.stringify(whole);
    const damaged = fc
      .tuple(fc.nat(text.length - 1), fc.nat(5), fc.string({ maxLength: 4 }))
      .map(([at, gone, put]) => text.slice(0, at) + put + text.slice(at + gone));
    fc.assert(
      fc.property(fc.oneof(fc.string(), damaged), (job) => sound(resolved(job), job)),
      { numRuns: 500 },
    );
  });

  it("any settings", () => {
    fc.assert(
      fc.property(fc.anything(), fc.anything(), (machine, rules) => {
        for (const settings of [machine, { machine, rules }]) {
          const { problems } = resolved(undefined, { settings });
          for (const { rule, file: where } of problems)
            expect([rule, where]).toEqual(["job-invalid", programFile]);
        }
      }),
    );
  });
});

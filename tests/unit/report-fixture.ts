/** A review made by hand, so that the writers are tested without the engine's judgement. */
import type { Cut, CutTree, Pass } from "../../server/src/cuts/cuts.ts";
import type { JobFacts } from "../../server/src/job/facts.ts";
import { readProgram } from "../../server/src/language/read.ts";
import { interpret } from "../../server/src/machine/interpret.ts";
import type { Finding } from "../../server/src/review/finding.ts";
import type { Review } from "../../server/src/review/review.ts";

export const sampleText = `(cutwright: thickness 18.6 mm)
G21 G90
T1 M6
S18000 M3
(Seed holes)
G0 Z5
G0 X20 Y20
G1 Z-18 F300
G0 Z5
G0 X40 Y20
G1 Z-18 F300
G0 Z5
(Rebate)
G0 X10 Y60
G1 Z-6 F300
G1 X100 F1200
G2 X120 Y40 I0 J-20
G0 Z5
G4 P1.5
M30
`;

const comment = { kind: "comment", file: "seed-board.nc", line: 1 } as const;
const job = { kind: "job", file: "/shop/jobs/seed-board.job.json", line: 9 } as const;
const byDefault = { kind: "default" } as const;

export const sampleJob: JobFacts = {
  jobFile: "/shop/jobs/seed-board.job.json",
  programs: [],
  boards: ["prototype", "production"],
  stock: {
    name: "prototype",
    thickness: { value: 18.6, source: comment },
    size: { value: [320, 220], source: job },
    corner: { value: [-10, -10], source: job },
    zero: { value: "top", source: byDefault },
    material: { value: "MDF", source: job },
  },
  tools: new Map([[1, { number: 1, shape: "flat", diameter: 6, flutes: 2, cuttingLength: 25, source: job }]]),
  bedThickness: { value: 18, source: job },
  deepestBedCut: { value: 3, source: job },
  allowance: {
    terms: [
      { name: "measuring error", value: 0.1, source: job },
      { name: "bed unevenness", value: 0.2, source: job },
    ],
    worstCase: 0.3,
    rootSumSquare: 0.2236,
    judgedBy: "worst case",
    required: 0.3,
    overcut: 0.3,
  },
  throughBand: 1.86,
  intents: [],
  silences: [],
  holdDowns: [{ kind: "screw", at: [5, 5], keepOut: 8, height: 4 }],
  severities: {},
  machine: {
    rapidRate: [5000, 5000, 2000],
    acceleration: [300, 300, 200],
    topFeed: [3000, 3000, 1000],
    home28: [0, 0, 0],
    home30: [0, 0, 0],
    homeAxes: "all",
    workOffsets: {},
    startUnits: "mm",
    arcCentres: "incremental",
    toolChangeSeconds: 30,
    spindleStartSeconds: 3,
    source: byDefault,
  },
  problems: [],
};

/** Motions of the sample: 0 Z5, 1 X20 Y20, 2 plunge, 3 up, 4 X40, 5 plunge, 6 up, 7 X10, 8 down, 9 X100, 10 arc, 11 up, 12 dwell. */
function sampleTree(): CutTree {
  const pass = (
    index: number,
    first: number,
    end: number,
    lines: [number, number],
    bottom: number,
  ): Pass => ({
    index,
    first,
    end,
    firstLine: lines[0],
    lastLine: lines[1],
    bottom,
    bottomMotion: first,
    length: 20,
    seconds: 4,
    extent: [0, 0, 1, 1],
    tabs: [],
    cut: index,
  });
  const hole = (index: number): Cut => ({
    index,
    kind: "drilled hole",
    passes: [index],
    operation: 0,
    tool: 1,
    bottom: -18,
    deepestPass: index,
    extent: [20, 20, 40, 20],
    intent: {
      goes: "through",
      known: "inferred",
      because: "its deepest level is 0.6 mm above the underside",
    },
  });
  return {
    operations: [
      { index: 0, name: "Seed holes", named: true, tool: 1, cuts: [0, 1], firstLine: 4, lastLine: 11 },
      { index: 1, name: "Rebate", named: true, tool: 1, cuts: [2], firstLine: 12, lastLine: 17 },
    ],
    cuts: [
      hole(0),
      hole(1),
      {
        index: 2,
        kind: "slot",
        passes: [2],
        operation: 1,
        tool: 1,
        bottom: -6,
        deepestPass: 2,
        extent: [10, 40, 120, 60],
        intent: {
          goes: "partway",
          leaves: 12,
          known: "declared",
          because: "declared in seed-board.job.json",
        },
      },
    ],
    passes: [pass(0, 2, 3, [7, 7], -18), pass(1, 5, 6, [10, 10], -18), pass(2, 8, 11, [14, 16], -6)],
    passOfMotion: Int32Array.from([-1, -1, 0, -1, -1, 1, -1, -1, 2, 2, 2, -1, -1]),
  };
}

/** A finding on a one-based line of the text, over its words `G1 Z-18`. */
export function sampleFinding(text: string, line: number, more: Partial<Finding> = {}): Finding {
  const lines = text.split("\n");
  const start = lines.slice(0, line - 1).join("\n").length + (line > 1 ? 1 : 0);
  return {
    rule: "through-cut-short",
    severity: "error",
    file: "seed-board.nc",
    line,
    endLine: line,
    start,
    end: start + 7,
    message:
      'Drilled hole in "Seed holes" will not go through: 0.60 mm stays under it. Cut at least 0.90 mm deeper.',
    at: [20, 20, -18],
    values: { left: 0.6, required: 0.3 },
    related: [
      {
        file: "/shop/jobs/seed-board.job.json",
        line: 9,
        start: 0,
        end: 0,
        message: "The board is 18.60 mm thick.",
      },
    ],
    cut: 0,
    motions: [2, 3],
    ...more,
  };
}

/** The sample review; `more` replaces parts of it. */
export function sampleReview(more: Partial<Review> = {}, text = sampleText): Review {
  const program = readProgram(text);
  const toolpath = interpret(program, sampleJob.machine);
  const file = more.file ?? "seed-board.nc";
  return {
    file,
    program,
    toolpath,
    job: sampleJob,
    tree: sampleTree(),
    skins: [
      { cut: 0, thickness: 0.6, area: 28.27 },
      { cut: 1, thickness: 0.6, area: 28.27 },
    ],
    findings: [sampleFinding(text, 8, { file }), sampleFinding(text, 11, { file, cut: 1, motions: [5, 6] })],
    silenced: [],
    summary: {
      lines: program.lineCount,
      motions: toolpath.motions.count,
      allRead: toolpath.doubtFromLine < 0,
      notJudged: [],
      cell: 0.6,
      removedStock: 1000,
      removedBed: 0,
      deepestInBed: 0,
      throughCuts: 2,
      shortCuts: 2,
      clearedCuts: 0,
      feedSeconds: 60,
      rapidSeconds: 12,
    },
    ...more,
  };
}

/** Comments, names and file names that must not do anything where they are shown. */
export const hostile = '</script><img src=x onerror="alert(1)">\u001b[31m\u009b2J\u202e&amp;\u2028';

/** An invented seed-spacing board for the view's tests: a rebate, rows of holes, a slot and an outline that falls short. */
import { resolveJob } from "../../server/src/job/resolve.ts";
import { readProgram } from "../../server/src/language/read.ts";
import { makeScene } from "../../server/src/report/make-scene.ts";
import type { Scene } from "../../server/src/report/scene.ts";
import { reviewProgram } from "../../server/src/review/review-program.ts";

/** A comment that would be markup if the view ever wrote text as HTML. */
export const hostileComment = "<img src=x onerror=alert`1`><script>document.title='taken'</script>";

export const sampleProgram = [
  "(cutwright: thickness 18 mm; size 320 x 220 mm; corner -10 mm, -10 mm)",
  "(cutwright: zero top; material birch plywood; tool 1 flat 6 mm; tool 2 V 90 deg 12 mm; tool 3 ball 8 mm)",
  "G21 G90 G17 G94",
  `(${hostileComment})`,
  ...rebate(),
  ...holes(),
  ...bowl(),
  ...engraving(),
  ...outline(),
  "G0 Z20",
  "M5",
  "M30",
].join("\n");

/** A rebate round the middle, two levels of 3 mm. */
function rebate(): string[] {
  const lines = ["(Rebate)", "T1 M6", "S16000 M3", "G0 Z5", "G0 X20 Y20"];
  for (const z of [-3, -6]) {
    lines.push(`G1 Z${z} F300`);
    for (let y = 20; y <= 60; y += 4) lines.push(`G1 X${(y / 4) % 2 ? 20 : 280} Y${y} F1500`, `G1 Y${y + 4}`);
    lines.push("G0 Z5", "G0 X20 Y20");
  }
  return lines;
}

/** Two rows of seed holes as helical bores through the board. */
function holes(): string[] {
  const lines = ["(Seed holes)"];
  for (const y of [100, 130]) {
    for (let x = 40; x <= 260; x += 44) {
      lines.push(`G0 X${x + 5} Y${y}`, "G0 Z1", "G1 Z0 F300");
      for (const z of [-5, -10, -15, -18.6]) lines.push(`G3 X${x + 5} Y${y} Z${z} I-5 J0 F900`);
      lines.push(`G3 X${x + 5} Y${y} I-5 J0`, "G0 Z5");
    }
  }
  return lines;
}

/** A thumb hollow with a ball cutter. */
function bowl(): string[] {
  const lines = ["(Thumb hollow)", "T3 M6", "S14000 M3", "G0 Z5", "G0 X140 Y172"];
  lines.push("G1 Z-5 F200", "G1 X170 Z-9 F900", "G1 X200 Z-5", "G0 Z5");
  return lines;
}

/** A V groove along the front edge, with a rapid that drags through the wood. */
function engraving(): string[] {
  return [
    "(Label groove)",
    "T2 M6",
    "S18000 M3",
    "G0 Z5",
    "G0 X30 Y172",
    "G1 Z-3 F200",
    "G1 X90 F800",
    "G2 X110 Y172 I10 J0",
    "G0 X120 Y180",
    "G0 Z5",
  ];
}

/** The outline, with two tabs, cut 0.7 mm short of the underside. */
function outline(): string[] {
  const lines = ["(Outline)", "T1 M6", "S16000 M3", "G0 Z5", "G0 X0 Y10"];
  for (const z of [-6, -12, -17.3]) {
    lines.push(`G1 Z${z} F300`, "G1 Y190 F1200", "G2 X10 Y200 I10 J0", "G1 X140");
    if (z === -17.3) lines.push("G1 Z-14", "G1 X152", "G1 Z-17.3");
    lines.push("G1 X290", "G2 X300 Y190 I0 J-10", "G1 Y10", "G2 X290 Y0 I-10 J0", "G1 X152");
    if (z === -17.3) lines.push("G1 Z-14", "G1 X140", "G1 Z-17.3");
    lines.push("G1 X10", "G2 X0 Y10 I0 J10");
  }
  lines.push("G0 Z5");
  return lines;
}

/** Reviews a program text and gives its scene. */
export function sceneOf(text: string, file = "seed-board.nc"): Scene {
  const job = resolveJob({ programFile: file, program: readProgram(text) });
  return makeScene(reviewProgram({ file, text, job }));
}

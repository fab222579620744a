// Writes the programs of the demo jobs, as a drawing program would. Invented: a garden workshop that makes
// seed-spacing boards and label racks. Run from anywhere: node tests/jobs/make-demo-jobs.mjs
import { writeFileSync } from "node:fs";
import { pathToFileURL } from "node:url";

const n = (value, digits = 3) => String(Number(value.toFixed(digits)));

/** Board 320 x 220 mm, part 300 x 200 mm at X0 Y0. The programs believe that it is 18.0 mm thick. */
const bottom = -18;
const step = 3;
const levels = Array.from({ length: 6 }, (_, i) => -step * (i + 1));
const safe = 5;

function header(title, ...remarks) {
  return [
    `(${title})`,
    ...remarks.map((remark) => `(${remark})`),
    "G21 G90 G17 G94 G40 G49 G54",
    "G0 Z20",
    "T1 M6 (6 mm flat)",
    "S18000 M3",
    "G4 P3",
  ];
}

const footer = ["G0 Z20", "M5", "G0 X0 Y0", "M30"];

/** A round hole of 12 mm: circles of radius 3 for the 6 mm cutter, a level at a time. */
function roundHole(x, y) {
  const radius = 3;
  const lines = [`G0 X${n(x + radius)} Y${n(y)}`, "G0 Z1"];
  for (const z of levels) lines.push(`G1 Z${z} F300`, `G3 X${n(x + radius)} Y${n(y)} I-${radius} J0 F1200`);
  return [...lines, `G0 Z${safe}`];
}

export function seedBoardInside() {
  const lines = header("Seed-spacing board, inside", "Holes and rebate; run before the outline");
  lines.push("", "(Rebate along the front edge)", `G0 Z${safe}`);
  for (const z of [-3, -6]) {
    lines.push("G0 X5 Y3", "G0 Z1", `G1 Z${z} F300`, "G1 X295 F1200");
    let right = true;
    for (const y of [7, 11, 15]) {
      lines.push(`G1 Y${y}`, `G1 X${right ? 5 : 295}`);
      right = !right;
    }
    lines.push(`G0 Z${safe}`);
  }
  lines.push("", "(Dibber holes, 12 mm)");
  for (let row = 0; row < 4; row++) {
    for (let column = 0; column < 5; column++) {
      if ((row + column) % 2 === 0) lines.push(...roundHole(40 + 55 * column, 45 + 40 * row));
    }
  }
  lines.push("", "(Peg holes, 6 mm)");
  let first = true;
  for (let row = 0; row < 4; row++) {
    for (let column = 0; column < 5; column++) {
      if ((row + column) % 2 === 0) continue;
      const place = `X${40 + 55 * column} Y${45 + 40 * row}`;
      lines.push(first ? `G99 G83 ${place} Z${bottom} R1 Q4 F250` : place);
      first = false;
    }
  }
  lines.push("G80", ...footer);
  return `%\n${lines.join("\n")}\n%\n`;
}

export function seedBoardOutline() {
  const lines = header("Seed-spacing board, outline", "Cuts the board out of the blank; four tabs hold it");
  // Centre of the 6 mm cutter: 3 mm outside the part, corners of radius 8 on the part, 11 on the path.
  const [x0, y0, x1, y1, r] = [-3, -3, 303, 203, 11];
  const tab = 12;
  const tabTop = bottom + 3;
  lines.push("", "(Outline)", `G0 Z${safe}`, `G0 X${x0 + r} Y${y0}`, "G0 Z1");
  for (const z of levels) {
    const tabs = z < tabTop;
    /** A side along one axis, with a tab in its middle at the levels that reach it. */
    const side = (axis, from, to) => {
      if (!tabs) return [`G1 ${axis}${to}`];
      const middle = (from + to) / 2;
      const way = Math.sign(to - from);
      return [
        `G1 ${axis}${n(middle - (way * tab) / 2)}`,
        `G1 Z${tabTop} F600`,
        `G1 ${axis}${n(middle + (way * tab) / 2)} F1200`,
        `G1 Z${z} F300`,
        `G1 ${axis}${to} F1200`,
      ];
    };
    lines.push(`G1 Z${z} F300`, "F1200");
    lines.push(...side("X", x0 + r, x1 - r), `G3 X${x1} Y${y0 + r} I0 J${r}`);
    lines.push(...side("Y", y0 + r, y1 - r), `G3 X${x1 - r} Y${y1} I-${r} J0`);
    lines.push(...side("X", x1 - r, x0 + r), `G3 X${x0} Y${y1 - r} I0 J-${r}`);
    lines.push(...side("Y", y1 - r, y0 + r), `G3 X${x0 + r} Y${y0} I${r} J0`);
  }
  lines.push(...footer);
  return `%\n${lines.join("\n")}\n%\n`;
}

/** In inches and with three cutters; nothing is declared for it: the first use. */
export function labelRack() {
  const lines = [
    "(Plant-label rack)",
    "G20 G90 G17",
    "G0 Z1",
    "",
    "T1 M6 (60 degree V)",
    "S16000 M3",
    "(Row names)",
  ];
  for (let row = 0; row < 4; row++) {
    const y = 0.75 + 1.25 * row;
    lines.push(`G0 X0.5 Y${n(y, 4)}`, "G0 Z0.1", "G1 Z-0.04 F12");
    for (let stroke = 0; stroke < 5; stroke++) {
      lines.push(`G1 X${n(0.5 + 0.15 * (stroke + 1), 4)} Y${n(y + (stroke % 2 === 0 ? 0.2 : 0), 4)} F40`);
    }
    lines.push("G0 Z0.2");
  }
  lines.push("", "M5", "T2 M6 (1/4 in flat)", "S18000 M3", "(Label slots)");
  for (let row = 0; row < 4; row++) {
    const y = 0.75 + 1.25 * row;
    lines.push(`G0 X1.75 Y${n(y, 4)}`, "G0 Z0.1");
    for (const z of [-0.125, -0.25]) {
      lines.push(`G1 Z${z} F15`, `G1 X${z === -0.125 ? 7.5 : 1.75} F50`);
    }
    lines.push("G0 Z0.2");
  }
  lines.push("", "M5", "T3 M6 (1/4 in ball)", "S18000 M3", "(Water groove, falling to the right)");
  lines.push("G0 X0.5 Y0.2", "G0 Z0.1", "G1 Z-0.02 F15", "G1 X7.5 Z-0.12 F50", "G0 Z1", "M5", "M30");
  return `${lines.join("\n")}\n`;
}

export const demoPrograms = {
  "seed-board/seed-board-inside.nc": seedBoardInside,
  "seed-board/seed-board-outline.nc": seedBoardOutline,
  "label-rack/label-rack.nc": labelRack,
};

if (import.meta.url === pathToFileURL(process.argv[1]).href) {
  for (const [name, make] of Object.entries(demoPrograms))
    writeFileSync(new URL(name, import.meta.url), make());
}

/** The edits that declare the board: a line at the top of the program, or a job file beside it. */
import { existsSync } from "node:fs";
import { dirname, join } from "node:path";
import type { Range, WorkspaceEdit } from "vscode-languageserver";
import { declarationLine, draftJob, jobFileNameFor } from "../job/draft.ts";
import { lengthText } from "../review/length-text.ts";
import type { Review } from "../review/review.ts";
import { declarationLineOf } from "./directives.ts";
import { insertLineEdit, type EditAbilities, type Piece, type Target } from "./edits.ts";
import { pathOf, uriOf } from "./paths.ts";
import type { EditAnswer, Refusal } from "./protocol.ts";

/** The declaration of the thickness, with its number to be filled in; a sentence where it stands already. */
export function declareThicknessEdit(
  review: Review,
  target: Target,
  abilities: EditAbilities,
): EditAnswer | Refusal {
  const { thickness } = review.job.stock;
  const { units } = review.toolpath;
  if (thickness?.source.kind === "comment") {
    const at = thickness.source.line === undefined ? "in this program" : `on line ${thickness.source.line}`;
    return {
      message: `The thickness is declared already ${at}: ${lengthText(thickness.value, units)}. Change it there.`,
    };
  }
  const text = declarationLine(units);
  return { edit: insertLineEdit(target, declarationLineOf(target.program), withFill(text), abilities) };
}

/**
 * The number of the line becomes the place to fill in. It holds a question mark: a number put there by us could
 * be taken for a measurement.
 */
function withFill(text: string): Piece[] {
  const number = /\d+(?:\.\d+)?/.exec(text);
  if (!number) return [text];
  const end = number.index + number[0].length;
  return [text.slice(0, number.index), { fill: "?" }, text.slice(end)];
}

/** The edit that makes `NAME.job.json` beside the program; a sentence where that cannot or need not be done. */
export function createJobEdit(review: Review, uri: string, abilities: EditAbilities): EditAnswer | Refusal {
  const path = pathOf(uri);
  if (path === undefined) {
    return { message: "Save the program to a folder first: the job file is written beside it." };
  }
  if (review.job.jobFile)
    return { message: `The program is listed in a job file already: ${review.job.jobFile}.` };
  if (!abilities.createFiles) {
    return { message: "This editor cannot make files for a language server. Write the job file by hand." };
  }
  const file = freeName(path);
  const text = draftJob({
    programFile: path,
    units: review.toolpath.units,
    extent: extentOf(review),
    lowest: review.tree.cuts.reduce((low, cut) => Math.min(low, cut.bottom), 0),
    tools: [...new Set(review.tree.cuts.map((cut) => cut.tool))].sort((a, b) => a - b),
  });
  const jobUri = uriOf(file);
  const start = { line: 0, character: 0 };
  const select = emptyValueOf(text);
  const edit: WorkspaceEdit = {
    documentChanges: [
      { kind: "create", uri: jobUri, options: { overwrite: false, ignoreIfExists: false } },
      {
        textDocument: { uri: jobUri, version: null },
        edits: [{ range: { start, end: start }, newText: text }],
      },
    ],
  };
  return { edit, opens: jobUri, ...(select ? { select } : {}) };
}

/** Place between the quotes of the first value that is left empty for the user. */
function emptyValueOf(text: string): Range | undefined {
  const match = /: "(?=")/.exec(text);
  if (!match) return undefined;
  const before = text.slice(0, match.index + match[0].length).split("\n");
  const at = { line: before.length - 1, character: before[before.length - 1].length };
  return { start: at, end: at };
}

/** A name that no file has: a job file is never replaced. */
function freeName(programFile: string): string {
  const folder = dirname(programFile);
  const name = jobFileNameFor(programFile);
  for (let number = 1; ; number++) {
    const file = join(folder, number === 1 ? name : name.replace(/\.job\.json$/, `-${number}.job.json`));
    if (!existsSync(file)) return file;
  }
}

function extentOf(review: Review): [number, number, number, number] {
  const extent: [number, number, number, number] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const cut of review.tree.cuts) {
    extent[0] = Math.min(extent[0], cut.extent[0]);
    extent[1] = Math.min(extent[1], cut.extent[1]);
    extent[2] = Math.max(extent[2], cut.extent[2]);
    extent[3] = Math.max(extent[3], cut.extent[3]);
  }
  return Number.isFinite(extent[0]) ? extent : [0, 0, 0, 0];
}

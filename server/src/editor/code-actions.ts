/** Quick fixes for findings, and what can be said about the cut under the cursor. */
import {
  CodeActionKind,
  type CodeAction,
  type Diagnostic,
  type Range,
  type WorkspaceEdit,
} from "vscode-languageserver";
import type { Cut } from "../cuts/cuts.ts";
import type { Finding, Fix } from "../review/finding.ts";
import type { Review } from "../review/review.ts";
import { createJobEdit, declareThicknessEdit } from "./declare-edits.ts";
import { declarationLineOf, directive } from "./directives.ts";
import { insertLineEdit, type EditAbilities, type Piece, type Target } from "./edits.ts";
import { placeOfLine } from "./outline.ts";
import { rangeOf, sharesLine } from "./ranges.ts";

/** Findings that no comment may silence: they say that something was not read, or are about silencing itself. */
const neverSilenced = new Set(["line-not-reviewed", "silence-unused", "silence-without-reason"]);
/** Findings answered by saying what the cut is meant to do. */
const aboutIntent = new Set(["through-cut-short", "through-cut-marginal", "bed-cut-deep"]);
/** Most findings for which actions are made at once: a wider selection asks for a menu nobody can read. */
const mostFindings = 50;

export interface ActionInput {
  readonly review: Review;
  readonly target: Target;
  readonly range: Range;
  /** Diagnostics the editor shows there. */
  readonly diagnostics: readonly Diagnostic[];
  /** Kinds asked for; undefined: all. */
  readonly only: readonly string[] | undefined;
  readonly abilities: EditAbilities;
}

/** Actions for a range, most useful first. */
export function codeActionsOf(input: ActionInput): CodeAction[] {
  const { review, range } = input;
  const found = review.findings
    .filter((finding) => finding.file === review.file)
    .filter((finding) => sharesLine(rangeOf(review.program, finding.start, finding.end), range))
    .slice(0, mostFindings);
  const actions: CodeAction[] = [];
  for (const finding of found) actions.push(...fixActions(input, finding), ...toolActions(input, finding));
  const spoken = new Set<number>();
  for (const finding of found) {
    if (!aboutIntent.has(finding.rule) || finding.cut === undefined || spoken.has(finding.cut)) continue;
    spoken.add(finding.cut);
    actions.push(...intentActions(input, review.tree.cuts[finding.cut], CodeActionKind.QuickFix, finding));
  }
  const { cut } = placeOfLine(review, range.start.line);
  if (cut && !spoken.has(cut.index))
    actions.push(...intentActions(input, cut, CodeActionKind.RefactorRewrite));
  for (const finding of found) actions.push(...silenceActions(input, finding));
  return actions.filter(({ kind }) => wanted(kind ?? "", input.only));
}

function wanted(kind: string, only: readonly string[] | undefined): boolean {
  return !only || only.some((asked) => kind === asked || kind.startsWith(`${asked}.`) || asked === "");
}

function quickFix(
  input: ActionInput,
  title: string,
  edit: WorkspaceEdit,
  finding: Finding | undefined,
  extra: Partial<CodeAction> = {},
): CodeAction {
  const diagnostics = finding
    ? input.diagnostics.filter(
        (d) =>
          d.code === finding.rule &&
          d.range.start.line === rangeOf(input.review.program, finding.start, finding.end).start.line,
      )
    : [];
  return {
    title,
    kind: CodeActionKind.QuickFix,
    edit,
    ...(diagnostics.length ? { diagnostics } : {}),
    ...extra,
  };
}

function fixActions(input: ActionInput, finding: Finding): CodeAction[] {
  return (finding.fixes ?? []).flatMap((fix) => fixAction(input, finding, fix));
}

function fixAction(input: ActionInput, finding: Finding, fix: Fix): CodeAction[] {
  const { review, target, abilities } = input;
  switch (fix.kind) {
    case "declare-thickness": {
      const answer = declareThicknessEdit(review, target, abilities);
      if ("message" in answer) return [];
      const title = "Declare the board's thickness in this program";
      return [quickFix(input, title, answer.edit, finding, { isPreferred: true })];
    }
    case "create-job": {
      const answer = createJobEdit(review, target.uri, abilities);
      if ("message" in answer) return [];
      return [quickFix(input, "Create a job file beside this program", answer.edit, finding)];
    }
    case "insert-line": {
      const edit = insertLineEdit(target, fix.beforeLine, [fix.text], abilities);
      return [quickFix(input, fix.title, edit, finding, { isPreferred: true })];
    }
  }
}

/** Declares the cutter, its diameter to be filled in: a number put there by us could be taken for a measurement. */
function toolActions(input: ActionInput, finding: Finding): CodeAction[] {
  if (finding.rule !== "tool-undeclared" || finding.cut === undefined) return [];
  const { review, target, abilities } = input;
  // A program that names no tool uses the only one declared, whatever its number.
  const number = review.tree.cuts[finding.cut].tool || 1;
  const line = directive(review.program, [
    `tool ${number} flat `,
    { fill: "?" },
    review.toolpath.units === "in" ? " in" : " mm",
  ]);
  const edit = insertLineEdit(target, declarationLineOf(review.program), line, abilities);
  return [quickFix(input, `Declare tool ${number} in this program`, edit, finding)];
}

function intentActions(input: ActionInput, cut: Cut, kind: CodeActionKind, finding?: Finding): CodeAction[] {
  // What is declared is changed where it stands; a second statement would only quarrel with it.
  if (cut.intent.known === "declared") return [];
  const firstLine = Math.min(...cut.passes.map((pass) => input.review.tree.passes[pass].firstLine));
  const say = (title: string, pieces: Piece[]) => {
    const line = directive(input.review.program, pieces);
    return quickFix(input, title, insertLineEdit(input.target, firstLine, line, input.abilities), finding, {
      kind,
    });
  };
  const actions: CodeAction[] = [];
  const partway = () => actions.push(say("Declare that this cut stops partway on purpose", ["partway"]));
  const through = () => actions.push(say("Declare that this cut goes through", ["through"]));
  if (cut.intent.goes !== "partway") partway();
  // Where it is taken to go through already, the statement adds nothing to a finding.
  if (cut.intent.goes !== "through" || !finding) through();
  return actions;
}

function silenceActions(input: ActionInput, finding: Finding): CodeAction[] {
  if (neverSilenced.has(finding.rule)) return [];
  const line = directive(input.review.program, [`silence ${finding.rule} because `, { fill: "" }]);
  const edit = insertLineEdit(input.target, finding.line - 1, line, input.abilities);
  return [quickFix(input, `Silence ${finding.rule} here, with a reason`, edit, finding)];
}

/** Edits of the editor, made from lines of text with marked places to fill in. */
import type { ClientCapabilities, TextEdit, WorkspaceEdit } from "vscode-languageserver";
import type { SnippetTextEdit } from "vscode-languageserver";
import { lineEnd, type Program } from "../language/program.ts";
import { linesRange } from "./ranges.ts";

/** Text, and places the user fills in: `fill` is selected once the edit is made. */
export type Piece = string | { readonly fill: string };

/** What the editor at the other end can do with edits. */
export interface EditAbilities {
  readonly documentChanges: boolean;
  readonly createFiles: boolean;
  /** Places to fill in can be selected. */
  readonly snippets: boolean;
}

export function editAbilities(capabilities: ClientCapabilities | undefined): EditAbilities {
  const edit = capabilities?.workspace?.workspaceEdit;
  const documentChanges = edit?.documentChanges === true;
  return {
    documentChanges,
    createFiles: documentChanges && (edit?.resourceOperations ?? []).includes("create"),
    snippets: documentChanges && edit?.snippetEditSupport === true,
  };
}

/** A document to edit, as it was reviewed. */
export interface Target {
  readonly uri: string;
  readonly version: number;
  readonly program: Program;
}

/** Inserts a line ahead of `line` (zero-based; past the last line: at the end), with the document's own line ends. */
export function insertLineEdit(
  target: Target,
  line: number,
  pieces: readonly Piece[],
  abilities: EditAbilities,
): WorkspaceEdit {
  const { program } = target;
  const eol = lineEndOf(program);
  const atEnd = line >= program.lineCount;
  const last = program.lineCount - 1;
  const lastIsEmpty = program.lineStart[last] === program.text.length;
  const before = atEnd && !lastIsEmpty ? eol : "";
  const position = atEnd ? linesRange(program, last, last).end : { line: Math.max(0, line), character: 0 };
  const range = { start: position, end: position };
  const whole = [before, ...pieces, eol].map((piece) =>
    typeof piece === "string" ? piece.replace(/\r?\n/g, eol) : piece,
  );
  const hasFill = whole.some((piece) => typeof piece !== "string");
  const edit: TextEdit | SnippetTextEdit =
    hasFill && abilities.snippets
      ? { range, snippet: { kind: "snippet", value: snippetOf(whole) } }
      : { range, newText: plainOf(whole) };
  return documentEdit(target.uri, target.version, [edit], abilities);
}

/** Edits of one document in the form the editor takes. */
export function documentEdit(
  uri: string,
  version: number | null,
  edits: (TextEdit | SnippetTextEdit)[],
  abilities: EditAbilities,
): WorkspaceEdit {
  if (abilities.documentChanges) return { documentChanges: [{ textDocument: { uri, version }, edits }] };
  return { changes: { [uri]: edits as TextEdit[] } };
}

function lineEndOf(program: Program): string {
  const end = lineEnd(program, 0);
  return program.lineCount > 1 ? program.text.slice(end, program.lineStart[1]) : "\n";
}

export function plainOf(pieces: readonly Piece[]): string {
  return pieces.map((piece) => (typeof piece === "string" ? piece : piece.fill)).join("");
}

function snippetOf(pieces: readonly Piece[]): string {
  let stop = 0;
  return pieces
    .map((piece) => {
      if (typeof piece === "string") return piece.replace(/[\\$}]/g, "\\$&");
      stop++;
      return piece.fill === "" ? `$${stop}` : `\${${stop}:${piece.fill.replace(/[\\$}]/g, "\\$&")}}`;
    })
    .join("");
}

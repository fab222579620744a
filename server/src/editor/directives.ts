/** Lines of comment that declare something to the review. */
import type { Program } from "../language/program.ts";
import type { Piece } from "./edits.ts";

/** A directive comment in the style the program's comments have: `(cutwright: through)` or `; cutwright: through`. */
export function directive(program: Program, pieces: readonly Piece[]): Piece[] {
  const first = program.comments[0];
  if (first?.kind === "semicolon") return ["; cutwright: ", ...pieces];
  return ["(cutwright: ", ...pieces, ")"];
}

/** Line ahead of which facts for the whole program are declared: the first, or the second after an opening `%`. */
export function declarationLineOf(program: Program): number {
  return program.percentLines[0] === 0 && program.lineCount > 1 ? 1 : 0;
}

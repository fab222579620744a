/** The edit that puts another board of a job in force. Nothing else in the job file changes. */
import { applyEdits, findNodeAtLocation, modify, parseTree } from "jsonc-parser";
import { TextDocument } from "vscode-languageserver-textdocument";
import type { TextEdit } from "vscode-languageserver";

/** Text edits of a job file that set its `board`; a sentence where that cannot be done. */
export function boardEdits(text: string, board: string): { edits: TextEdit[] } | { message: string } {
  const tree = parseTree(text, [], { allowTrailingComma: true });
  if (tree?.type !== "object") {
    return { message: "The job file cannot be read, so its board was not changed. Correct it first." };
  }
  const boards = findNodeAtLocation(tree, ["boards"]);
  const names =
    boards?.type === "object" ? (boards.children ?? []).map((c) => String(c.children?.[0].value)) : [];
  if (!names.includes(board)) {
    const known = names.length ? `It declares: ${names.join(", ")}.` : "It declares none.";
    return { message: `The job file declares no board named "${board}". ${known}` };
  }
  const indent = /\n([ \t]+)\S/.exec(text)?.[1] ?? "  ";
  const changes = modify(text, ["board"], board, {
    formattingOptions: {
      insertSpaces: !indent.startsWith("\t"),
      tabSize: indent.startsWith("\t") ? 1 : indent.length,
      eol: text.includes("\r\n") ? "\r\n" : "\n",
    },
  });
  const document = TextDocument.create("job:", "jsonc", 0, text);
  const edits = changes.map(({ offset, length, content }) => ({
    range: { start: document.positionAt(offset), end: document.positionAt(offset + length) },
    newText: content,
  }));
  const result = parseTree(applyEdits(text, changes), [], { allowTrailingComma: true });
  if (!result || findNodeAtLocation(result, ["board"])?.value !== board) {
    return { message: "The job file has errors near its board, so it was not changed. Correct it first." };
  }
  return { edits };
}

import * as vscode from "vscode";
import type { LanguageClient } from "vscode-languageclient/node";
import { chooseBoardRequest, type ChooseBoardParams } from "../../server/src/editor/protocol.ts";
import { programOrNotice } from "./programs.ts";
import { askAndApply } from "./server-edits.ts";
import type { Statuses } from "./statuses.ts";

/** Lets the user choose the board in force, and writes the choice into the job file. */
export async function chooseBoard(client: LanguageClient, statuses: Statuses): Promise<void> {
  const program = programOrNotice();
  if (!program) return;
  const status = statuses.of(program.uri);
  if (!status)
    return void vscode.window.showInformationMessage("Cutwright: the program is still being reviewed.");
  if (status.boards.length === 0) return declareBoard();
  const picks = status.boards.map((board) => ({
    label: board,
    ...(board === status.board && status.thickness ? { description: `${status.thickness}, in force` } : {}),
  }));
  const pick = await vscode.window.showQuickPick(picks, {
    title: "Board to review for",
    placeHolder: "Choose a board",
  });
  if (!pick || pick.label === status.board) return;
  const params: ChooseBoardParams = { uri: program.uri.toString(), board: pick.label };
  const jobUri = status.jobFile ? vscode.Uri.file(status.jobFile) : undefined;
  const wasUnsaved = openDocument(jobUri)?.isDirty === true;
  const answer = await askAndApply(client, chooseBoardRequest, params);
  // The command line and the programs beside it read the file; the user's own unsaved changes stay unsaved.
  if (answer?.opens && !wasUnsaved) await openDocument(vscode.Uri.parse(answer.opens))?.save();
}

async function declareBoard(): Promise<void> {
  const picks = [
    { label: "Declare the thickness in this program", command: "cutwright.declareThickness" },
    { label: "Create a job file beside this program", command: "cutwright.createJob" },
  ];
  const pick = await vscode.window.showQuickPick(picks, {
    title: "No job file lists this program, so there is no board to choose",
  });
  if (pick) await vscode.commands.executeCommand(pick.command);
}

function openDocument(uri: vscode.Uri | undefined): vscode.TextDocument | undefined {
  return uri && vscode.workspace.textDocuments.find((document) => document.uri.toString() === uri.toString());
}

import * as vscode from "vscode";
import type { LanguageClient } from "vscode-languageclient/node";
import { createJobRequest, declareThicknessRequest } from "../../server/src/editor/protocol.ts";
import { programOrNotice } from "./programs.ts";
import { askAndApply } from "./server-edits.ts";

/** Puts the thickness declaration at the top of the program, its number selected. */
export async function declareThickness(client: LanguageClient): Promise<void> {
  const program = programOrNotice();
  if (!program) return;
  // The place to fill in can be selected only in an editor that has the focus.
  await vscode.window.showTextDocument(program, columnOf(program));
  await askAndApply(client, declareThicknessRequest, { uri: program.uri.toString() });
}

/** Writes a first job file beside the program and opens it. */
export async function createJob(client: LanguageClient): Promise<void> {
  const program = programOrNotice();
  if (!program) return;
  const answer = await askAndApply(client, createJobRequest, { uri: program.uri.toString() });
  if (!answer?.opens) return;
  const job = await vscode.workspace.openTextDocument(vscode.Uri.parse(answer.opens));
  await job.save();
  const { select } = answer;
  const selection = select && client.protocol2CodeConverter.asRange(select);
  await vscode.window.showTextDocument(job, selection ? { selection } : {});
}

/** Column in which a document is visible already. */
export function columnOf(document: vscode.TextDocument): vscode.ViewColumn {
  const editor = vscode.window.visibleTextEditors.find((e) => e.document === document);
  return editor?.viewColumn ?? vscode.ViewColumn.One;
}

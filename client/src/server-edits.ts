import * as vscode from "vscode";
import type { LanguageClient } from "vscode-languageclient/node";
import type { EditAnswer, Refusal, UriParams } from "../../server/src/editor/protocol.ts";

/**
 * Asks the server for an edit and makes it. Shows the server's sentence where it has none to give.
 * Returns the answer once the edit is made, undefined otherwise.
 */
export async function askAndApply<P extends UriParams>(
  client: LanguageClient,
  request: string,
  params: P,
): Promise<EditAnswer | undefined> {
  const answer = await client.sendRequest<EditAnswer | Refusal>(request, params);
  if ("message" in answer) {
    void vscode.window.showWarningMessage(`Cutwright: ${answer.message}`);
    return undefined;
  }
  const edit = await client.protocol2CodeConverter.asWorkspaceEdit(answer.edit);
  if (edit && (await vscode.workspace.applyEdit(edit))) return answer;
  void vscode.window.showWarningMessage(
    "Cutwright: the editor did not accept the change; nothing was written.",
  );
  return undefined;
}

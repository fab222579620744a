import * as vscode from "vscode";

/** Language id of router programs. */
export const programLanguage = "gcode";

export function isProgram(document: vscode.TextDocument | undefined): document is vscode.TextDocument {
  return document?.languageId === programLanguage;
}

/** The program the user means: the active editor's, else one that is visible. */
export function programInView(): vscode.TextDocument | undefined {
  const active = vscode.window.activeTextEditor?.document;
  if (isProgram(active)) return active;
  return vscode.window.visibleTextEditors.map((editor) => editor.document).find(isProgram);
}

/** As `programInView`; says what to do where there is none. */
export function programOrNotice(): vscode.TextDocument | undefined {
  const program = programInView();
  if (!program) void vscode.window.showInformationMessage("Cutwright: open a G-code program first.");
  return program;
}

import * as vscode from "vscode";

const command = "cutwright.showRule";

/** Link of a finding's rule id: a command, so that the page opens as a preview wherever the editor runs. */
export const ruleLinkPattern = `command:${command}?%5B%22{rule}%22%5D`;

/** Registers the command that opens a rule's page. */
export function registerRulePages(context: vscode.ExtensionContext): vscode.Disposable {
  return vscode.commands.registerCommand(command, async (rule: unknown) => {
    // The argument may come from a link: only a rule id may pass into a path.
    if (typeof rule !== "string" || !/^[a-z0-9-]+$/.test(rule)) return;
    const page = vscode.Uri.joinPath(context.extensionUri, "docs", "rules", `${rule}.md`);
    try {
      await vscode.workspace.fs.stat(page);
    } catch {
      void vscode.window.showInformationMessage(`Cutwright has no page about ${rule}.`);
      return;
    }
    await vscode.commands.executeCommand("markdown.showPreview", page);
  });
}

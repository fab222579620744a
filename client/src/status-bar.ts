import * as vscode from "vscode";
import type { Status } from "../../server/src/editor/protocol.ts";
import { isProgram, programInView } from "./programs.ts";
import type { Statuses } from "./statuses.ts";

/** Board, thickness and worst finding of the active program; a click chooses another board. */
export class StatusBar implements vscode.Disposable {
  private readonly item: vscode.StatusBarItem;
  private readonly subscriptions: vscode.Disposable[];

  constructor(private readonly statuses: Statuses) {
    this.item = vscode.window.createStatusBarItem("cutwright.board", vscode.StatusBarAlignment.Left, 10);
    this.item.name = "Cutwright: board";
    this.item.command = "cutwright.chooseBoard";
    this.subscriptions = [
      this.item,
      statuses.onDidReview(() => this.update()),
      vscode.window.onDidChangeActiveTextEditor(() => this.update()),
      vscode.window.onDidChangeVisibleTextEditors(() => this.update()),
    ];
    this.update();
  }

  dispose(): void {
    for (const subscription of this.subscriptions) subscription.dispose();
  }

  private update(): void {
    // The cut view may have the focus: the program beside it is still the one that is meant.
    const active = vscode.window.activeTextEditor?.document;
    const document = active ?? programInView();
    if (!isProgram(document)) return this.item.hide();
    const status = this.statuses.of(document.uri);
    if (!status) {
      this.item.text = "$(loading~spin) Reviewing";
      this.item.tooltip = "Cutwright is reviewing this program.";
      this.item.backgroundColor = undefined;
    } else {
      this.item.text = `$(layers) ${boardText(status)}  ${verdictIcon(status)} ${verdictText(status)}`;
      this.item.tooltip = tooltipOf(status);
      this.item.backgroundColor = background(status);
      this.item.accessibilityInformation = {
        label: `Board ${boardText(status)}. ${verdictText(status)}. Choose another board.`,
        role: "button",
      };
    }
    this.item.show();
  }
}

function boardText(status: Status): string {
  const thickness = status.thickness ?? "no thickness";
  return status.board ? `${status.board}, ${thickness}` : thickness;
}

function verdictIcon({ worst, allRead }: Status): string {
  if (worst === "error") return "$(error)";
  if (worst === "warning" || !allRead) return "$(warning)";
  return worst === "info" ? "$(info)" : "$(check)";
}

function verdictText({ counts, allRead, worst }: Status): string {
  const parts: string[] = [];
  const add = (count: number, one: string, many: string) => {
    if (count > 0) parts.push(`${count} ${count === 1 ? one : many}`);
  };
  add(counts.error, "error", "errors");
  add(counts.warning, "warning", "warnings");
  if (parts.length === 0) add(counts.info, "note", "notes");
  if (!allRead) parts.push("not all read");
  else if (worst === null) parts.push("no findings");
  return parts.join(", ");
}

function tooltipOf(status: Status): vscode.MarkdownString {
  const text = new vscode.MarkdownString();
  text.appendText(status.jobFile ? `Job file: ${status.jobFile}\n` : "No job file lists this program.\n");
  for (const sentence of status.notJudged) text.appendText(`\nNot judged: ${sentence}\n`);
  text.appendText(
    status.boards.length > 0 ? "\nClick to choose the board." : "\nClick to declare the board.",
  );
  return text;
}

/** Only an error colours the bar: a board would be spoiled. */
function background({ worst }: Status): vscode.ThemeColor | undefined {
  return worst === "error" ? new vscode.ThemeColor("statusBarItem.errorBackground") : undefined;
}

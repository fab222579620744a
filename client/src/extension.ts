/** The editor side: starts the server, hosts the cut view, and registers the commands. */
import * as vscode from "vscode";
import type { LanguageClient } from "vscode-languageclient/node";
import { chooseBoard } from "./board.ts";
import { CutView, cutViewType } from "./cut-view.ts";
import { createJob, declareThickness } from "./declare.ts";
import { registerRulePages } from "./rule-page.ts";
import { makeClient } from "./server-process.ts";
import { StatusBar } from "./status-bar.ts";
import { Statuses } from "./statuses.ts";

let client: LanguageClient | undefined;

/** Called by the editor the first time a program is opened or a command of ours is run. */
export async function activate(context: vscode.ExtensionContext): Promise<void> {
  const started = makeClient(context);
  client = started;
  const statuses = new Statuses(started);
  const view = new CutView(context.extensionUri, started, statuses);
  const command = (name: string, run: () => unknown) =>
    vscode.commands.registerCommand(name, async () => {
      try {
        await run();
      } catch (error) {
        void vscode.window.showErrorMessage(
          `Cutwright: ${error instanceof Error ? error.message : String(error)}`,
        );
      }
    });
  context.subscriptions.push(
    statuses,
    view,
    new StatusBar(statuses),
    registerRulePages(context),
    command("cutwright.openCutView", () => view.open()),
    command("cutwright.chooseBoard", () => chooseBoard(started, statuses)),
    command("cutwright.declareThickness", () => declareThickness(started)),
    command("cutwright.createJob", () => createJob(started)),
    vscode.window.registerWebviewPanelSerializer(cutViewType, {
      deserializeWebviewPanel: (panel) => {
        view.restore(panel);
        return Promise.resolve();
      },
    }),
  );
  try {
    await started.start();
  } catch (error) {
    void vscode.window.showErrorMessage(
      `Cutwright could not start its language server, so nothing is reviewed: ${error instanceof Error ? error.message : String(error)}`,
    );
  }
}

/** Called by the editor when it ends. */
export function deactivate(): Promise<void> | undefined {
  return client?.stop();
}

import * as vscode from "vscode";
import type { LanguageClient } from "vscode-languageclient/node";
import { statusNotification, type Status } from "../../server/src/editor/protocol.ts";

/** The latest status of each open program, by its URI as text. */
export class Statuses implements vscode.Disposable {
  private readonly byUri = new Map<string, Status>();
  private readonly changes = new vscode.EventEmitter<Status>();
  private readonly subscriptions: vscode.Disposable[];
  /** A program was reviewed. */
  readonly onDidReview = this.changes.event;

  constructor(client: LanguageClient) {
    this.subscriptions = [
      this.changes,
      client.onNotification(statusNotification, (status: Status) => {
        // The two sides may spell the same URI differently (a colon or a blank).
        this.byUri.set(keyOf(status.uri), status);
        this.changes.fire(status);
      }),
      vscode.workspace.onDidCloseTextDocument(({ uri }) => this.byUri.delete(uri.toString())),
    ];
  }

  of(uri: vscode.Uri): Status | undefined {
    return this.byUri.get(uri.toString());
  }

  dispose(): void {
    for (const subscription of this.subscriptions) subscription.dispose();
  }
}

/** A URI as the editor spells it. */
export function keyOf(uri: string): string {
  return vscode.Uri.parse(uri).toString();
}

import * as vscode from "vscode";
import { LanguageClient, TransportKind, type ServerOptions } from "vscode-languageclient/node";
import type { InitializationOptions } from "../../server/src/editor/protocol.ts";
import { programLanguage } from "./programs.ts";
import { ruleLinkPattern } from "./rule-page.ts";

/** The client for the bundled language server; not started yet. */
export function makeClient(context: vscode.ExtensionContext): LanguageClient {
  const module = context.asAbsolutePath("dist/server.cjs");
  const server: ServerOptions = {
    run: { module, transport: TransportKind.ipc },
    debug: { module, transport: TransportKind.ipc, options: { execArgv: ["--nolazy", "--inspect=6010"] } },
  };
  const initializationOptions: InitializationOptions = { rulePages: ruleLinkPattern };
  return new LanguageClient("cutwright", "Cutwright", server, {
    documentSelector: [{ language: programLanguage }],
    initializationOptions,
    synchronize: {
      fileEvents: [
        vscode.workspace.createFileSystemWatcher("**/*.job.json"),
        vscode.workspace.createFileSystemWatcher("**/*.{nc,ngc,tap,cnc,gcode}"),
      ],
    },
    markdown: { isTrusted: false, supportHtml: false },
  });
}

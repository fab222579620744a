import { randomBytes } from "node:crypto";
import * as vscode from "vscode";

/** Folder that the cut view may load from; nothing else is reachable for it. */
export function viewFolder(extension: vscode.Uri): vscode.Uri {
  return vscode.Uri.joinPath(extension, "dist");
}

/** The page around the cut view's bundle. Scripts run by nonce only, and nothing goes to the network. */
export function cutViewPage(webview: vscode.Webview, extension: vscode.Uri): string {
  const nonce = randomBytes(16).toString("base64url");
  const source = (name: string) =>
    webview.asWebviewUri(vscode.Uri.joinPath(viewFolder(extension), name)).toString();
  const policy = [
    "default-src 'none'",
    `style-src ${webview.cspSource}`,
    `script-src 'nonce-${nonce}'`,
    "img-src data: blob:",
  ].join("; ");
  return `<!doctype html>
<html lang="en">
  <head>
    <meta charset="utf-8">
    <meta http-equiv="Content-Security-Policy" content="${policy}">
    <meta name="viewport" content="width=device-width, initial-scale=1">
    <title>Cut view</title>
    <link rel="stylesheet" href="${source("view.css")}">
  </head>
  <body>
    <main id="cutwright-view"></main>
    <script nonce="${nonce}" src="${source("view.js")}"></script>
  </body>
</html>`;
}

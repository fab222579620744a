import * as vscode from "vscode";
import type { LanguageClient } from "vscode-languageclient/node";
import { sceneRequest, type Refusal, type SceneAnswer } from "../../server/src/editor/protocol.ts";
import { cutViewPage, viewFolder } from "./cut-view-page.ts";
import { isProgram, programInView, programOrNotice } from "./programs.ts";
import { keyOf, type Statuses } from "./statuses.ts";

export const cutViewType = "cutwright.cutView";

/** Quiet time before the cursor's line is told to the view, ms. */
const cursorQuietTime = 80;

type FromView =
  | { readonly type: "ready" }
  | { readonly type: "revealLine"; readonly line: number }
  | { readonly type: "showFinding"; readonly index: number };

/** The cut view beside the editor. There is one; it shows the program the user looks at. */
export class CutView implements vscode.Disposable {
  private panel: vscode.WebviewPanel | undefined;
  /** Program shown, as a document. */
  private program: vscode.TextDocument | undefined;
  private places: SceneAnswer["places"] = [];
  /** Counts the scenes asked for: an answer that was overtaken is dropped. */
  private asked = 0;
  private ready = false;
  private cursorTimer: NodeJS.Timeout | undefined;
  /** Line the view sent the cursor to, so that the cursor's move is not sent back to it. */
  private lineFromView: number | undefined;
  private readonly subscriptions: vscode.Disposable[];

  constructor(
    private readonly extension: vscode.Uri,
    private readonly client: LanguageClient,
    statuses: Statuses,
  ) {
    this.subscriptions = [
      statuses.onDidReview(({ uri }) => {
        if (this.program?.uri.toString() === keyOf(uri)) void this.sendScene();
      }),
      vscode.window.onDidChangeActiveTextEditor((editor) => {
        if (isProgram(editor?.document)) this.turnTo(editor.document);
      }),
      vscode.window.onDidChangeTextEditorSelection(({ textEditor }) => this.cursorMoved(textEditor)),
      vscode.workspace.onDidCloseTextDocument((document) => {
        if (document === this.program) this.programClosed();
      }),
    ];
  }

  /** Opens the view, or brings it forward, with the program the user looks at. */
  open(): void {
    const program = programOrNotice();
    if (!program) return;
    if (this.panel) {
      this.turnTo(program);
      this.panel.reveal(undefined, true);
      return;
    }
    const panel = vscode.window.createWebviewPanel(
      cutViewType,
      titleOf(program),
      { viewColumn: vscode.ViewColumn.Beside, preserveFocus: true },
      { enableScripts: true, localResourceRoots: [viewFolder(this.extension)] },
    );
    this.adopt(panel, program);
  }

  /** Takes over a panel that the editor kept across a restart. */
  restore(panel: vscode.WebviewPanel): void {
    panel.webview.options = { enableScripts: true, localResourceRoots: [viewFolder(this.extension)] };
    this.adopt(panel, programInView());
  }

  dispose(): void {
    clearTimeout(this.cursorTimer);
    for (const subscription of this.subscriptions) subscription.dispose();
    this.panel?.dispose();
  }

  private adopt(panel: vscode.WebviewPanel, program: vscode.TextDocument | undefined): void {
    this.panel?.dispose();
    this.panel = panel;
    this.program = program;
    this.ready = false;
    // A view that is hidden is thrown away and says "ready" again when it is shown.
    panel.onDidChangeViewState(() => {
      if (!panel.visible) this.ready = false;
    });
    panel.webview.onDidReceiveMessage((message: FromView) => this.received(message));
    panel.onDidDispose(() => {
      if (this.panel !== panel) return;
      this.panel = undefined;
      this.program = undefined;
      this.ready = false;
    });
    panel.webview.html = cutViewPage(panel.webview, this.extension);
  }

  private turnTo(program: vscode.TextDocument): void {
    if (!this.panel || program === this.program) return;
    this.program = program;
    this.panel.title = titleOf(program);
    this.places = [];
    void this.sendScene();
  }

  private programClosed(): void {
    const next = programInView();
    if (next && next !== this.program) return this.turnTo(next);
    this.program = undefined;
    this.places = [];
    this.asked++;
    if (this.panel) this.panel.title = "Cut view";
    this.post({
      type: "empty",
      message: "The program was closed. Open a G-code program to see what it cuts.",
    });
  }

  private received(message: FromView | undefined): void {
    switch (message?.type) {
      case "ready":
        this.ready = true;
        void this.sendScene();
        break;
      case "revealLine":
        if (Number.isInteger(message.line) && message.line >= 0) void this.revealLine(message.line);
        break;
      case "showFinding":
        void this.showFinding(message.index);
        break;
      case undefined:
        break;
    }
  }

  private post(message: object): void {
    if (this.ready) void this.panel?.webview.postMessage(message);
  }

  private async sendScene(): Promise<void> {
    if (!this.ready) return;
    const { program } = this;
    if (!program) {
      return this.post({ type: "empty", message: "Open a G-code program to see what it cuts." });
    }
    const number = ++this.asked;
    let answer: SceneAnswer | Refusal;
    try {
      answer = await this.client.sendRequest(sceneRequest, { uri: program.uri.toString() });
    } catch (error) {
      answer = {
        message: `The cut view could not be made: ${error instanceof Error ? error.message : String(error)}`,
      };
    }
    if (number !== this.asked || program !== this.program) return;
    if ("message" in answer) {
      this.places = [];
      return this.post({ type: "empty", message: answer.message });
    }
    this.places = answer.places;
    this.post({ type: "scene", scene: answer.scene });
    const editor = this.editor();
    if (editor) this.sendCursor(editor);
  }

  private cursorMoved(editor: vscode.TextEditor): void {
    if (!this.panel || editor.document !== this.program) return;
    clearTimeout(this.cursorTimer);
    if (editor.selection.isEmpty && editor.selection.active.line === this.lineFromView) {
      this.lineFromView = undefined;
      return;
    }
    this.lineFromView = undefined;
    this.cursorTimer = setTimeout(() => this.sendCursor(editor), cursorQuietTime);
  }

  private sendCursor({ selection }: vscode.TextEditor): void {
    const { start, end } = selection;
    // A selection that ends ahead of a line's first character does not hold that line.
    const endLine = end.character === 0 && end.line > start.line ? end.line - 1 : end.line;
    this.post({ type: "cursor", line: start.line, endLine });
  }

  private editor(): vscode.TextEditor | undefined {
    return vscode.window.visibleTextEditors.find(({ document }) => document === this.program);
  }

  /** An editor with the program; a new one opens beside the view, never over it. */
  private async editorOpened(preserveFocus: boolean): Promise<vscode.TextEditor | undefined> {
    const { program } = this;
    if (!program) return undefined;
    const beside =
      this.panel?.viewColumn === vscode.ViewColumn.One ? vscode.ViewColumn.Two : vscode.ViewColumn.One;
    const viewColumn = this.editor()?.viewColumn ?? beside;
    return vscode.window.showTextDocument(program, { viewColumn, preserveFocus });
  }

  private async revealLine(line: number): Promise<void> {
    const editor = this.editor() ?? (await this.editorOpened(true));
    if (!editor || line >= editor.document.lineCount) return;
    if (editor.selection.isEmpty && editor.selection.active.line === line) return;
    this.lineFromView = line;
    const at = new vscode.Position(line, editor.document.lineAt(line).firstNonWhitespaceCharacterIndex);
    editor.selection = new vscode.Selection(at, at);
    editor.revealRange(new vscode.Range(at, at), vscode.TextEditorRevealType.InCenterIfOutsideViewport);
  }

  private async showFinding(index: number): Promise<void> {
    const place = this.places[index];
    const editor = place && (await this.editorOpened(false));
    if (!editor) return;
    const range = editor.document.validateRange(this.client.protocol2CodeConverter.asRange(place.range));
    editor.selection = new vscode.Selection(range.start, range.start);
    editor.revealRange(range, vscode.TextEditorRevealType.InCenterIfOutsideViewport);
  }
}

function titleOf(program: vscode.TextDocument): string {
  const name = program.uri.path.slice(program.uri.path.lastIndexOf("/") + 1);
  return `Cut view: ${name}`;
}

// A language client of the tests: starts the bundled server and speaks to it over its standard streams.
import { spawn, type ChildProcess } from "node:child_process";
import { mkdtemp } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { build } from "esbuild";
import {
  createProtocolConnection,
  StreamMessageReader,
  StreamMessageWriter,
  type ClientCapabilities,
  type CodeAction,
  type Diagnostic,
  type InitializeResult,
  type ProtocolConnection,
  type PublishDiagnosticsParams,
  type SnippetTextEdit,
  type TextDocumentEdit,
  type TextEdit,
  type WorkspaceEdit,
} from "vscode-languageserver/node";
import { TextDocument } from "vscode-languageserver-textdocument";
import { statusNotification, type Status } from "../../server/src/editor/protocol.ts";

const root = fileURLToPath(new URL("../../", import.meta.url));
/** Longest wait for an answer, ms: the machine may be shared. */
const patience = 30_000;

/** Bundles the server as it is now, so that no stale build is tested, and returns the bundle's path. */
export async function bundleServer(): Promise<string> {
  const outfile = join(await mkdtemp(join(tmpdir(), "cutwright-server-")), "server.cjs");
  await build({
    entryPoints: [join(root, "server/src/editor/main.ts")],
    outfile,
    bundle: true,
    platform: "node",
    target: "node20",
    format: "cjs",
    mainFields: ["module", "main"],
    minify: true,
    logLevel: "error",
  });
  return outfile;
}

/** What the editor of the extension can do, as far as the server asks. */
export const fullAbilities: ClientCapabilities = {
  workspace: {
    configuration: true,
    workspaceEdit: { documentChanges: true, resourceOperations: ["create"], snippetEditSupport: true },
  },
};

export class StdioClient {
  readonly published: PublishDiagnosticsParams[] = [];
  readonly statuses: Status[] = [];
  /** Section `cutwright` of the settings, given when the server asks. */
  settings: unknown = {};
  private readonly texts = new Map<string, TextDocument>();
  private stderr = "";

  private constructor(
    readonly server: ChildProcess,
    readonly connection: ProtocolConnection,
  ) {
    server.stderr!.on("data", (part: Buffer) => (this.stderr += part.toString()));
    connection.onNotification("textDocument/publishDiagnostics", (p: PublishDiagnosticsParams) => {
      this.published.push(p);
    });
    connection.onNotification(statusNotification, (status: Status) => {
      this.statuses.push(status);
    });
    connection.onRequest("workspace/configuration", ({ items }: { items: unknown[] }) =>
      items.map(() => this.settings),
    );
    connection.onRequest("client/registerCapability", () => null);
    connection.listen();
  }

  static start(bundle: string): StdioClient {
    const server = spawn(process.execPath, [bundle, "--stdio"], { stdio: "pipe" });
    const connection = createProtocolConnection(
      new StreamMessageReader(server.stdout),
      new StreamMessageWriter(server.stdin),
    );
    return new StdioClient(server, connection);
  }

  async initialize(capabilities: ClientCapabilities = fullAbilities): Promise<InitializeResult> {
    const result = await this.request<InitializeResult>("initialize", {
      processId: process.pid,
      rootUri: null,
      capabilities,
      initializationOptions: { rulePages: "https://pages.example.invalid/{rule}.md" },
    });
    await this.connection.sendNotification("initialized", {});
    return result;
  }

  /** Sends a request; rejects, too, where the server ends before it answers. */
  request<R>(method: string, params: unknown): Promise<R> {
    return new Promise((resolve, reject) => {
      const ended = () =>
        reject(new Error(`the server ended before it answered ${method}: ${this.stderr.slice(-2000)}`));
      if (this.server.exitCode !== null) return ended();
      this.server.once("exit", ended);
      this.connection
        .sendRequest<R>(method, params)
        .then(resolve, reject)
        .finally(() => this.server.off("exit", ended));
    });
  }

  async open(uri: string, text: string, languageId = "gcode"): Promise<void> {
    this.texts.set(uri, TextDocument.create(uri, languageId, 1, text));
    await this.connection.sendNotification("textDocument/didOpen", {
      textDocument: { uri, languageId, version: 1, text },
    });
  }

  /** Sends edits as ranges of the text before them, in the order given. */
  async edit(uri: string, edits: readonly TextEdit[]): Promise<void> {
    const document = this.texts.get(uri)!;
    // The protocol applies changes one after the other: from the end of the text, earlier ranges keep their place.
    const ordered = [...edits].sort(
      (a, b) => document.offsetAt(b.range.start) - document.offsetAt(a.range.start),
    );
    const changes = ordered.map(({ range, newText }) => ({ range, text: newText }));
    await this.change(uri, changes, document.version + 1);
  }

  async change(
    uri: string,
    changes: { range?: TextEdit["range"]; text: string }[],
    version: number,
  ): Promise<void> {
    const document = this.texts.get(uri);
    if (document) {
      this.texts.set(
        uri,
        TextDocument.update(document, changes as Parameters<typeof TextDocument.update>[1], version),
      );
    }
    await this.connection.sendNotification("textDocument/didChange", {
      textDocument: { uri, version },
      contentChanges: changes,
    });
  }

  close(uri: string): Promise<void> {
    return this.connection.sendNotification("textDocument/didClose", { textDocument: { uri } });
  }

  text(uri: string): string {
    return this.texts.get(uri)!.getText();
  }

  version(uri: string): number {
    return this.texts.get(uri)!.version;
  }

  /** Diagnostics of the document's present text, once they are there. */
  async diagnostics(uri: string): Promise<Diagnostic[]> {
    const version = this.texts.get(uri)?.version;
    const latest = () => this.published.findLast((p) => p.uri === uri && p.version === version);
    await this.until(() => latest() !== undefined, `diagnostics of ${uri} at version ${version}`);
    return latest()!.diagnostics;
  }

  /** Waits until a condition holds; the error says what did not come. */
  async until(condition: () => boolean, what: string): Promise<void> {
    const end = Date.now() + patience;
    while (!condition()) {
      if (Date.now() > end || this.server.exitCode !== null) {
        throw new Error(`did not come: ${what}. Server: ${this.stderr || "silent"}`);
      }
      await new Promise((resolve) => setTimeout(resolve, 20));
    }
  }

  actions(uri: string, line: number, diagnostics: Diagnostic[] = [], only?: string[]): Promise<CodeAction[]> {
    const at = { line, character: 0 };
    return this.request("textDocument/codeAction", {
      textDocument: { uri },
      range: { start: at, end: at },
      context: { diagnostics, ...(only ? { only } : {}) },
    });
  }

  /** Does to the open document what the editor would; places to fill in get `fill`. */
  async apply(uri: string, edit: WorkspaceEdit, fill = ""): Promise<void> {
    const edits = (edit.documentChanges ?? [])
      .filter(
        (change): change is TextDocumentEdit => "textDocument" in change && change.textDocument.uri === uri,
      )
      .flatMap((change) => change.edits as (TextEdit | SnippetTextEdit)[]);
    if (edits.length === 0) throw new Error(`the edit does not touch ${uri}`);
    await this.edit(
      uri,
      edits.map((e) =>
        "snippet" in e
          ? {
              range: e.range,
              newText: e.snippet.value.replace(/\$\{\d+:[^}]*\}|\$\d+/g, fill).replace(/\\([\\$}])/g, "$1"),
            }
          : e,
      ),
    );
  }

  /** Ends the server as the protocol says and gives its exit code. */
  async end(): Promise<number | null> {
    if (this.server.exitCode !== null) return this.server.exitCode;
    const gone = new Promise<number | null>((resolve) => this.server.once("exit", resolve));
    await this.request("shutdown", undefined);
    await this.connection.sendNotification("exit");
    const hard = setTimeout(() => this.server.kill("SIGKILL"), 5_000);
    const code = await gone;
    clearTimeout(hard);
    this.connection.dispose();
    return code;
  }
}

export const uriOf = (path: string) => pathToFileURL(path).href;

/** The language server: wires the protocol to the review. */
import {
  BulkRegistration,
  CodeActionKind,
  DidChangeConfigurationNotification,
  DidChangeTextDocumentNotification,
  DidCloseTextDocumentNotification,
  DidOpenTextDocumentNotification,
  ErrorCodes,
  LSPErrorCodes,
  ResponseError,
  TextDocumentSyncKind,
  type CancellationToken,
  type Connection,
  type InitializeParams,
  type InitializeResult,
  type WorkspaceEdit,
} from "vscode-languageserver";
import { encodeScene } from "../report/scene-codec.ts";
import { makeScene } from "../report/make-scene.ts";
import type { Review } from "../review/review.ts";
import { boardEdits } from "./board-choice.ts";
import { codeActionsOf } from "./code-actions.ts";
import { createJobEdit, declareThicknessEdit } from "./declare-edits.ts";
import { locator } from "./diagnostics.ts";
import { Documents, fileOf, isProgram } from "./documents.ts";
import { documentEdit, editAbilities, type EditAbilities, type Target } from "./edits.ts";
import { foldingOf } from "./folding.ts";
import { hoverAt } from "./hover.ts";
import { outlineOf } from "./outline.ts";
import { isJobFile, pathOf } from "./paths.ts";
import * as protocol from "./protocol.ts";
import { Publisher } from "./publisher.ts";
import { readInput } from "../report/read-input.ts";
import { Reviews } from "./reviews.ts";
import { Settings, settingsSection } from "./settings.ts";

const notOpen: protocol.Refusal = {
  message: "This program is not open as G-code in the editor. Open it, then try again.",
};

/** Serves one client over a connection until it exits. */
export function serve(connection: Connection): void {
  let canAskSettings = false;
  let canRegisterSettings = false;
  let canRegisterSync = false;
  let rulePages: string | undefined;
  let abilities: EditAbilities = editAbilities(undefined);
  let foldingLimit: number | undefined;

  const documents = new Documents();
  const settings = new Settings(connection, () => canAskSettings);
  const publisher = new Publisher(connection, documents, () => rulePages);
  const reviews = new Reviews(documents, settings, publisher.publish, (message) =>
    connection.console.error(message),
  );

  connection.onInitialize((params: InitializeParams): InitializeResult => {
    const workspace = params.capabilities?.workspace;
    canAskSettings = workspace?.configuration === true;
    canRegisterSettings = workspace?.didChangeConfiguration?.dynamicRegistration === true;
    const synchronization = params.capabilities?.textDocument?.synchronization;
    canRegisterSync = synchronization?.dynamicRegistration === true;
    abilities = editAbilities(params.capabilities);
    foldingLimit = params.capabilities?.textDocument?.foldingRange?.rangeLimit;
    const options = params.initializationOptions as protocol.InitializationOptions | undefined;
    if (typeof options?.rulePages === "string") rulePages = options.rulePages;
    return {
      serverInfo: { name: "Cutwright" },
      capabilities: {
        textDocumentSync: { openClose: true, change: TextDocumentSyncKind.Incremental },
        hoverProvider: true,
        documentSymbolProvider: { label: "Cuts" },
        foldingRangeProvider: true,
        codeActionProvider: { codeActionKinds: [CodeActionKind.QuickFix, CodeActionKind.RefactorRewrite] },
      },
    };
  });
  connection.onInitialized(() => {
    if (canRegisterSettings) {
      void connection.client.register(DidChangeConfigurationNotification.type, { section: settingsSection });
    }
    if (canRegisterSync) {
      // Job files are followed while they are typed, but the editor's own JSON support serves them.
      const documentSelector = [{ pattern: "**/*.job.json" }];
      const registrations = BulkRegistration.create();
      registrations.add(DidOpenTextDocumentNotification.type, { documentSelector });
      registrations.add(DidChangeTextDocumentNotification.type, {
        documentSelector,
        syncKind: TextDocumentSyncKind.Incremental,
      });
      registrations.add(DidCloseTextDocumentNotification.type, { documentSelector });
      void connection.client.register(registrations);
    }
  });
  connection.onDidChangeConfiguration(({ settings: pushed }) => {
    settings.changed(pushed);
    reviews.scheduleAll();
  });
  connection.onDidChangeWatchedFiles(({ changes }) => {
    for (const { uri } of changes) {
      const file = pathOf(uri);
      if (file !== undefined) reviews.scheduleDependents(fileOf(uri));
    }
  });

  documents.manager.onDidChangeContent(({ document }) => {
    if (isProgram(document)) reviews.schedule(document.uri);
    reviews.scheduleDependents(fileOf(document.uri));
  });
  documents.manager.onDidClose(({ document }) => {
    if (isProgram(document)) {
      reviews.forget(document.uri);
      publisher.forget(document.uri);
    }
    // Unsaved text is gone: what rested on it rests on the file again.
    reviews.scheduleDependents(fileOf(document.uri));
  });

  /** The review of a document as it is now; rejects where the request was given up meanwhile. */
  const current = async (uri: unknown, token: CancellationToken) => {
    if (typeof uri !== "string") {
      throw new ResponseError(
        ErrorCodes.InvalidParams,
        "The request names no document: `uri` must be a string.",
      );
    }
    const reviewed = await reviews.current(uri);
    if (token.isCancellationRequested) {
      throw new ResponseError(LSPErrorCodes.RequestCancelled, "The request was given up by the editor.");
    }
    return reviewed;
  };
  const reviewOf = async (
    params: { textDocument?: { uri?: string } } | undefined,
    token: CancellationToken,
  ) => (await current(params?.textDocument?.uri, token))?.review;
  const targetOf = (uri: string, version: number, review: Review): Target => ({
    uri,
    version,
    program: review.program,
  });

  connection.onHover(async (params, token) => {
    const review = await reviewOf(params, token);
    return (review && hoverAt(review, params.position.line)) ?? null;
  });
  connection.onDocumentSymbol(async (params, token) => {
    const review = await reviewOf(params, token);
    return review ? outlineOf(review) : [];
  });
  connection.onFoldingRanges(async (params, token) => {
    const review = await reviewOf(params, token);
    return review ? foldingOf(review, foldingLimit) : [];
  });
  connection.onCodeAction(async (params, token) => {
    const reviewed = await current(params?.textDocument?.uri, token);
    if (!reviewed?.review) return [];
    return codeActionsOf({
      review: reviewed.review,
      target: targetOf(reviewed.uri, reviewed.version, reviewed.review),
      range: params.range,
      diagnostics: params.context.diagnostics,
      only: params.context.only,
      abilities,
    });
  });

  /** A custom request about one program. */
  const onProgram = <P extends protocol.UriParams, R>(
    method: string,
    answer: (review: Review, target: Target, params: P) => R,
  ) => {
    connection.onRequest(method, async (params: P | undefined, token: CancellationToken) => {
      const reviewed = await current(params?.uri, token);
      if (!params || !reviewed) return notOpen;
      if (!reviewed.review) return { message: reviewed.failure ?? notOpen.message };
      return answer(reviewed.review, targetOf(reviewed.uri, reviewed.version, reviewed.review), params);
    });
  };
  onProgram(protocol.sceneRequest, (review, { uri }): protocol.SceneAnswer | protocol.Refusal => {
    if (review.toolpath.motions.count === 0) {
      return { message: "There is nothing to show yet: this program makes no movement." };
    }
    const scene = makeScene(review);
    const locate = locator(review, publisher.placesOf(uri));
    const places = review.findings.filter(({ file }) => file === review.file).map(locate);
    return { scene: encodeScene(scene), places };
  });
  onProgram(protocol.declareThicknessRequest, (review, target) =>
    declareThicknessEdit(review, target, abilities),
  );
  onProgram(protocol.createJobRequest, (review, target) => createJobEdit(review, target.uri, abilities));
  onProgram(
    protocol.chooseBoardRequest,
    (review, _target, params: protocol.ChooseBoardParams): protocol.EditAnswer | protocol.Refusal => {
      const { jobFile } = review.job;
      if (!jobFile || !isJobFile(jobFile)) {
        return {
          message: "No job file lists this program, so there is no board to choose. Create a job file first.",
        };
      }
      if (typeof params.board !== "string") return { message: "The request names no board." };
      let text: string;
      try {
        text = documents.openText(jobFile) ?? readInput(jobFile);
      } catch (error) {
        return { message: error instanceof Error ? error.message : String(error) };
      }
      const result = boardEdits(text, params.board);
      if ("message" in result) return result;
      const uri = documents.uriFor(jobFile);
      const edit: WorkspaceEdit = documentEdit(
        uri,
        documents.get(uri)?.version ?? null,
        result.edits,
        abilities,
      );
      return { edit, opens: uri };
    },
  );

  documents.listen(connection);
  connection.listen();
}

/**
 * What the client and the server say to each other beyond the language server protocol. Names and shapes
 * only, so that both sides import it. All URIs are strings as the editor gave them.
 */
import type { Location, Range, WorkspaceEdit } from "vscode-languageserver";
import type { Severity } from "../review/finding.ts";

/** Handed over at `initialize`. All optional: a plain language client works without. */
export interface InitializationOptions {
  /** Link to the page of a rule, with `{rule}` where its id goes; without it findings carry no link. */
  readonly rulePages?: string;
}

/** About one open program. */
export interface UriParams {
  readonly uri: string;
}

/** Something that could not be done, with the reason and the remedy as a sentence. */
export interface Refusal {
  readonly message: string;
}

/** Request `cutwright/scene` (UriParams): the scene as text (see report/scene-codec) and the place of each of its findings. */
export const sceneRequest = "cutwright/scene";
export interface SceneAnswer {
  readonly scene: string;
  readonly places: readonly Location[];
}

/** Request `cutwright/chooseBoard`: the edit that makes another board of the job the one in force. */
export const chooseBoardRequest = "cutwright/chooseBoard";
export interface ChooseBoardParams extends UriParams {
  readonly board: string;
}

/** Request `cutwright/declareThickness` (UriParams): the edit that puts the declaration at the top. */
export const declareThicknessRequest = "cutwright/declareThickness";

/** Request `cutwright/createJob` (UriParams): the edit that makes a first job file; it never replaces one. */
export const createJobRequest = "cutwright/createJob";

/** Answer of the requests that give an edit. `opens` names the file it changes, `select` what to fill in there. */
export interface EditAnswer {
  readonly edit: WorkspaceEdit;
  readonly opens?: string;
  readonly select?: Range;
}

/** Notification `cutwright/status`: sent after every review. */
export const statusNotification = "cutwright/status";
export interface Status {
  readonly uri: string;
  /** Version of the document that was reviewed. */
  readonly version: number;
  /** Boards of the job file, in its order. */
  readonly boards: readonly string[];
  /** The one in force; null where the board has no name. */
  readonly board: string | null;
  /** Thickness in the program's units ("18.60 mm"), null where it is not declared. */
  readonly thickness: string | null;
  readonly worst: Severity | null;
  readonly counts: Readonly<Record<Severity, number>>;
  /** False where a block was not understood. */
  readonly allRead: boolean;
  /** Sentences on what was not judged. */
  readonly notJudged: readonly string[];
  readonly jobFile: string | null;
}

/** The open documents, by URI and by path. */
import { basename, resolve, sep } from "node:path";
import { TextDocuments, type Connection } from "vscode-languageserver";
import { TextDocument } from "vscode-languageserver-textdocument";
import { isJobFile, pathOf, uriOf } from "./paths.ts";

export type { TextDocument };

/** Language id of programs. */
export const programLanguage = "gcode";

/** Programs and job files that the editor holds open; their text wins over the disk's. */
export class Documents {
  readonly manager = new TextDocuments(TextDocument);

  listen(connection: Connection): void {
    this.manager.listen(connection);
  }

  get(uri: string): TextDocument | undefined {
    return typeof uri === "string" ? this.manager.get(uri) : undefined;
  }

  /** Open documents that are programs. */
  programs(): TextDocument[] {
    return this.manager.all().filter(isProgram);
  }

  /** Text of an open document by its path; undefined where it is not open. */
  openText = (file: string): string | undefined => this.byPath(file)?.getText();

  /** URI to use for a path: the editor's own spelling where the file is open. */
  uriFor(file: string): string {
    return this.byPath(file)?.uri ?? uriOf(file);
  }

  private byPath(file: string): TextDocument | undefined {
    const path = resolve(file);
    return this.manager.all().find((document) => fileOf(document.uri) === path);
  }
}

/** True for documents to review: by language, and never a job file. */
export function isProgram(document: TextDocument): boolean {
  return !isJobFile(document.uri) && document.languageId === programLanguage;
}

/**
 * Path that stands for a document. One that is not on this disk (not saved yet, or from another scheme)
 * gets a path where nothing is, so that its review finds no job file.
 */
export function fileOf(uri: string): string {
  const path = pathOf(uri);
  if (path !== undefined) return resolve(path);
  let name = uri.replace(/^[^:]*:/, "").replace(/[?#].*$/, "");
  try {
    name = decodeURIComponent(name);
  } catch {
    // A stray percent sign: the name is only shown, so it stays as it is.
  }
  return resolve(sep, "not on this disk", basename(name) || "program");
}

/** URIs of the editor and paths of the file system. */
import { fileURLToPath, pathToFileURL } from "node:url";

/** Path of a `file:` URI; undefined for every other scheme and for text that is no URI. Never throws. */
export function pathOf(uri: string): string | undefined {
  if (!/^file:/i.test(uri)) return undefined;
  try {
    return fileURLToPath(uri);
  } catch {
    return undefined;
  }
}

/** URI of a path. */
export function uriOf(path: string): string {
  return pathToFileURL(path).href;
}

/** True for job files, by name. */
export function isJobFile(nameOrUri: string): boolean {
  return /\.job\.json$/i.test(nameOrUri);
}

/** Messages between the editor and the view. Lines and motions are zero-based. */

export type MessageIn =
  | { readonly type: "scene"; readonly scene: string }
  | { readonly type: "cursor"; readonly line: number; readonly endLine: number }
  | { readonly type: "reveal"; readonly motion: number }
  | { readonly type: "empty"; readonly message: string };

export type MessageOut =
  | { readonly type: "ready" }
  | { readonly type: "revealLine"; readonly line: number }
  | { readonly type: "showFinding"; readonly index: number };

/** Reads a message, or gives undefined for anything this view does not know. */
export function readMessage(data: unknown): MessageIn | undefined {
  if (typeof data !== "object" || data === null) return undefined;
  const fields = data as Record<string, unknown>;
  switch (fields.type) {
    case "scene":
      return typeof fields.scene === "string" ? { type: "scene", scene: fields.scene } : undefined;
    case "cursor": {
      const { line, endLine } = fields;
      if (!isIndex(line)) return undefined;
      return { type: "cursor", line, endLine: isIndex(endLine) && endLine >= line ? endLine : line };
    }
    case "reveal":
      return isIndex(fields.motion) ? { type: "reveal", motion: fields.motion } : undefined;
    case "empty":
      return typeof fields.message === "string" ? { type: "empty", message: fields.message } : undefined;
    default:
      return undefined;
  }
}

function isIndex(value: unknown): value is number {
  return typeof value === "number" && Number.isInteger(value) && value >= 0;
}

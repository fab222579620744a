import { createHash } from "node:crypto";
import { printable } from "./printable.ts";

/** Text for an HTML body or a quoted attribute. */
export function escapeHtml(text: string): string {
  return printable(text)
    .replace(/&/g, "&amp;")
    .replace(/</g, "&lt;")
    .replace(/>/g, "&gt;")
    .replace(/"/g, "&quot;")
    .replace(/'/g, "&#39;");
}

/**
 * JSON for a `<script type="application/json">`: the marks that could end the element, and characters that
 * do not show or reorder text, are written as escapes.
 */
export function escapeJsonForHtml(json: string): string {
  // These stand only inside strings of a JSON text, where \u escapes mean the same.
  return json.replace(
    /[<>&\u007f-\u009f\u061c\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff]/g,
    (mark) => `\\u${mark.charCodeAt(0).toString(16).padStart(4, "0")}`,
  );
}

/** The source expression that a content security policy wants for an inline script or style. */
export function policyHash(content: string): string {
  return `'sha256-${createHash("sha256").update(content, "utf8").digest("base64")}'`;
}

/** What marks an HTML file as written by Cutwright, so that it may be written again. */
export const generatorMark = '<meta name="generator" content="Cutwright">';

/** A whole page with a strict content security policy. `script` runs after the body was read. */
export function htmlPage(parts: { title: string; style: string; body: string; script?: string }): string {
  const { title, style, body, script } = parts;
  const policy = [
    "default-src 'none'",
    `style-src ${policyHash(style)}`,
    ...(script === undefined ? [] : [`script-src ${policyHash(script)}`, "img-src data: blob:"]),
    "base-uri 'none'",
    "form-action 'none'",
  ].join("; ");
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
${generatorMark}
<title>${escapeHtml(title)}</title>
<style>${style}</style>
</head>
<body>
${body}
${script === undefined ? "" : `<script>${script}</script>\n`}</body>
</html>
`;
}

/**
 * Text from a program (comments, names) made safe to show: control characters, which could steer a
 * terminal, and characters that reorder or hide text become visible escapes. Tabs become a space.
 */
export function printable(text: string): string {
  return text
    .replace(/\t/g, " ")
    .replace(hidden, (mark) => `\\u${mark.charCodeAt(0).toString(16).padStart(4, "0")}`);
}

// C0 and C1 controls, delete, bidirectional marks and overrides, zero-width characters, line and paragraph separators.
// eslint-disable-next-line no-control-regex -- finding control characters is what this is for
const hidden = /[\u0000-\u001f\u007f-\u009f\u061c\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff]/g;

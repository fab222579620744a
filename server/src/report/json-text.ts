/** JSON, indented, with every character that could steer a terminal or reorder text written as an escape. Ends with a line end. */
export function jsonText(value: unknown): string {
  // JSON.stringify has escaped the C0 controls; these others stand only inside strings.
  return `${JSON.stringify(value, null, 2).replace(
    /[\u007f-\u009f\u061c\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff]/g,
    (mark) => `\\u${mark.charCodeAt(0).toString(16).padStart(4, "0")}`,
  )}\n`;
}

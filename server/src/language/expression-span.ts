/**
 * Where an expression, a parameter or a function call ends in the text. Values are not worked out here: the
 * reader only needs to know which characters belong to the word (NISTIR 6556 section 3.3.2).
 */

const functionNames = /^(ABS|ACOS|ASIN|ATAN|COS|EXP|FIX|FUP|LN|ROUND|SIN|SQRT|TAN)[ \t]*\[/i;

/** Whether a unary function with its bracket begins at `at`. */
export function functionNameAt(text: string, at: number): boolean {
  return functionNames.test(text.slice(at, at + 16));
}

/**
 * End of the bracketed expression or function call at `at`; with `ATAN[y]/[x]` the second bracket belongs
 * to it. An unclosed bracket ends before a comment or at the line end.
 */
export function expressionEnd(text: string, at: number): number {
  const isAtan = /^ATAN/i.test(text.slice(at, at + 4));
  let end = closing(text, text.indexOf("[", at));
  if (isAtan) {
    const slash = /^[ \t]*\/[ \t]*\[/.exec(text.slice(end, end + 64));
    if (slash) end = closing(text, end + slash[0].length - 1);
  }
  return end;
}

/** End of the parameter at `at` (`#3`, `#<depth>`, `##2`, `#[1+2]`). */
export function parameterEnd(text: string, at: number): number {
  let end = at;
  while (text[end] === "#" || text[end] === " " || text[end] === "\t") end++;
  if (text[end] === "[") return closing(text, end);
  if (text[end] === "<") {
    let close = end;
    while (close < text.length && text[close] !== ">" && text[close] !== "\n" && text[close] !== "\r")
      close++;
    return text[close] === ">" ? close + 1 : close;
  }
  const digits = end;
  while (end < text.length && text[end] >= "0" && text[end] <= "9") end++;
  return end > digits ? end : at + 1;
}

/** Offset past the bracket that closes the one at `open`. A counter, not recursion: nesting may be hostile. */
function closing(text: string, open: number): number {
  let depth = 0;
  for (let at = open; at < text.length; at++) {
    const c = text[at];
    if (c === "[") depth++;
    else if (c === "]" && --depth === 0) return at + 1;
    else if (c === "\n" || c === "\r" || c === ";" || c === "(") return at;
  }
  return text.length;
}

/** Small phrases that several findings share. */

/** "line 5", or "lines 5 to 9"; zero-based in. */
export function linesText(first: number, last: number): string {
  return first === last ? `line ${first + 1}` : `lines ${first + 1} to ${last + 1}`;
}

/** "about 12 s", or "under 1 s". */
export function secondsText(seconds: number): string {
  return seconds < 1 ? "under 1 s" : `about ${Math.round(seconds)} s`;
}

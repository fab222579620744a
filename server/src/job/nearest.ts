/** Suggestions for misspelt names. */

/** The known name closest to a misspelt one, if it is close: at most a third of its letters differ, or two. */
export function nearest(name: string, known: readonly string[]): string | undefined {
  let best: string | undefined;
  let least = Math.max(2, Math.ceil(name.length / 3)) + 1;
  // Longer ones are no misspelling; the distance takes time with the product of the lengths.
  const written = name.toLowerCase().slice(0, 40);
  for (const candidate of known) {
    const distance = editDistance(written, candidate.toLowerCase());
    if (distance < least) {
      least = distance;
      best = candidate;
    }
  }
  return best;
}

/** Levenshtein distance. */
function editDistance(a: string, b: string): number {
  let row = Array.from({ length: b.length + 1 }, (_, i) => i);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++) {
      next.push(Math.min(row[j] + 1, next[j - 1] + 1, row[j - 1] + (a[i - 1] === b[j - 1] ? 0 : 1)));
    }
    row = next;
  }
  return row[b.length];
}

/** The known word that someone probably meant. */

/** Optimal string alignment distance: insertions, deletions, replacements and swaps of neighbours (Damerau 1964). */
export function editDistance(a: string, b: string): number {
  let before: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const same = a[i - 1] === b[j - 1] ? 0 : 1;
      let best = Math.min((last[j] ?? 0) + 1, (row[j - 1] ?? 0) + 1, (last[j - 1] ?? 0) + same);
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1])
        best = Math.min(best, (before[j - 2] ?? 0) + 1);
      row.push(best);
    }
    before = last;
    last = row;
  }
  return last[b.length] ?? 0;
}

const plain = (word: string) => word.toLowerCase().replace(/[^a-z0-9]/g, '');
/** The word without its unit: `tilt` of `tilt_deg`, `capacity` of `capacity_mAh`. */
const stem = (word: string) => plain(word.split('_')[0] ?? word);

/**
 * The nearest of the known words, or undefined when none is near. A missing or wrong unit counts little (`tilt`, `tilt_degrees`
 * for `tilt_deg`), so does the beginning of a word (`lat` for `latitude_deg`).
 */
export function nearestWord(word: string, known: readonly string[]): string | undefined {
  if (word.length > 60) return undefined;
  let best: string | undefined;
  let bestScore = Number.POSITIVE_INFINITY;
  for (const candidate of known) {
    const score = Math.min(
      editDistance(plain(word), plain(candidate)),
      editDistance(stem(word), stem(candidate)) + 0.5,
      plain(word).length >= 3 && plain(candidate).startsWith(plain(word)) ? 1.5 : Number.POSITIVE_INFINITY,
    );
    const allowed = Math.max(1.5, Math.min(plain(word).length, plain(candidate).length) / 3);
    if (score <= allowed && score < bestScore) {
      best = candidate;
      bestScore = score;
    }
  }
  return best;
}

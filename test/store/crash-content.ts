/** Text of a revision, as long as chance has it, from which alone one can tell that it is whole. */
export function contentOf(key: string, number: number, run: string): string {
  const name = `${key} ${number} ${run}`;
  let state = [...name].reduce((sum, letter) => (Math.imul(sum, 31) + letter.charCodeAt(0)) | 0, 7);
  const letters = `name: ${name}\n`.padEnd(40, '#');
  state = Math.imul(state ^ (state >>> 15), 0x2c1b3c6d);
  return letters.repeat(1 + ((state >>> 8) % 400));
}

/** Units whose gate is measured in one append. */
export const GATED_UNITS = ['unit:A07-001', 'unit:A07-002'];

/** Note of a gate that was measured when the bench had `head` entries, long enough to be cut. */
export const noteOf = (head: number, run: string) => contentOf('gate', head, run).slice(0, 2000);

/** What the code on a label says. */
import { userError } from '../../core/units/index.ts';

/** Stands for the serial in a maker's pattern. */
export const SERIAL_MARK = '{serial}';

/**
 * Text of a unit's code from the maker's pattern: `{serial}` stands for the serial, escaped where the pattern is an address.
 * Throws UserError on a pattern without it, which would give all units the same code.
 */
export function codeText(pattern: string, serial: string): string {
  if (!pattern.includes(SERIAL_MARK))
    throw userError(
      'code-pattern',
      `'${pattern}' has no {serial}: every label would carry the same code; write for example https://example.org/u/{serial}, or {serial} alone`,
      { field: 'code' },
    );
  const address = /^[a-z][a-z0-9+.-]*:/i.test(pattern);
  return pattern.replaceAll(SERIAL_MARK, () => (address ? encodeURIComponent(serial) : serial));
}

import * as design from '../../state/design.ts';

/** What the pictures in hand are of, for their titles and files. */
export function nameOf(): string {
  const shown = design.shown.value;
  return shown ? `${shown.kit} at ${shown.perch}` : '';
}

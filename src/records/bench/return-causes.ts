/** What was wrong with a unit that came back, so that returns can be counted; the text beside it says the rest. */
export const RETURN_CAUSES = [
  'went dark',
  'charges no more',
  'no radio',
  'antenna',
  'cells',
  'water',
  'housing',
  'fixing',
  'settings',
  'hurt on its way',
  'not wanted',
  'nothing found',
  'other',
] as const;
export type ReturnCause = (typeof RETURN_CAUSES)[number];

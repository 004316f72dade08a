/** What can be chosen for a passport. No forecast: it is of a place, and whose place that is stays in the workshop. */
export const PASSPORT_PARTS = ['kit', 'made', 'gates', 'lots', 'papers', 'care', 'shipped'] as const;
export type PassportPart = (typeof PASSPORT_PARTS)[number];

/** Largest file that is kept as evidence. Apart from the schemas, so that pages need not load those for it. */
export const EVIDENCE_MOST_bytes = 10_000_000;

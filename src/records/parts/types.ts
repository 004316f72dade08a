import type { RawMapping } from '../loose.ts';

/** A generic part to start from, named by what it is. Its fields are the base; a record's own fields override them. */
export interface Part {
  readonly id: string;
  /** What it is, in a line. */
  readonly title: string;
  /** Where its figures come from; most are typical values, not one product's. */
  readonly source: string;
  readonly fields: Readonly<RawMapping>;
}

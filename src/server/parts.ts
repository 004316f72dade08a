/** What the routes stand on. */

import type { PaperOutcome } from '../app/bench/papers-of.ts';
import type { WorkshopStore } from '../app/store-port.ts';
import type { TerrainDesk } from '../app/terrain-desk.ts';
import type { Page, PaperName } from '../app/year-report.ts';
import type { Access } from './access.ts';
import type { Exposure } from './exposure.ts';
import type { Jobs } from './jobs.ts';
import type { Results } from './results.ts';

export interface Fonts {
  readonly regular: string;
  readonly bold: string;
  readonly mono: string;
}

/** A file of the pages as it is served. */
export interface PageFile {
  readonly bytes: Uint8Array<ArrayBuffer>;
  readonly type: string;
  readonly tag: string;
}

export interface ServerParts {
  readonly store: WorkshopStore;
  /** Name of the workshop as the pages show it. */
  readonly name: string;
  readonly jobs: Jobs;
  readonly results: Results;
  /** Absent: the server was started without one. */
  readonly terrain?: TerrainDesk | undefined;
  readonly access: Access;
  readonly exposure: Exposure;
  readonly version: string;
  /** Now, UTC, ISO 8601. */
  readonly now: () => string;
  readonly log: (line: string) => void;
  /** Files of the pages by path, `/index.html` among them; nothing else of the disk can be asked for. */
  readonly pages: ReadonlyMap<string, PageFile>;
  readonly fonts?: Fonts | undefined;
  /** Sets a report on paper, as PDF. */
  readonly setOnPaper: (page: Page, paper: PaperName) => Promise<Uint8Array>;
  /** Sets a paper of the bench, as PDF. */
  readonly setBenchPaper: (paper: PaperOutcome) => Promise<{ bytes: Uint8Array; notes: readonly string[] }>;
}

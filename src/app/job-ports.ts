/** What a job needs from outside. */
import type { Terrain } from '../formats/terrain.ts';
import type { CoverFile } from './cover-file.ts';
import type { TextFile } from './job-kinds.ts';
import type { Ports } from './ports.ts';

/** The radio commands are run only where a terrain is; loaded when first wanted. */
export interface JobPorts extends Pick<Ports, 'progress' | 'runTasks'> {
  openTerrain?(): Promise<Terrain>;
  /** The same for first looks: it may keep what it gave last. */
  openForLooks?(): Promise<Terrain>;
  /** Reads ground cover; where the same file comes again and again it may answer from memory. */
  readCover?(file: TextFile): CoverFile;
}

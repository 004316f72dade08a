import type { Box, GridFrame, HeightGrid } from '../core/terrain/index.ts';
import type { Problem } from '../core/units/index.ts';
import type { EarthBox } from '../formats/geodesic.ts';
import type { Window } from '../formats/geotiff-window.ts';
import type { Projection } from '../formats/projection.ts';

/** One file of heights whose place is known. */
export interface Tile {
  readonly file: string;
  readonly frame: GridFrame;
  /** What its reader took for granted. */
  readonly notes: readonly string[];
  /** Heights, at least of the window. */
  load(window: Window): Promise<HeightGrid>;
}

/** Tiles on one lattice. */
export interface Layer {
  /** Any frame of the lattice. */
  readonly frame: GridFrame;
  readonly projection: Projection;
  /** Where its tiles lie, as far as that is known without reading them. */
  readonly box: EarthBox | null;
  /** Tiles that touch a box in the lattice's unit. */
  tilesIn(box: Box): Promise<Tile[]>;
  /** Names of tiles that would fill a box but are not there, as far as they can be told. */
  absentIn(box: Box): Promise<string[]>;
}

/** A file whose place is known but whose contents are wrong: told only to those who need it. */
export interface BadTile {
  readonly problem: Problem;
  readonly west_deg: number;
  readonly south_deg: number;
}

/** What a source of terrain has. */
export interface Contents {
  readonly layers: readonly Layer[];
  readonly badTiles: readonly BadTile[];
  /** Files that were passed over, and why. */
  readonly passedOver: readonly Problem[];
  /** What there is, in a few words. */
  readonly extent: string;
}

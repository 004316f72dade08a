/** Questions about one terrain, answered from what stays loaded between them. */
import type { EarthBox, EarthPoint } from '../formats/geodesic.ts';
import type { OpenTerrain, Terrain } from '../formats/terrain.ts';
import { type CoverFile, readCover } from './cover-file.ts';
import { elevation } from './elevation.ts';
import { runJob } from './job.ts';
import type { JobInput, TextFile } from './job-kinds.ts';
import type { JobPorts } from './job-ports.ts';
import { lastPatch } from './last-patch.ts';
import { type GroundProfile, type Rays, terrainProfile, terrainRays } from './terrain-rays.ts';
import { createShading, type Shading, type TilePlace } from './terrain-shade.ts';

export interface TerrainAbout {
  readonly name: string;
  /** Of all tiles; null from a server. */
  readonly box: EarthBox | null;
  readonly notes: readonly string[];
}

/** Answers with UserError for what is wrong with a question or with the terrain's files. */
export interface TerrainDesk {
  about(): Promise<TerrainAbout>;
  /** Changes with the files of the terrain. */
  identity(): Promise<string>;
  /** Hillshade as PNG. */
  shade(place: TilePlace): Promise<Uint8Array>;
  height_m(place: EarthPoint): Promise<number | null>;
  rays(place: EarthPoint, radius_km: number): Promise<Rays>;
  profile(from: EarthPoint, to: EarthPoint): Promise<GroundProfile>;
  /** A job that is short enough to be answered here. */
  quick(input: JobInput): Promise<unknown>;
}

/** Where the terrain comes from. */
export interface TerrainSource {
  open(): Promise<OpenTerrain>;
  /** Names, sizes and times of the files. */
  identity(): Promise<string>;
  now_ms(): number;
}

/** The files are looked at again after so long. */
const LOOK_AGAIN_ms = 2000;

/** Opens the terrain with the first question, and again when its files have changed. */
export function createTerrainDesk(source: TerrainSource, ports: JobPorts): TerrainDesk {
  let looked_ms = Number.NEGATIVE_INFINITY;
  let known:
    | { identity: string; terrain: Promise<OpenTerrain>; shading?: Shading; looks?: Promise<Terrain> }
    | undefined;

  const current = async () => {
    const now_ms = source.now_ms();
    if (known === undefined || now_ms - looked_ms > LOOK_AGAIN_ms) {
      looked_ms = now_ms;
      const identity = await source.identity();
      if (known?.identity !== identity) {
        const opened = { identity, terrain: source.open() };
        known = opened;
        // What could not be opened is tried again with the next question.
        opened.terrain.catch(() => {
          if (known === opened) known = undefined;
        });
      }
    }
    return known!;
  };
  const terrain = async () => (await current()).terrain;
  const looks = async () => {
    const now = await current();
    now.looks ??= now.terrain.then(lastPatch);
    return now.looks;
  };
  let cover: { readonly text: string; readonly file: CoverFile } | undefined;
  /** While something is dragged the same file comes with every question. */
  const coverOf = ({ name, text }: TextFile): CoverFile => {
    if (cover?.text !== text || cover.file.file !== name) cover = { text, file: readCover(text, name) };
    return cover.file;
  };

  return {
    async about() {
      const { name, box, notes } = await terrain();
      return { name, box, notes };
    },
    async identity() {
      return (await current()).identity;
    },
    async shade(place) {
      const now = await current();
      now.shading ??= createShading(await now.terrain);
      return now.shading.tile(place);
    },
    async height_m(place) {
      return (await elevation(place, await terrain())).height_m;
    },
    rays: async (place, radius_km) => terrainRays(await terrain(), place, radius_km),
    profile: async (from, to) => terrainProfile(await terrain(), from, to),
    quick: (input) => runJob({ ...ports, openTerrain: terrain, openForLooks: looks, readCover: coverOf }, input),
  };
}

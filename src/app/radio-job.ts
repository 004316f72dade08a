/** Reach, rank and horizon as jobs: what came as values is read as the command line reads its files. */
import { userError } from '../core/units/index.ts';
import { base64 } from '../formats/base64.ts';
import type { Terrain } from '../formats/terrain.ts';
import type { Page } from '../report/index.ts';
import { weatherOf } from './check-record.ts';
import { readCover } from './cover-file.ts';
import { elevation } from './elevation.ts';
import { type HorizonView, horizon } from './horizon.ts';
import type { JobInput, JobPlace, RadioInput } from './job-kinds.ts';
import { RADIO_LIMITS } from './job-kinds.ts';
import type { JobPorts } from './job-ports.ts';
import { type LimitLines, limitLines } from './limit-lines.ts';
import type { Ports } from './ports.ts';
import { type RankOutcome, rank } from './rank.ts';
import { type Reach, type ReachOutcome, reach } from './reach.ts';
import { reachPageOf } from './reach-document.ts';
import { type ReachMapPicture, reachMapPicture } from './reach-picture.ts';
import { reachReport } from './reach-report.ts';
import { thinnedTerrain } from './thinned-terrain.ts';

/** The report of a reach, to be laid out or set on paper. */
export interface ReachReportResult {
  readonly command: 'reach';
  readonly verdict: string;
  readonly kit: string;
  readonly perch: string;
  readonly page: Page;
}

export interface ReachJobResult {
  readonly outcome: ReachOutcome;
  readonly picture: Omit<ReachMapPicture, 'png' | 'margin_dB' | 'odds'> & {
    readonly png: string;
    readonly margin_dB: string;
    readonly odds: string;
  };
  /** Rules of the region that was named, for both ends. */
  readonly limits: LimitLines | null;
}

/** Runs one. Throws UserError for what does not fit together, and where the terrain has no height. */
export async function runRadioJob(
  { readCover: coverOf = ({ name, text }) => readCover(text, name), ...ports }: JobPorts,
  terrain: Terrain,
  { command, kit, perch, radio }: JobInput,
): Promise<ReachJobResult | ReachReportResult | RankOutcome | HorizonView> {
  if (radio === undefined) throw new RangeError(`runRadioJob: ${command} without its input`);
  const self = command === 'rank' ? NOBODY : await selfOf(terrain, perch, radio);
  const others =
    command === 'horizon'
      ? await Promise.all((radio.perches ?? []).filter((p) => !sameSpot(p, self)).map((p) => perchValue(terrain, p)))
      : [];
  const files: Record<string, unknown> = { kit, perch: self.value, to: radio.to };
  for (const name of ['places', 'candidates', 'perches'] as const)
    files[name] = radio[name]?.map(({ value: _, ...place }) => place);
  others.forEach((value, i) => {
    files[`other ${i + 1}`] = value;
  });
  const measured = radio.measured && `measured links ${radio.measured.name}`;
  const all: Ports = {
    progress: ports.progress,
    runTasks: ports.runTasks,
    readText: async (name) =>
      name === measured ? radio.measured!.text : (JSON.stringify(files[name]) ?? notHere(name)),
    readWeather: async (path) => {
      throw new RangeError(`runRadioJob: the weather of ${path} plays no part`);
    },
  };
  const { height_m, targetHeight_m, clutter_m, indoors, woods_m } = radio;
  const cover = radio.cover && coverOf(radio.cover);
  const around = { cover, woods_m, measured, ...(indoors === undefined ? {} : { indoors }) };
  const ends = {
    kit: kit === undefined ? undefined : 'kit',
    toKit: radio.to === undefined ? undefined : 'to',
    height_m,
  };
  switch (command) {
    case 'reach': {
      const found = await reach(
        all,
        {
          ...ends,
          perch: self.spot,
          radius_km: radio.radius_km ?? RADIO_LIMITS.radius_km.usual.reach,
          targetHeight_m,
          clutter_m,
          ...around,
          places: (radio.places ?? []).length > 0 ? 'places' : undefined,
          perches: (radio.perches ?? []).length > 0 ? 'perches' : undefined,
          candidates: radio.report && (radio.candidates ?? []).length > 0 ? 'candidates' : undefined,
          region: radio.report ? radio.region : undefined,
        },
        radio.detail === 'coarse' ? thinnedTerrain(terrain) : terrain,
      );
      if (radio.report) return reportOf(all, terrain, found, { ...ends, perch: self.spot, notes: self.notes }, radio);
      const { png, margin_dB, odds, ...picture } = reachMapPicture(found);
      return {
        outcome: { ...found.outcome, notes: [...self.notes, ...found.outcome.notes] },
        picture: {
          ...picture,
          png: `data:image/png;base64,${base64(png)}`,
          margin_dB: base64(margin_dB),
          odds: base64(odds),
        },
        limits: radio.region === undefined ? null : limitLines(radio.region, [found.scale.from, found.scale.to]),
      };
    }
    case 'rank': {
      const { area } = radio;
      if (area === undefined) throw new RangeError('runRadioJob: a ranking without an area');
      return rank(
        all,
        {
          ...ends,
          kit: 'kit',
          candidates: 'candidates',
          area: `${decimal(area.latitude_deg)},${decimal(area.longitude_deg)},${decimal(area.radius_km)}`,
          places: (radio.places ?? []).length > 0 ? 'places' : undefined,
          perches: (radio.perches ?? []).length > 0 ? 'perches' : undefined,
          targetHeight_m,
          ...around,
        },
        terrain,
      );
    }
    case 'horizon': {
      const view = await horizon(
        all,
        {
          ...ends,
          perch: self.spot,
          others: others.map((_, i) => `other ${i + 1}`),
          radius_km: radio.radius_km,
        },
        terrain,
      );
      return { ...view, outcome: { ...view.outcome, notes: [...self.notes, ...view.outcome.notes] } };
    }
    default:
      throw new RangeError(`runRadioJob: ${command} is no radio job`);
  }
}

/** The same page as the command line writes with `--report`. */
async function reportOf(
  ports: Ports,
  terrain: Terrain,
  found: Reach,
  { notes, ...of }: { readonly perch: string; readonly kit: string | undefined; readonly notes: readonly string[] },
  { cover, measured }: RadioInput,
): Promise<ReachReportResult> {
  const report = await reachReport(ports, of, found, terrain);
  const { perch, kit, verdict } = found.outcome;
  const made = [perch, kit, cover?.name, measured?.name, terrain.name].filter((m) => m !== undefined);
  const page = reachPageOf({ ...report, notes: [...notes, ...report.notes] }, found, made);
  return { command: 'reach', verdict, kit, perch, page };
}

/** Files that other files name are not sent along. */
function notHere(name: string): string {
  throw userError('not-in-workshop', `${name} is not here: call perches and places by their names, or by LAT,LON`, {
    file: name,
  });
}

interface Spot {
  readonly latitude_deg: number;
  readonly longitude_deg: number;
}
interface Self extends Partial<Spot> {
  readonly value?: unknown;
  /** As the command line would name it. */
  readonly spot: string;
  readonly notes: readonly string[];
}

/** A ranking has no perch of its own. */
const NOBODY: Self = { spot: '', notes: [] };

/** Whether a perch is the one in question: it does not see itself. */
const sameSpot = (a: Spot, b: Partial<Spot>): boolean =>
  Math.abs(a.latitude_deg - (b.latitude_deg ?? Number.NaN)) < 1e-6 &&
  Math.abs(a.longitude_deg - (b.longitude_deg ?? Number.NaN)) < 1e-6;

/** The perch in question: its record, a named point as a record, or a bare position. */
async function selfOf(terrain: Terrain, perch: unknown, { at }: RadioInput): Promise<Self> {
  if (perch !== undefined) {
    const notes =
      weatherOf(perch) === undefined
        ? []
        : [
            'The weather file that the perch names is not in the workshop: its darkest month is that of the nearest built-in climate.',
          ];
    const { latitude_deg, longitude_deg } = perch as Partial<Spot>;
    return { value: withoutWeather(perch), spot: 'perch', notes, latitude_deg, longitude_deg } as Self;
  }
  if (at === undefined)
    throw userError('no-perch', 'a perch is wanted: its id, its value, or a point as `at`', { field: 'perch' });
  const { name, latitude_deg, longitude_deg, height_m } = at;
  const place = { latitude_deg, longitude_deg, notes: [] };
  if (name !== undefined) return { value: await perchValue(terrain, { ...at, name }), spot: 'perch', ...place };
  const height = height_m === undefined ? '' : `,${decimal(height_m)}`;
  return { spot: `${decimal(latitude_deg)},${decimal(longitude_deg)}${height}`, ...place };
}

/** A point as a perch, of which nothing else is known; a perch as it is. */
async function perchValue(terrain: Terrain, { value, access: _, ...place }: JobPlace): Promise<unknown> {
  if (value !== undefined) return withoutWeather(value);
  const { latitude_deg, longitude_deg } = place;
  const { height_m } = await elevation({ latitude_deg, longitude_deg }, terrain);
  return { ...place, name: place.name.slice(0, 80), elevation_m: Math.round(height_m ?? 0) };
}

/** Radio asks for no weather: a file that is not here must not stand in the way. */
function withoutWeather(perch: unknown): unknown {
  return weatherOf(perch) === undefined ? perch : { ...(perch as object), climate: 'nearest' };
}

/** A number without an exponent, to a millimetre on the ground. */
const decimal = (value: number): string => value.toFixed(8).replace(/\.?0+$/, '');

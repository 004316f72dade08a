/** What takes long enough to be a job. */
export const ENERGY_COMMANDS = ['year', 'size', 'where', 'thresholds', 'spells'] as const;
/** Jobs that need a terrain. */
export const RADIO_COMMANDS = ['reach', 'rank', 'horizon'] as const;
export const JOB_COMMANDS = [...ENERGY_COMMANDS, ...RADIO_COMMANDS] as const;
export type JobCommand = (typeof JOB_COMMANDS)[number];
/** What the server itself asks for: not to be had under /api/jobs. */
export type OwnCommand = 'place';
export type RadioCommand = (typeof RADIO_COMMANDS)[number];

type Need = 'must' | 'may' | 'no';

/** Which records a command needs; a point on the ground does in place of a perch where it may. */
export const JOB_NEEDS: Readonly<Record<JobCommand, { readonly kit: Need; readonly perch: Need }>> = {
  year: { kit: 'must', perch: 'must' },
  size: { kit: 'must', perch: 'must' },
  where: { kit: 'must', perch: 'no' },
  thresholds: { kit: 'must', perch: 'must' },
  spells: { kit: 'no', perch: 'must' },
  reach: { kit: 'may', perch: 'may' },
  rank: { kit: 'must', perch: 'no' },
  horizon: { kit: 'may', perch: 'may' },
};

export const isRadio = (command: JobCommand | OwnCommand): command is RadioCommand =>
  (RADIO_COMMANDS as readonly string[]).includes(command);

/** More years than this are not simulated: memory, and the weather model itself is not that well known. */
export const MOST_JOB_YEARS = 1000;

/** Limits of radio jobs, which hold a server's cores. */
export const RADIO_LIMITS = {
  radius_km: { least: 1, most: 40, usual: { reach: 15, horizon: 20 } },
  places: 200,
  candidates: 50,
  /** Characters of a file of ground cover, and of one of measured links. */
  cover: 2_000_000,
  measured: 200_000,
} as const;

/** Zooms of the hillshade. */
export const SHADE_ZOOM = { least: 6, most: 16 } as const;

/** A point with a name; `value` is the whole perch where one stands there. */
export interface JobPlace {
  readonly name: string;
  readonly latitude_deg: number;
  readonly longitude_deg: number;
  readonly height_m?: number;
  readonly access?: string;
  readonly value?: unknown;
}

/** A file that came as text, under the name that messages tell. */
export interface TextFile {
  readonly name: string;
  readonly text: string;
}

/** What a radio job has beside kit and perch. */
export interface RadioInput {
  readonly at?: Omit<JobPlace, 'name'> & { readonly name?: string };
  readonly height_m?: number;
  /** The kit at the other end; absent: a hand-held. */
  readonly to?: unknown;
  readonly radius_km?: number;
  readonly targetHeight_m?: number;
  readonly detail?: 'coarse' | 'full';
  readonly places?: readonly JobPlace[];
  readonly candidates?: readonly JobPlace[];
  readonly perches?: readonly JobPlace[];
  readonly area?: { readonly latitude_deg: number; readonly longitude_deg: number; readonly radius_km: number };
  readonly region?: string;
  readonly indoors?: 'traditional' | 'efficient';
  readonly clutter_m?: number;
  /** Ground cover as GeoJSON; measured links as CSV. */
  readonly cover?: TextFile;
  readonly woods_m?: number;
  readonly measured?: TextFile;
  /** The report page in place of rasters. */
  readonly report?: boolean;
  /** Which terrain: the answer belongs to its files as they are. */
  readonly terrain: string;
}

/** Where the units of an order will stand. */
export interface PlaceInput {
  readonly name: string;
  readonly latitude_deg: number;
  readonly longitude_deg: number;
  /** Perch of the workshop that the place is: key, and file as plain value. */
  readonly perch: { readonly key: string; readonly value: unknown } | null;
  /** Key and revision of the kit, for the answer. */
  readonly kit: string;
  readonly kitNumber: number;
  readonly notes: readonly string[];
}

/** A job with everything that its result depends on: plain data, the same on every machine. */
export interface JobInput {
  readonly command: JobCommand | OwnCommand;
  /** The kit's file as plain value. */
  readonly kit?: unknown;
  readonly perch?: unknown;
  readonly years?: number;
  readonly seed?: number;
  readonly target?: string;
  readonly radio?: RadioInput;
  readonly place?: PlaceInput;
}

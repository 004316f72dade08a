import type { UnitValue } from '../app/bench/measurements.ts';
import type { PlaceOutcome } from '../app/bench/place-check.ts';
import type { PlaceLook } from '../app/bench/ship-check.ts';
import type { ImportOutcome } from '../app/bench/tables.ts';
import type { UnitPlace } from '../app/bench/unit-forecast.ts';
import type { UnitOutcome } from '../app/bench/unit-look.ts';
import type { UsedValue } from '../app/bench/unit-values.ts';
import type { HorizonView } from '../app/horizon.ts';
import type { RankOutcome } from '../app/rank.ts';
import type { ReachOutcome } from '../app/reach.ts';
import type { Assumption, YearOutcome, YearPictures, YearStrip } from '../core/energy/index.ts';
import type { Problem } from '../core/units/index.ts';

/** Types that server and browser share. Types only: nothing here runs. */

export type RecordKind = 'kit' | 'perch' | 'net';

/** Kinds that the pages have a form for. */
export type FormKind = Exclude<RecordKind, 'net'>;

/** One kit, perch or net in a list. */
export interface RecordSummary {
  /** Kind and key, `kit:alder-3`: one segment of a path. */
  readonly id: string;
  readonly kind: RecordKind;
  readonly name: string;
  readonly revision: number;
  /** ISO 8601, UTC. */
  readonly saved: string;
  /** The year strip of the last result that has this record, if any; a net has none. */
  readonly strip: YearStrip | null;
  readonly place?: { readonly latitude_deg: number; readonly longitude_deg: number };
}

/** A kit, perch or net with the revision it stands at. `value` is the record as its file would say it. */
export interface StoredRecord extends RecordSummary {
  readonly value: unknown;
  readonly text: string;
  readonly assumptions: readonly Assumption[];
  /** The newest revision takes the record away; `value` is then null and undo brings it back. */
  readonly removed?: true;
}

/** Answer of GET /api/workshop. */
export interface WorkshopOverview {
  readonly name: string;
  readonly records: readonly RecordSummary[];
  /** What wants a look, most pressing first. */
  readonly attention: readonly { readonly text: string; readonly kit?: string; readonly perch?: string }[];
}

/** PUT /api/records/:id and POST /api/records. `from` is the revision that the change was made from: PUT needs it. */
export interface SaveRequest {
  readonly kind: RecordKind;
  readonly value: unknown;
  /** The file as its maker wrote it, comments and all; must say the same as `value`. Absent: written from `value`. */
  readonly text?: string;
  readonly from?: number;
  /** One line on why, kept with the revision. */
  readonly note?: string;
}

/** POST /api/undo: the record as it was before its newest revision. `from` as for a save; absent: whichever is newest. */
export interface UndoRequest {
  readonly id: string;
  readonly kind?: RecordKind;
  readonly from?: number;
}

/** POST /api/check/:kind, while somebody types: the file's text, or its value. */
export type CheckRequest = { readonly text: string } | { readonly value: unknown };

/** Answer of POST /api/check/:kind: what is wrong, or what is taken for granted. */
export interface CheckAnswer {
  readonly problems: readonly Problem[];
  readonly assumptions: readonly Assumption[];
}

/** One revision of GET /api/records/:id/history, oldest first. */
export interface RevisionSummary {
  readonly revision: number;
  readonly name: string;
  readonly saved: string;
  readonly note: string;
  readonly removed: boolean;
  /** The earlier revision that this one brings back. */
  readonly restores: number | null;
}

/** 409: somebody else has saved meanwhile. */
export interface StaleSave {
  readonly code: 'stale';
  readonly message: string;
  readonly revision: number;
  readonly changed: readonly { readonly field: string; readonly theirs: unknown; readonly yours: unknown }[];
}

/** 400 and 422: what is wrong with what was sent, all at once. */
export interface ProblemAnswer {
  readonly problems: readonly Problem[];
}

/** What can be computed as a job. */
export type JobCommand = 'year' | 'size' | 'where' | 'thresholds' | 'spells' | 'reach' | 'rank' | 'horizon';

/** A point on the ground with a name; `height_m` is the antenna's above the ground. */
export interface PlaceInput {
  readonly name: string;
  readonly latitude_deg: number;
  readonly longitude_deg: number;
  readonly height_m?: number;
}

/** A file as text, and the name by which messages call it. */
export interface FileInput {
  readonly name: string;
  readonly text: string;
}

/** A spot that might be taken; `access` in words: a path, an hour's walk. */
export interface CandidateInput extends PlaceInput {
  readonly access?: string;
}

/**
 * POST /api/jobs. Kit and perch by id, or as values that need not be saved. `years`, `seed`, `target` belong to the energy
 * commands; all below to reach, rank and horizon, which need a terrain (GET /api/terrain).
 */
export interface JobRequest {
  readonly command: JobCommand;
  readonly kit?: string | { readonly value: unknown };
  readonly perch?: string | { readonly value: unknown };
  readonly years?: number;
  readonly seed?: number;
  readonly target?: string;
  /** In place of `perch`: a point with nothing known of it but its position. */
  readonly at?: Omit<PlaceInput, 'name'> & { readonly name?: string };
  /** Antenna of the perch above the ground, in place of the perch's own; of candidates that tell none. */
  readonly height_m?: number;
  /** The other end: a hand-held (also when absent), or a kit by id or value. */
  readonly to?: string | { readonly value: unknown };
  /** 1 to 40; 15 when absent (horizon: 20). */
  readonly radius_km?: number;
  readonly targetHeight_m?: number;
  /** 'coarse': on a thinned grid, for a picture that follows the hand; the notes say so. */
  readonly detail?: 'coarse' | 'full';
  /** Places that are to be reached, at most 200: points, or ids of perches. */
  readonly places?: readonly (PlaceInput | string)[];
  /** Of rank, at most 50: points, or ids of perches. */
  readonly candidates?: readonly (CandidateInput | string)[];
  /** Perches that stand, at most 200: ids, or points. Rank: whose sight is counted; horizon: who is drawn in; reach: whom measured links name. */
  readonly perches?: readonly (PlaceInput | string)[];
  /** Of rank: what is to be served. */
  readonly area?: { readonly latitude_deg: number; readonly longitude_deg: number; readonly radius_km: number };
  /** Of reach: the report in place of the rasters, to be laid out by POST /api/report; `candidates` are then whom its role is told among. */
  readonly report?: boolean;
  /** Region whose radio rules are told with a reach: US, EU, UK, AU, NZ, JP or IN. */
  readonly region?: string;
  /** The other end stands in a house of that kind. */
  readonly indoors?: 'traditional' | 'efficient';
  /** What stands on the ground, told in one of three ways: a height of woods or houses on all of it, GeoJSON, or wood around the other end. */
  readonly clutter_m?: number;
  readonly cover?: FileInput;
  readonly woods_m?: number;
  /** Measured links as CSV: they move the computed loss and narrow its error. A reach finds their ends among `places` and `perches`. */
  readonly measured?: FileInput;
}

export type JobState = 'waiting' | 'running' | 'done' | 'failed' | 'stopped';

/** GET /api/jobs/:id, and each event of GET /api/jobs/:id/events. */
export interface JobStatus {
  readonly id: string;
  /** `place` is begun under /api/bench/orders/{order}/place. */
  readonly command: JobCommand | 'place';
  readonly state: JobState;
  readonly done: number;
  readonly total: number;
  readonly what: string;
  /** Hash of the inputs: the result's key in the cache. */
  readonly key: string;
  readonly problems?: readonly Problem[];
}

/** What JSON makes of a result: typed arrays are lists; a number that is none (NaN) is null, whatever the type says. */
export type OverWire<T> = T extends Float32Array | Float64Array | Uint8Array | Uint16Array
  ? readonly number[]
  : T extends object
    ? { readonly [K in keyof T]: OverWire<T[K]> }
    : T;

/** GET /api/results/:key of a year. The other commands answer with their outcome as `--json` prints it. */
export interface YearAnswer {
  readonly outcome: YearOutcome;
  readonly pictures: OverWire<YearPictures>;
}

/** A raster for the map, row by row from the north-west: columns even in longitude, rows even on a web-Mercator map. */
export interface ReachPicture {
  readonly box: GeoBox;
  readonly rows: number;
  readonly columns: number;
  /** Data URI (image/png, RGBA): the margin in cividis, clear where it is not reached. */
  readonly png: string;
  /** Base64 of an Int8Array of `rows` x `columns`, dB, cut at ±127; -128: not known, or beyond the radius. */
  readonly margin_dB: string;
  /** Base64 of a Uint8Array of the same shape: odds of being reached in per cent, plus 128 in line of sight; 255: not known. */
  readonly odds: string;
  /** Colours from 0 dB upwards. */
  readonly legend: readonly { readonly margin_dB: number; readonly color: string }[];
}

/** GET /api/results/:key of a reach. */
export interface ReachAnswer {
  readonly outcome: ReachOutcome;
  readonly picture: ReachPicture;
  /** Rules of the region that was named, for both ends; null without one. */
  readonly limits: {
    readonly region: string;
    readonly lines: readonly { readonly end: string; readonly text: string; readonly within: boolean }[];
  } | null;
}

/** GET /api/results/:key of a reach with `report`; the page is for POST /api/report. */
export interface ReachReportAnswer {
  readonly command: 'reach';
  readonly verdict: string;
  readonly kit: string;
  readonly perch: string;
  readonly page: unknown;
}

/** GET /api/results/:key of a rank. */
export type RankAnswer = RankOutcome;

/** GET /api/results/:key of a horizon: the outcome, and what `panorama()` of the reports takes, its typed arrays as lists. */
export type HorizonAnswer = OverWire<HorizonView>;

export interface GeoBox {
  readonly south_deg: number;
  readonly north_deg: number;
  readonly west_deg: number;
  readonly east_deg: number;
}

/** GET /api/terrain. Hillshade as map tiles: GET /api/terrain/shade/{z}/{x}/{y}, 256 px, zoom 6 to 16, grey and alpha. */
export interface TerrainAnswer {
  readonly available: boolean;
  readonly name: string;
  /** Of all tiles that are known; null when there is no terrain, or when it comes from a server and has no bounds. */
  readonly box: GeoBox | null;
  readonly notes: readonly string[];
}

/** GET /api/terrain/height?latitude_deg=…&longitude_deg=…; null where the terrain has none. */
export interface HeightAnswer {
  readonly height_m: number | null;
}

/** POST /api/terrain/rays; the radius is 20 km when absent. */
export interface RaysRequest {
  readonly latitude_deg: number;
  readonly longitude_deg: number;
  readonly radius_km?: number;
}

/** Ground along rays to all sides, from which a skyline follows for any height of the mast. */
export interface RaysAnswer {
  readonly ground_m: number;
  /** Rays at even azimuths, clockwise from true north: ray k points to 360 k / azimuths degrees. */
  readonly azimuths: number;
  /** Distances of the points of every ray, m, rising; the place itself is not among them. */
  readonly distance_m: readonly number[];
  /** Base64 of an Int16Array, little-endian, ray after ray: quarter metres above the sea; -32768 where there is no height. */
  readonly height_qm: string;
}

/** POST /api/terrain/profile. */
export interface ProfileRequest {
  readonly from: { readonly latitude_deg: number; readonly longitude_deg: number };
  readonly to: { readonly latitude_deg: number; readonly longitude_deg: number };
}

/** Ground from one place to another along the geodesic, both ends included, at most 1000 points. */
export interface ProfileAnswer {
  readonly distance_km: readonly number[];
  readonly height_m: readonly (number | null)[];
  /** Of the other place, from true north. */
  readonly azimuth_deg: number;
}

/**
 * POST /api/report, an HTML page or a PDF: of a year that was computed, where `size` adds the map of panel and cells; or of a reach
 * that was asked for with `report`. One of `year` and `reach`.
 */
export interface ReportRequest {
  readonly year?: string;
  readonly reach?: string;
  readonly size?: string;
  readonly format?: 'html' | 'pdf';
  readonly paper?: 'A4' | 'letter';
}

/** GET /api/session. `open` is always true where no passphrase is demanded. POST /api/session logs in, DELETE logs out. */
export interface SessionAnswer {
  readonly passphrase: boolean;
  readonly open: boolean;
}
export interface LogInRequest {
  readonly passphrase: string;
}

/** One of GET /api/parts. */
export interface PartAnswer {
  readonly id: string;
  readonly title: string;
  readonly source: string;
  readonly fields: Readonly<Record<string, unknown>>;
}
export type PartsAnswer = Readonly<Record<'panels' | 'cells' | 'chargers' | 'loads', readonly PartAnswer[]>>;

/** One of GET /api/climates; with `latitude_deg` and `longitude_deg` in the query the nearest first, with its distance. */
export interface ClimateAnswer {
  readonly name: string;
  readonly country: string;
  readonly latitude_deg: number;
  readonly longitude_deg: number;
  readonly elevation_m: number;
  readonly dataset: string;
  readonly ghi_kWh_m2_day: readonly number[];
  readonly temperature_degC: readonly number[];
  readonly source: string;
  readonly distance_km?: number;
}

/** Answer of POST /api/bench/deeds. */
export interface BenchDeedAnswer {
  readonly written: readonly {
    readonly seq: number;
    readonly stream: string;
    readonly number: number;
    readonly at: string;
    readonly by: string;
    readonly kind: string;
  }[];
  /** The same token was kept before: nothing was written now. */
  readonly again: boolean;
  /** The unit as it stands; null where the deed is about none. */
  readonly unit: UnitOutcome | null;
  readonly said: string;
  /** Of a unit that left: its charge against the rule, and what is known of its place. */
  readonly notes: readonly string[];
}

/** GET /api/bench/units/:serial/forecast. */
export interface BenchForecast {
  readonly serial: string;
  /** Why there can be none, in words; null where there can. */
  readonly why: string | null;
  /** Somebody has said where it goes or stands. */
  readonly placed: boolean;
  readonly place: UnitPlace | null;
  readonly values: readonly UsedValue[];
  /** What could be measured and was not. */
  readonly fromKit: readonly string[];
  readonly notes: readonly string[];
  /** Kit and perch as a job takes them. */
  readonly asked: { readonly kit: unknown; readonly perch: unknown } | null;
  /** What was computed of the unit as it is now. */
  readonly kept: { readonly state: YearOutcome['state']; readonly verdict: string; readonly strip: YearStrip } | null;
}

/** GET /api/bench/places, and GET /api/bench/orders/:order/place. */
export interface OrderPlaces {
  readonly places: readonly PlaceLook[];
}
export interface OrderPlaceAnswer extends PlaceLook {
  readonly outcome: PlaceOutcome | null;
}

/** Answer 409 of POST /api/bench/deeds. */
export interface BenchDeedConflict {
  readonly problems: readonly Problem[];
  readonly unit: UnitOutcome | null;
}

/** Answer of POST /api/bench/measure. */
export interface BenchMeasured {
  readonly unit: string;
  readonly verdict: string;
  readonly values: readonly UnitValue[];
  readonly notes: readonly string[];
  readonly assumptions: readonly Assumption[];
}

/** Answer of GET /api/bench/passports/{serial}. */
export interface BenchPassport {
  readonly serial: string;
  readonly show: readonly string[];
  /** A whole HTML file. */
  readonly page: string;
  /** Where the code on its label leads. */
  readonly address: string | null;
}

/** Answer of GET /api/bench/tables: CSV by the name of the table. */
export interface BenchTables {
  readonly tables: Readonly<Record<string, string>>;
}

/** Answer of POST /api/bench/import. */
export interface BenchImport extends ImportOutcome {
  readonly kept: boolean;
}

/** What the page and the worker of the panorama say to each other. */
import type { Assumption } from '../../core/energy/index.ts';
import type { RayHeights } from '../../core/terrain/index.ts';
import type { Kit, Perch } from '../../records/index.ts';
import type { PanoramaInput } from '../../report/index.ts';
import type { Failure } from './messages.ts';

/** A place with the ground around it. */
export interface PanoramaPlace {
  readonly key: string;
  readonly name: string;
  readonly latitude_deg: number;
  readonly longitude_deg: number;
  readonly rays: RayHeights;
}

/** Another perch and the ground on the way to it, NaN where none is known. */
export interface PanoramaWay {
  readonly name: string;
  readonly height_m?: number | undefined;
  readonly environment?: Perch['environment'] | undefined;
  readonly azimuth_deg: number;
  readonly distance_km: Float64Array;
  readonly ground_m: Float64Array;
}

export interface ViewAsk {
  /** Of the place that was sent before. */
  readonly key: string;
  /** Both ends of each link; without one, or with one that has no radio, hand-helds. */
  readonly kit: Kit | null;
  readonly perch: Perch | null;
  readonly height_m: number;
  /** Absent: the middle of the darkest month. */
  readonly day?: { readonly month: number; readonly date: number } | undefined;
}

/** Another perch in the state of a link to it. */
export interface SeenOther {
  readonly name: string;
  readonly azimuth_deg: number;
  readonly elevation_deg: number;
  readonly distance_km: number;
  readonly sight: PanoramaInput['others'][number]['sight'];
  readonly margin_dB: number;
  readonly odds: number;
}

export interface PanoramaView {
  readonly key: string;
  readonly height_m: number;
  readonly picture: PanoramaInput;
  /** Distance and height of what makes the skyline, at its azimuths. */
  readonly ridge_km: Float32Array;
  readonly ridge_m: Float32Array;
  readonly others: readonly SeenOther[];
  readonly day: { readonly month: number; readonly date: number; readonly open_h: number; readonly visible_h: number };
  /** Perches that could not be drawn, and ground that is missing, in sentences. */
  readonly notes: readonly string[];
  readonly assumptions: readonly Assumption[];
}

export interface LightAsk {
  readonly key: string;
  readonly kit: Kit;
  readonly perch: Perch | null;
  /** The first is the one asked for, the second (as saved) what it is compared with. */
  readonly tries: readonly { readonly height_m: number; readonly tilt_deg: number; readonly azimuth_deg: number }[];
}

/** Light on the kit's first panel, mean of a day by month, for each of the tries. */
export interface LightAnswer {
  readonly key: string;
  readonly darkestMonth: number;
  readonly light_kWh_m2_day: readonly (readonly number[])[];
}

export type PanoramaAsk =
  | { readonly place: PanoramaPlace }
  | { readonly ways: readonly PanoramaWay[]; readonly key: string }
  | { readonly view: ViewAsk }
  | { readonly light: LightAsk };

export type PanoramaTold =
  | { readonly view: PanoramaView }
  | { readonly light: LightAnswer }
  | { readonly failed: 'view' | 'light'; readonly failure: Failure };

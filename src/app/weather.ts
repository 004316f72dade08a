import type { Assumption } from '../core/energy/index.ts';
import { planeGeometry, planeOfArray } from '../core/sun/index.ts';
import type { WeatherFormat } from '../formats/weather/types.ts';
import { parseYamlRecord } from '../formats/yaml-record.ts';
import { readPerch } from '../records/index.ts';
import { azimuthFromNorth_deg, checkOptions } from './option-limits.ts';
import type { Ports } from './ports.ts';
import { makeWeather, monthlyMeans, planSite } from './site.ts';
import { DEFAULT_ALBEDO } from './tilt.ts';

export interface WeatherRequest {
  readonly file: string;
  readonly tilt_deg?: number | undefined;
  readonly azimuth_deg?: number | undefined;
  readonly albedo?: number | undefined;
}

/** Result of `sunperch weather`. */
export interface WeatherOutcome {
  readonly command: 'weather';
  readonly file: string;
  readonly format: WeatherFormat;
  readonly resolution: 'hourly' | 'daily';
  readonly place: {
    readonly name: string | null;
    readonly latitude_deg: number;
    readonly longitude_deg: number;
    readonly elevation_m: number;
    readonly utcOffset_h: number;
  };
  /** Rows of data in the file. */
  readonly rows: number;
  readonly years: number;
  readonly firstYear: number | null;
  readonly tilt_deg: number;
  readonly azimuth_deg: number;
  readonly albedo: number;
  readonly ghi_kWh_m2_day: readonly number[];
  readonly dhi_kWh_m2_day: readonly number[];
  /** On the plane, without cover, skyline, dirt or snow. */
  readonly poa_kWh_m2_day: readonly number[];
  readonly temperature_degC: readonly number[];
  readonly lowestTemperature_degC: number;
  readonly highestTemperature_degC: number;
  readonly wind_m_s: readonly number[];
  readonly notes: readonly string[];
  readonly assumptions: readonly Assumption[];
}

/** Chance enters only where a file has days and no hours. */
const SEED = 1;

/**
 * `sunperch weather`: what a weather file holds by month, and the light on a tilted plane from its own hours by Perez et
 * al. 1990. Days are made into hours with the hourly shape of the synthetic years.
 */
export async function weather(ports: Ports, request: WeatherRequest): Promise<WeatherOutcome> {
  const { albedo = DEFAULT_ALBEDO } = request;
  checkOptions({ tilt_deg: request.tilt_deg, azimuth_deg: request.azimuth_deg, albedo });
  const file = await ports.readWeather(request.file);
  const azimuth_deg = request.azimuth_deg === undefined ? undefined : azimuthFromNorth_deg(request.azimuth_deg);
  const record = { tilt_deg: request.tilt_deg, azimuth_deg, albedo };
  const perch = readPerch(parseYamlRecord(JSON.stringify(record), request.file), { weather: true }).value;
  const plan = planSite(perch, file);
  const { sun, hours } = makeWeather(plan, perch, SEED);
  const plane = { tilt_deg: plan.tilt_deg, azimuth_deg: plan.azimuth_deg, albedo: new Array<number>(12).fill(albedo) };
  const poa = new Float32Array(hours.length);
  planeOfArray(hours, planeGeometry(sun, { ...plane, cover: 'none', model: 'perez' }), poa);
  const daily = (values_W_m2: Float32Array) => monthlyMeans(hours, values_W_m2).map((mean) => (mean * 24) / 1000);
  const assumptions: Assumption[] = plan.assumptions.map((a) => ({
    ...a,
    field: a.field.replace(/^perch\.(tilt|azimuth)_deg$/, '--$1'),
  }));
  if (request.albedo === undefined)
    assumptions.push({
      field: '--albedo',
      value: `${albedo}`,
      why: 'bare or grassy ground; fresh snow has 0.7 to 0.8',
    });
  if (file.place.elevation_m === undefined)
    assumptions.push({ field: 'elevation_m', value: '0', why: 'the file does not say how high the place lies' });
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const value of hours.temperature_degC) {
    if (value < low) low = value;
    if (value > high) high = value;
  }
  return {
    command: 'weather',
    file: request.file,
    format: file.format,
    resolution: file.kind,
    place: { name: file.place.name ?? null, ...plan.place },
    rows: file.rows,
    years: file.years,
    firstYear: file.firstYear ?? null,
    tilt_deg: plan.tilt_deg,
    azimuth_deg: plan.azimuth_deg,
    albedo,
    ghi_kWh_m2_day: daily(hours.ghi_W_m2),
    dhi_kWh_m2_day: daily(hours.dhi_W_m2),
    poa_kWh_m2_day: daily(poa),
    temperature_degC: monthlyMeans(hours, hours.temperature_degC),
    lowestTemperature_degC: low,
    highestTemperature_degC: high,
    wind_m_s: monthlyMeans(hours, hours.wind_m_s),
    notes: [
      ...file.notes,
      ...(file.kind === 'daily'
        ? ['The file has days only: hours are made with the shape of the synthetic years.']
        : []),
    ],
    assumptions,
  };
}

/** The perch: a place where a kit stands. Its one schema, shared by command line, server and browser. */
import * as z from 'zod';
import { asShare, assumed, azimuth_deg, crossChecks, label, monthly, shade, tilt_deg, within } from './fields.ts';
import type { PerchContext } from './perch-checks.ts';
import { perchFindings } from './perch-checks.ts';

/** Surroundings by man-made noise (ITU-R P.372), from the loudest to the quietest. */
export const ENVIRONMENTS = ['city', 'residential', 'rural', 'quiet-rural'] as const;

const latitude_deg = within('a latitude', -90, 90, (value) =>
  Math.abs(value) <= 180 ? 'is it the longitude?' : undefined,
);
const longitude_deg = within('a longitude', -180, 180, (value) =>
  value > 180 && value <= 360 ? `${value} east is ${Number((value - 360).toFixed(6))}` : undefined,
);
const radiation = within('a daily sum of radiation', 0, 15, (value) =>
  value > 15 && value < 500 ? 'is it a monthly sum? Divide by the days of the month' : undefined,
);
const albedo = within('an albedo', 0, 1, asShare);
const percent = within('a loss', 0, 100);
const wind = within('a mean wind speed', 0, 40);

const climateSchema = z
  .union([
    z.enum(['nearest', 'weather']),
    z.strictObject({
      monthly: z
        .strictObject({
          ghi_kWh_m2_day: monthly(radiation).describe(
            'Global radiation on the horizontal, daily sum as mean of each month, kWh/m2 per day, January first',
          ),
          dhi_kWh_m2_day: monthly(radiation)
            .optional()
            .describe(
              'Diffuse part of the global radiation, daily sum as mean of each month, kWh/m2 per day; absent: typical of the clearness',
            ),
          temperature_degC: monthly(within('a monthly mean temperature', -70, 50)).describe(
            'Mean air temperature of each month at the perch, degC, January first',
          ),
          source: z.string().optional().describe('Where the twelve means come from'),
        })
        .optional()
        .describe('Twelve monthly means'),
      nearest: z.string().optional().describe('Name of a built-in reference climate'),
      weather: z.string().optional().describe('Weather file, relative to this file (EPW, TMY3, POWER, CSV; .gz too)'),
    }),
  ])
  .describe(
    'nearest: the nearest built-in climate; weather: the file given with --weather; or {monthly: …}, {nearest: NAME}, {weather: FILE}',
  );

const shape = {
  $schema: z.string().optional().describe('JSON Schema of this file, for editors'),
  name: label().optional().describe('Name of the perch'),
  latitude_deg: latitude_deg
    .optional()
    .describe('Latitude, north positive, degrees; may be absent with a weather file'),
  longitude_deg: longitude_deg
    .optional()
    .describe('Longitude, east positive, degrees; may be absent with a weather file'),
  elevation_m: within('an elevation', -450, 9000)
    .optional()
    .describe('Height above the sea, m; may be absent with a weather file'),
  utcOffset_h: within('an offset from UTC', -12, 14)
    .optional()
    .describe('Local standard time less UTC, hours; absent: from the longitude'),
  tilt_deg: tilt_deg().optional().describe('Tilt of the panel from the horizontal, degrees; absent: latitude + 15'),
  azimuth_deg: azimuth_deg()
    .optional()
    .describe('Direction the panel faces, clockwise from north, degrees; absent: towards the equator'),
  height_m: within('a height above ground', 0, 300).optional().describe('Height of the antenna above ground, m'),
  environment: z
    .enum(ENVIRONMENTS)
    .optional()
    .describe('Surroundings, for the man-made noise that a receiver hears; absent: rural'),
  horizon: assumed(
    z
      .union([
        z.enum(['none']),
        z
          .array(
            z.strictObject({
              azimuth_deg: azimuth_deg().describe('Direction, clockwise from north, degrees'),
              elevation_deg: within('the elevation of a skyline', -10, 90).describe(
                'Elevation of the skyline, degrees',
              ),
            }),
          )
          .min(1, { error: 'a horizon has at least one point; or write none' })
          .max(3600, { error: 'a horizon has at most 3,600 points' }),
      ])
      .describe(
        'Skyline as list of {azimuth_deg, elevation_deg}, straight between the points and around north; or none',
      ),
    'none',
    'nothing stands between the sun and the panel: with hills or houses around this is too bright',
    'full',
  ),
  albedo: assumed(
    z.union([albedo, monthly(albedo)]).describe('Share of light that the ground reflects, one number or 12'),
    0.2,
    'bare or grassy ground; fresh snow has 0.7 to 0.8',
  ),
  snow: assumed(
    z
      .union([
        z.enum(['none', 'from-weather']),
        z.strictObject({
          snowfall_cm: monthly(within('the snowfall of a month', 0, 1000)).describe(
            'Snowfall of each month, cm, January first',
          ),
        }),
      ])
      .describe('Snow on the panel: none, from-weather (the file has snow), or {snowfall_cm: 12 values}'),
    'none',
    'no snow lies on the panel',
    'full',
  ),
  soiling_pct: assumed(
    z.union([percent, monthly(percent)]).describe('Loss by dirt, %, one number or 12'),
    2,
    'order of a temperate climate with rain, from memory',
    'full',
  ),
  shade: shade().optional(),
  enclosureGain_K: within('the warming of a box', 0, 60)
    .optional()
    .describe("Warming of the cells above the air in full sun (1000 W/m2), kelvin; overrides the kit's"),
  wind_m_s: z
    .union([wind, monthly(wind)])
    .optional()
    .describe('Mean wind at the panel, m/s, one number or 12'),
  climate: climateSchema.optional().describe('Where the weather comes from; absent: nearest'),
};

/** Schema of a perch in a context: whether a weather file comes from outside, and what the checks may consult. */
export function perchSchemaFor(context: PerchContext = {}) {
  return z
    .strictObject(shape)
    .check(crossChecks((value) => perchFindings(value, context)))
    .describe('A perch: a place where a kit stands');
}

export const perchSchema = perchSchemaFor();

export type Perch = z.output<typeof perchSchema>;
export type Climate = NonNullable<Perch['climate']>;

/** The azimuth that faces the equator: 180 in the north, 0 in the south. */
export const facingEquator_deg = (latitude_deg: number): number => (latitude_deg < 0 ? 0 : 180);

/** A steep tilt that favours the winter: latitude + 15 degrees, at most 90 (common practice, no source). */
export const winterTilt_deg = (latitude_deg: number): number => Math.min(90, Math.round(Math.abs(latitude_deg) + 15));

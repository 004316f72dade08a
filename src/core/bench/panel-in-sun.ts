import type { CellTemperatureModel, PanelSheet, ReferenceDiode } from '../panel/index.ts';
import {
  cellTemperature,
  describeDiode,
  fitDiode,
  maximumPoint,
  openCircuit,
  scaleDiode,
  shortCircuit,
  translate,
} from '../panel/index.ts';
import {
  diffuseModifiers,
  incidence_deg,
  ineichenClearSky,
  julianDayOfUnix_ms,
  kastenYoungAirMass,
  physicalModifier,
  refraction_deg,
  standardPressure_hPa,
  sunPosition,
  transpose,
} from '../sun/index.ts';
import { SOLAR_CONSTANT_W_m2, userError } from '../units/index.ts';

/** One reading of a panel's short-circuit current and open-circuit voltage under a clear sky. */
export interface SunReading {
  readonly isc_A: number;
  readonly voc_V: number;
  readonly unix_ms: number;
  readonly latitude_deg: number;
  readonly longitude_deg: number;
  readonly elevation_m: number;
  readonly tilt_deg: number;
  /** Clockwise from true north. */
  readonly azimuth_deg: number;
  readonly air_degC: number;
  readonly wind_m_s: number;
  /** 2 in very clear cold air, 3 clear, 5 hazy or warm and moist. */
  readonly linkeTurbidity?: number | undefined;
  readonly albedo?: number | undefined;
  /** Measured in the panel's plane, in place of the clear sky. */
  readonly irradiance_W_m2?: number | undefined;
  /** Measured on the panel's back, in place of the model. */
  readonly cell_degC?: number | undefined;
  readonly mounting?: CellTemperatureModel | undefined;
}

/**
 * Standard uncertainties, one sigma. The defaults are judgement: 5 % is what Ineichen & Perez 2002 give for their clear
 * sky with the right turbidity; an angle set by hand 3°; a small panel's temperature 5 K; a fill factor that is only
 * believed 4 %.
 */
export const SUN_UNCERTAINTY = {
  clearSky_pct: 5,
  irradianceMeter_pct: 5,
  pointing_deg: 3,
  cellModel_K: 5,
  cellMeter_K: 2,
  current_pct: 1,
  voltage_pct: 0.5,
  fillFactor_pct: 4,
} as const;

export interface SunShare {
  readonly cause: 'irradiance' | 'pointing' | 'temperature' | 'current' | 'voltage' | 'fill-factor';
  /** Standard uncertainty of the power that it brings, W. */
  readonly power_W: number;
}

export interface SunResult {
  /** Power at 1000 W/m² and 25 °C, with its 95 % interval (twice the combined standard uncertainty). */
  readonly power_W: number;
  readonly low_W: number;
  readonly high_W: number;
  /** Against the data sheet. */
  readonly shareOfLabel: number;
  /** Short-circuit current and open-circuit voltage at 1000 W/m² and 25 °C. */
  readonly isc_A: number;
  readonly voc_V: number;
  /** On the cells, past the cover. */
  readonly irradiance_W_m2: number;
  readonly cell_degC: number;
  readonly sunElevation_deg: number;
  readonly incidence_deg: number;
  /** Where the uncertainty comes from, largest first. */
  readonly shares: readonly SunShare[];
  readonly warnings: readonly ('sun-low' | 'sun-aslant' | 'faint-light')[];
  /** The data sheet with its currents and voltages scaled to what was measured: for the forecast of this very unit. */
  readonly sheet: PanelSheet;
}

/**
 * Below these a reading is taken, but told (IEC 60904-1 and 60891 ask for 800 W/m² and normal light; from memory;
 * angles: judgement).
 */
const LOW_SUN_deg = 20;
const ASLANT_deg = 40;
const FAINT_W_m2 = 600;
const DEFAULT_TURBIDITY = 3;
const DEFAULT_ALBEDO = 0.2;

/**
 * A panel's real watts from its short-circuit current and open-circuit voltage in the sun.
 *
 * Light: place of the sun (Reda & Andreas 2004), clear sky (Ineichen & Perez 2002), tilted plane (Perez et al. 1990),
 * cover (De Soto et al. 2006); or a measured irradiance. Cell temperature by model or measured. The current, in
 * proportion to light, gives the scale of the panel (IEC 60891, first method, by the single-diode model of the data
 * sheet); the voltage is compared with that model's at the same light and temperature. Power = sheet power x current
 * ratio x voltage ratio: the fill factor is believed from the sheet, since no load was measured, and a cheap panel's is
 * often worse. Uncertainty: first-order propagation (GUM, JCGM 100:2008, eq. 10), coverage factor 2. Checked: readings
 * made by the panel model come back. Not validated against a laboratory.
 *
 * @throws UserError when the sun does not reach the panel's face, or a reading cannot be
 */
export function panelInSun(sheet: PanelSheet, reading: SunReading): SunResult {
  for (const field of ['isc_A', 'voc_V'] as const)
    if (!(reading[field] > 0 && Number.isFinite(reading[field])))
      throw userError('sun-reading', `${field} is ${reading[field]}: it must be above 0.`, { field });
  const reference = fitDiode(sheet);
  const label_W = maximumPoint(reference).power_W;
  const sky = skyOf(reading);
  const light_W_m2 = reading.irradiance_W_m2 ?? sky.onCells_W_m2;
  if (!(light_W_m2 > 0))
    throw userError(
      'sun-behind',
      `the sun stands ${sky.sunElevation_deg.toFixed(1)} degrees high and ${sky.incidence_deg.toFixed(0)} degrees off the panel's face: no light reaches it; check time, place, tilt and azimuth.`,
      { field: 'unix_ms' },
    );
  const cell_degC =
    reading.cell_degC ??
    cellTemperature(reading.mounting ?? { kind: 'faiman' }, light_W_m2, reading.air_degC, reading.wind_m_s);
  const at = (light: number, cell: number, isc_A: number, voc_V: number) =>
    standard(reference, light, cell, isc_A, voc_V);
  const base = at(light_W_m2, cell_degC, reading.isc_A, reading.voc_V);
  const u = SUN_UNCERTAINTY;
  const light_pct = reading.irradiance_W_m2 === undefined ? u.clearSky_pct : u.irradianceMeter_pct;
  const warmth_K = reading.cell_degC === undefined ? u.cellModel_K : u.cellMeter_K;
  // A reading may be off in either direction: half the difference of both.
  const spread = (up: number, down: number) => Math.abs(up - down) / 2;
  const power = (light: number, cell: number, isc_A: number, voc_V: number) => at(light, cell, isc_A, voc_V).power_W;
  const around = (share_pct: number, f: (factor: number) => number) =>
    spread(f(1 + share_pct / 100), f(1 - share_pct / 100));
  const { isc_A, voc_V } = reading;
  const shares: SunShare[] = [
    { cause: 'irradiance', power_W: around(light_pct, (k) => power(k * light_W_m2, cell_degC, isc_A, voc_V)) },
    {
      cause: 'temperature',
      power_W: spread(
        power(light_W_m2, cell_degC + warmth_K, isc_A, voc_V),
        power(light_W_m2, cell_degC - warmth_K, isc_A, voc_V),
      ),
    },
    { cause: 'current', power_W: around(u.current_pct, (k) => power(light_W_m2, cell_degC, k * isc_A, voc_V)) },
    { cause: 'voltage', power_W: around(u.voltage_pct, (k) => power(light_W_m2, cell_degC, isc_A, k * voc_V)) },
    { cause: 'fill-factor', power_W: (base.power_W * u.fillFactor_pct) / 100 },
  ];
  if (reading.irradiance_W_m2 === undefined) {
    const turned = (tilt: number, azimuth: number) => {
      const { onCells_W_m2 } = skyOf({
        ...reading,
        tilt_deg: Math.min(180, Math.max(0, reading.tilt_deg + tilt)),
        azimuth_deg: reading.azimuth_deg + azimuth,
      });
      return power(Math.max(1, onCells_W_m2), cell_degC, isc_A, voc_V);
    };
    const angle = u.pointing_deg;
    // At right angles to the sun both first differences vanish; what is left then is the second: both ways are worse.
    const worst = (a: number, b: number) => Math.max(Math.abs(a - base.power_W), Math.abs(b - base.power_W));
    shares.push({
      cause: 'pointing',
      power_W: Math.hypot(worst(turned(angle, 0), turned(-angle, 0)), worst(turned(0, angle), turned(0, -angle))),
    });
  }
  shares.sort((a, b) => b.power_W - a.power_W);
  const combined_W = Math.hypot(...shares.map((s) => s.power_W)); // JCGM 100 eq. 10
  const warnings: SunResult['warnings'][number][] = [];
  if (reading.irradiance_W_m2 === undefined) {
    if (sky.sunElevation_deg < LOW_SUN_deg) warnings.push('sun-low');
    if (sky.incidence_deg > ASLANT_deg) warnings.push('sun-aslant');
  }
  if (light_W_m2 < FAINT_W_m2) warnings.push('faint-light');
  return {
    power_W: base.power_W,
    low_W: base.power_W - 2 * combined_W,
    high_W: base.power_W + 2 * combined_W,
    shareOfLabel: base.power_W / label_W,
    isc_A: base.isc_A,
    voc_V: base.voc_V,
    irradiance_W_m2: light_W_m2,
    cell_degC,
    sunElevation_deg: sky.sunElevation_deg,
    incidence_deg: sky.incidence_deg,
    shares,
    warnings,
    sheet: {
      ...sheet,
      isc_A: sheet.isc_A * base.scale,
      imp_A: sheet.imp_A * base.scale,
      voc_V: sheet.voc_V * base.voltage,
      vmp_V: sheet.vmp_V * base.voltage,
    },
  };
}

/** The panel at standard conditions by what it gave at a light and a cell temperature. */
function standard(reference: ReferenceDiode, light_W_m2: number, cell_degC: number, isc_A: number, voc_V: number) {
  const sheet = describeDiode(reference);
  const expected = translate(reference, light_W_m2, cell_degC);
  // Short-circuit current goes with the light, near enough, so one step of scaling settles it.
  const scale = isc_A / shortCircuit(expected);
  const voltage = voc_V / openCircuit(translate(scaleDiode(reference, scale), light_W_m2, cell_degC));
  return {
    power_W: sheet.power_W * scale * voltage,
    isc_A: sheet.isc_A * scale,
    voc_V: sheet.voc_V * voltage,
    scale,
    voltage,
  };
}

/** Clear-sky light on the cells of a panel, and where the sun stands. */
function skyOf(reading: SunReading) {
  const sun = sunPosition(
    julianDayOfUnix_ms(reading.unix_ms),
    reading.latitude_deg,
    reading.longitude_deg,
    reading.elevation_m,
  );
  const pressure_hPa = standardPressure_hPa(reading.elevation_m);
  const sunElevation_deg = sun.elevation_deg + refraction_deg(sun.elevation_deg, pressure_hPa, reading.air_degC);
  const zenith_deg = 90 - sunElevation_deg;
  const angle_deg = incidence_deg(zenith_deg, sun.azimuth_deg, reading.tilt_deg, reading.azimuth_deg);
  if (sunElevation_deg <= 0) return { onCells_W_m2: 0, sunElevation_deg, incidence_deg: angle_deg };
  const extraterrestrialNormal_W_m2 = SOLAR_CONSTANT_W_m2 / sun.distance_au ** 2;
  const clear = ineichenClearSky({
    apparentZenith_deg: zenith_deg,
    absoluteAirMass: (kastenYoungAirMass(zenith_deg) * pressure_hPa) / 1013.25,
    linkeTurbidity: reading.linkeTurbidity ?? DEFAULT_TURBIDITY,
    elevation_m: reading.elevation_m,
    extraterrestrialNormal_W_m2,
  });
  const plane = transpose('perez', {
    ...clear,
    zenith_deg,
    solarAzimuth_deg: sun.azimuth_deg,
    tilt_deg: reading.tilt_deg,
    surfaceAzimuth_deg: reading.azimuth_deg,
    extraterrestrialNormal_W_m2,
    albedo: reading.albedo ?? DEFAULT_ALBEDO,
  });
  const through = diffuseModifiers(Math.min(90, reading.tilt_deg));
  return {
    onCells_W_m2:
      plane.beam_W_m2 * physicalModifier(angle_deg) +
      plane.diffuse_W_m2 * through.sky +
      plane.ground_W_m2 * through.ground,
    sunElevation_deg,
    incidence_deg: angle_deg,
  };
}

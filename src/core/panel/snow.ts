import { RAD_PER_DEG } from '../units/index.ts';

/** Fresh snow of an hour that covers the whole panel, cm (Marion et al. 2013). */
const COVERING_SNOWFALL_cm = 1;
/** Snow slides where the air is warmer than POA/m, with m in W/m²K (Marion et al. 2013). */
const SLIDE_SLOPE_W_m2K = -80;
/**
 * Share of the row's height that slides in an hour on a vertical panel (Marion et al. 2013, for ground-mounted arrays).
 */
const SLIDE_PER_HOUR = 0.197;

/**
 * Share of the panel that snow covers at the end of an hour, 0..1, from the share at its beginning.
 *
 * Source: Marion, Schaefer, Caine & Sanchez 2013, Solar Energy 97:112-121, hourly form: a snowfall of at least 1 cm/h
 * covers all; otherwise snow slides by 0.197·sin(tilt) of the height when T_air > POA/(−80). The cover never grows
 * between falls and never melts where it cannot slide: a flat panel, once covered, stays so for ever. `poa_W_m2` is the
 * irradiance on the plane as if it were clear of snow. Meant for fixed arrays of common tilts; a steep panel is an
 * extrapolation (on a vertical panel snow hardly stays, and the model errs to the dark side). For panels of a few watts
 * with a rim: not validated. Checked on test/golden/panel-snow.csv.
 */
export function snowCover(
  cover: number,
  snowfall_cm: number,
  temperature_degC: number,
  poa_W_m2: number,
  tilt_deg: number,
): number {
  if (snowfall_cm >= COVERING_SNOWFALL_cm) return 1;
  if (cover <= 0 || temperature_degC <= poa_W_m2 / SLIDE_SLOPE_W_m2K) return cover;
  return Math.max(0, cover - SLIDE_PER_HOUR * Math.sin(tilt_deg * RAD_PER_DEG));
}

/**
 * `snowCover` over hours: `out[i]` is the share covered at the end of hour i. Starts from `initial`, returns the last
 * cover. Arrays have one entry an hour and `out` sets their number.
 */
export function snowCoverSeries(
  snowfall_cm: Float32Array,
  temperature_degC: Float32Array,
  poa_W_m2: Float32Array,
  tilt_deg: number,
  out: Float32Array,
  initial = 0,
): number {
  const n = out.length;
  if (snowfall_cm.length < n || temperature_degC.length < n || poa_W_m2.length < n) {
    throw new RangeError(`snowCoverSeries: ${n} hours wanted, an input is shorter`);
  }
  const slide = SLIDE_PER_HOUR * Math.sin(tilt_deg * RAD_PER_DEG);
  let cover = initial;
  for (let i = 0; i < n; i++) {
    if (snowfall_cm[i]! >= COVERING_SNOWFALL_cm) cover = 1;
    else if (cover > 0 && temperature_degC[i]! > poa_W_m2[i]! / SLIDE_SLOPE_W_m2K) cover = Math.max(0, cover - slide);
    out[i] = cover;
  }
  return cover;
}

/**
 * Share of the light's yield that a covered panel still gives.
 *
 * Without `cellRows`: the uncovered share, the simple linear rule. It flatters a panel whose cells are one string:
 * there any covered row of cells throttles all. With `cellRows` (rows of cells one above the other, each its own
 * string): whole strings count as lost as soon as they are touched, the rule of Marion et al. 2013: 1 −
 * ceil(cover·rows)/rows; a small panel of one string has `cellRows` = 1 and gives nothing until it is clear. Light
 * through thin snow is neglected in both. Not validated for small panels; the truth lies between the two.
 */
export function uncoveredShare(cover: number, cellRows?: number): number {
  if (cover <= 0) return 1;
  if (cellRows === undefined) return Math.max(0, 1 - cover);
  return Math.max(0, 1 - Math.ceil(cover * cellRows - 1e-9) / cellRows);
}

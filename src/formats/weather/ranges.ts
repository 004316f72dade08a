import type { ReadContext } from './problems.ts';
import { counted } from './problems.ts';
import type { SeriesRows, ValueName } from './rows.ts';

/**
 * What a value may be; outside is a problem. Radiation between `clipBelow` and 0 is an instrument's zero offset and is set
 * to 0. Temperatures: −89 °C and +57 °C are the extremes ever measured (WMO archive, from memory). Irradiance: the solar
 * constant is 1361 W/m² and cloud edges add up to 30 % for minutes (from memory); the rest is judgement, no source.
 */
const LIMITS: Readonly<Record<ValueName, { low: number; high: number; unit: string; clip?: boolean }>> = {
  ghi_W_m2: { low: -10, high: 1800, unit: ' W/m²', clip: true },
  dni_W_m2: { low: -10, high: 1800, unit: ' W/m²', clip: true },
  dhi_W_m2: { low: -10, high: 1800, unit: ' W/m²', clip: true },
  ghi_kWh_m2: { low: -0.05, high: 14, unit: ' kWh/m²', clip: true },
  dhi_kWh_m2: { low: -0.05, high: 14, unit: ' kWh/m²', clip: true },
  temperature_degC: { low: -90, high: 60, unit: ' °C' },
  temperatureMin_degC: { low: -95, high: 60, unit: ' °C' },
  temperatureMax_degC: { low: -90, high: 65, unit: ' °C' },
  wind_m_s: { low: 0, high: 120, unit: ' m/s' },
  snowfall_cm: { low: 0, high: 60, unit: ' cm/h' },
  snowDepth_cm: { low: 0, high: 2000, unit: ' cm' },
};

/** Tells of values out of range, one problem a column and side, and sets small negative radiation to 0. */
export function checkRanges(rows: SeriesRows, context: ReadContext): void {
  for (const [name, values] of Object.entries(rows.values)) {
    const limit = LIMITS[name];
    if (limit === undefined) throw new RangeError(`no limits for ${name}`);
    let below = 0;
    let above = 0;
    let firstBelow = -1;
    let firstAbove = -1;
    let clipped = 0;
    for (let i = 0; i < rows.length; i++) {
      const value = values[i]!;
      if (value < limit.low) {
        if (below++ === 0) firstBelow = i;
      } else if (value > limit.high) {
        if (above++ === 0) firstAbove = i;
      } else if (limit.clip === true && value < 0) {
        values[i] = 0;
        clipped++;
      }
    }
    const tell = (rowsOut: number, first: number, side: string, bound: number) => {
      if (rowsOut === 0) return;
      context.problems.add(
        'weather.range',
        `${name} is ${side} ${bound}${limit.unit} in ${counted(rowsOut, 'row')}, first ${Number(values[first]!.toPrecision(5))} in ${rows.where(first)}: is the unit right, or is it a code for a missing value?`,
        rows.place(first, name),
      );
    };
    tell(below, firstBelow, 'below', limit.low);
    tell(above, firstAbove, 'above', limit.high);
    if (clipped > 0) {
      context.notes.push(
        `${name}: ${counted(clipped, 'slightly negative value')} ${clipped === 1 ? 'is' : 'are'} set to 0.`,
      );
    }
  }
}

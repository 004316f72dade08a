/** Units as they are shown: read from the end of a field's name, turned to feet or Fahrenheit on request. Stored values stay SI. */

export interface Display {
  readonly length: 'metric' | 'imperial';
  readonly temperature: 'degC' | 'degF';
}

export interface ShownUnit {
  readonly symbol: string;
  toShown(value: number): number;
  toStored(shown: number): number;
}

const same = (symbol: string): ShownUnit => ({ symbol, toShown: (v) => v, toStored: (v) => v });

/** A unit that is `factor` times as many; rounded to twelve digits, so that a value survives the way there and back. */
const scaled = (symbol: string, factor: number): ShownUnit => ({
  symbol,
  toShown: (v) => Number((v * factor).toPrecision(12)),
  toStored: (v) => Number((v / factor).toPrecision(12)),
});

// Exact by definition: foot 0.3048 m, inch 2.54 cm, mile 1609.344 m.
const FEET = scaled('ft', 1 / 0.3048);
const INCHES = scaled('in', 1 / 2.54);
const SQUARE_INCHES = scaled('in²', 1 / 2.54 ** 2);
const MILES = scaled('mi', 1000 / 1609.344);
const SQUARE_MILES = scaled('mi²', (1000 / 1609.344) ** 2);
const MILES_PER_HOUR = scaled('mph', 3600 / 1609.344);
const FAHRENHEIT: ShownUnit = {
  symbol: '°F',
  toShown: (v) => Number((v * 1.8 + 32).toPrecision(12)),
  toStored: (v) => Number(((v - 32) / 1.8).toPrecision(12)),
};

/** Endings of names, the longest that fits wins. */
const UNITS: Readonly<Record<string, (display: Display) => ShownUnit>> = {
  _m: (d) => (d.length === 'metric' ? same('m') : FEET),
  _km: (d) => (d.length === 'metric' ? same('km') : MILES),
  _km2: (d) => (d.length === 'metric' ? same('km²') : SQUARE_MILES),
  _cm: (d) => (d.length === 'metric' ? same('cm') : INCHES),
  _cm2: (d) => (d.length === 'metric' ? same('cm²') : SQUARE_INCHES),
  _m_s: (d) => (d.length === 'metric' ? same('m/s') : MILES_PER_HOUR),
  _degC: (d) => (d.temperature === 'degC' ? same('°C') : FAHRENHEIT),
  _K: (d) => (d.temperature === 'degC' ? same('K') : scaled('°F', 1.8)),
  _deg: () => same('°'),
  _W: () => same('W'),
  _Wh: () => same('Wh'),
  _V: () => same('V'),
  _mV: () => same('mV'),
  _A: () => same('A'),
  _mA: () => same('mA'),
  _uA: () => same('µA'),
  _mAh: () => same('mAh'),
  _mOhm: () => same('mΩ'),
  _uV_K: () => same('µV/K'),
  _pct: () => same('%'),
  _pct_K: () => same('%/K'),
  _pct_year: () => same('% a year'),
  _pct_month: () => same('% a month'),
  _s_per_h: () => same('s an hour'),
  seconds_per_h: () => same('s an hour'),
  _years: () => same('years'),
  _h: () => same('h'),
  _MHz: () => same('MHz'),
  _kHz: () => same('kHz'),
  _dBm: () => same('dBm'),
  _dBi: () => same('dBi'),
  _dB: () => same('dB'),
  _kWh_m2_day: () => same('kWh/m² a day'),
};
const ENDINGS = Object.keys(UNITS).sort((a, b) => b.length - a.length);

/** The unit of a field, by its name; without a symbol for counts, shares and words. */
export function unitOf(field: string, display: Display): ShownUnit {
  const ending = ENDINGS.find((end) => field.endsWith(end));
  return ending === undefined ? same('') : UNITS[ending]!(display);
}

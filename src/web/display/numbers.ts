/** Numbers and dates as the reader's country writes them. */

/** Formats with at most `digits` significant digits; a missing number is a dash. */
export function formatFor(locale: string | undefined) {
  const kept = new Map<string, Intl.NumberFormat>();
  const by = (options: Intl.NumberFormatOptions) => {
    const key = JSON.stringify(options);
    const found = kept.get(key) ?? new Intl.NumberFormat(locale, options);
    kept.set(key, found);
    return found;
  };
  return {
    /** Up to `digits` significant digits, no useless zeros. */
    figure: (value: number, digits = 3) =>
      Number.isFinite(value) ? by({ maximumSignificantDigits: digits }).format(value) : '–',
    /** A fixed number of decimals. */
    fixed: (value: number, decimals: number) =>
      Number.isFinite(value)
        ? by({ minimumFractionDigits: decimals, maximumFractionDigits: decimals }).format(value)
        : '–',
    /** A number to be edited again: all its digits, no grouping. */
    editable: (value: number) =>
      Number.isFinite(value) ? by({ maximumSignificantDigits: 12, useGrouping: false }).format(value) : '',
    /** A share 0..1 in per cent; rare is not told as never. */
    percent(share: number, decimals = 0) {
      if (!Number.isFinite(share)) return '–';
      const least = 10 ** -decimals;
      const number = by({ minimumFractionDigits: decimals, maximumFractionDigits: decimals });
      if (share > 0 && share * 100 < least / 2) return `<${number.format(least)} %`;
      if (share < 1 && share * 100 > 100 - least / 2) return `>${number.format(100 - least)} %`;
      return `${number.format(share * 100)} %`;
    },
    /** `14 Nov 2026, 16:02` in the reader's own order and clock. */
    moment(iso: string) {
      const date = new Date(iso);
      if (Number.isNaN(date.getTime())) return '–';
      return new Intl.DateTimeFormat(locale, { dateStyle: 'medium', timeStyle: 'short' }).format(date);
    },
  };
}

export type Format = ReturnType<typeof formatFor>;

/**
 * A number as someone may type it, with point or comma, with or without grouping; undefined when it is none. `1,500` and
 * `1.500` are read by `decimal`, the decimal sign of the reader's country; where only one reading makes sense, that one holds.
 */
export function parseNumber(text: string, decimal: '.' | ',' = '.'): number | undefined {
  const plain = text
    .trim()
    .replace(/[\s\u00a0\u202f'’]/g, '')
    .replace('\u2212', '-');
  const match = /^([+-]?)(\d[\d.,]*|[.,]\d+)(e[+-]?\d+)?$/i.exec(plain);
  if (match === null) return undefined;
  const [, sign = '', body = '', exponent = ''] = match;
  const digits = plainDigits(body, decimal);
  if (digits === undefined) return undefined;
  const value = Number(`${sign}${digits}${exponent}`);
  return Number.isFinite(value) ? value : undefined;
}

const grouped = (text: string, sign: string) => new RegExp(`^\\d{1,3}(\\${sign}\\d{3})+$`).test(text);

function plainDigits(body: string, decimal: '.' | ','): string | undefined {
  const grouping = decimal === '.' ? ',' : '.';
  const read = (point: '.' | ',', group: '.' | ',') => {
    const parts = body.split(point);
    const [whole = '', fraction = ''] = parts;
    if (parts.length > 2 || fraction.includes(group)) return undefined;
    if (whole.includes(group) && !grouped(whole, group)) return undefined;
    return `${whole.replaceAll(group, '') || '0'}.${fraction || '0'}`;
  };
  return read(decimal, grouping) ?? read(grouping, decimal);
}

/** The decimal sign of a country. */
export function decimalOf(locale: string | undefined): '.' | ',' {
  const part = new Intl.NumberFormat(locale).formatToParts(1.5).find((p) => p.type === 'decimal');
  return part?.value === ',' ? ',' : '.';
}

/** Scales from data to px, and round steps for axes. */

export interface Scale {
  (value: number): number;
  readonly domain: readonly [number, number];
  readonly range: readonly [number, number];
}

function scale(
  domain: readonly [number, number],
  range: readonly [number, number],
  shape: (v: number) => number,
): Scale {
  const a = shape(domain[0]);
  const span = shape(domain[1]) - a;
  // A domain without width maps to the middle of the range.
  const map = (value: number) =>
    span === 0 ? (range[0] + range[1]) / 2 : range[0] + ((shape(value) - a) / span) * (range[1] - range[0]);
  return Object.assign(map, { domain, range });
}

export function linearScale(domain: readonly [number, number], range: readonly [number, number]): Scale {
  return scale(domain, range, (v) => v);
}

/** Both ends of the domain must be above zero. */
export function logScale(domain: readonly [number, number], range: readonly [number, number]): Scale {
  if (!(domain[0] > 0 && domain[1] > 0)) throw new RangeError(`logScale: domain ${domain.join('..')}`);
  return scale(domain, range, Math.log);
}

/** The value, or the nearer end; the fallback when it is not a number. */
export function clamp(value: number, low: number, high: number, fallback = low): number {
  return Number.isNaN(value) ? fallback : Math.min(Math.max(value, low), high);
}

/** Step of 1, 2 or 5 times a power of ten that cuts a span into about `count` parts (Heckbert 1990, Graphics Gems I). */
export function niceStep(span: number, count: number): number {
  if (!(span > 0) || !Number.isFinite(span)) return 1;
  const raw = span / Math.max(count, 1);
  const power = 10 ** Math.floor(Math.log10(raw));
  const share = raw / power;
  return (share < 1.5 ? 1 : share < 3 ? 2 : share < 7 ? 5 : 10) * power;
}

/** Round values from the first at or below `low` to the first at or above `high`. */
export function niceTicks(low: number, high: number, count = 5): number[] {
  if (!Number.isFinite(low) || !Number.isFinite(high) || high <= low) return [Number.isFinite(low) ? low : 0];
  const step = niceStep(high - low, count);
  const first = Math.floor(low / step + 1e-9);
  const last = Math.ceil(high / step - 1e-9);
  // The decimals of the step, so that 3 x 0.1 is 0.3.
  const decimals = clamp(-Math.floor(Math.log10(step) + 1e-9), 0, 100);
  const ticks: number[] = [];
  for (let i = first; i <= last; i++) ticks.push(Number((i * step).toFixed(decimals)));
  return ticks;
}

/** Largest finite value, or the fallback. */
export function finiteMax(values: Iterable<number>, fallback: number): number {
  let most = Number.NEGATIVE_INFINITY;
  for (const v of values) if (Number.isFinite(v) && v > most) most = v;
  return Number.isFinite(most) ? most : fallback;
}

export function finiteMin(values: Iterable<number>, fallback: number): number {
  let least = Number.POSITIVE_INFINITY;
  for (const v of values) if (Number.isFinite(v) && v < least) least = v;
  return Number.isFinite(least) ? least : fallback;
}

/**
 * Moves labels apart: positions at least `gap` from each other and inside low..high where there is room, as near to
 * where they want to be as a sweep down and a sweep back up allow. Order is kept.
 */
export function spreadLabels(wanted: readonly number[], gap: number, low: number, high: number): number[] {
  const order = wanted.map((_, i) => i).sort((a, b) => wanted[a]! - wanted[b]!);
  const placed = order.map((i) => clamp(wanted[i]!, low, high));
  for (let i = 1; i < placed.length; i++) placed[i] = Math.max(placed[i]!, placed[i - 1]! + gap);
  for (let i = placed.length - 1; i >= 0; i--) {
    const ceiling = i === placed.length - 1 ? high : placed[i + 1]! - gap;
    placed[i] = Math.min(placed[i]!, ceiling);
  }
  const out: number[] = [];
  order.forEach((i, k) => {
    out[i] = placed[k]!;
  });
  return out;
}

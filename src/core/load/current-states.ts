/** One level of current that the device holds again and again. */
export interface LoadState {
  /** Median of the samples in the state, mA. */
  readonly level_mA: number;
  /** Lowest and highest current counted to the state, mA. */
  readonly from_mA: number;
  readonly to_mA: number;
  /** Share of the time, 0..1; the shares sum to 1. */
  readonly timeShare: number;
  /** Charge drawn in the state, mAh; the charges sum to that of the whole log. */
  readonly charge_mAh: number;
  /** Times the state was entered. */
  readonly visits: number;
  /** Mean length of a visit, s. */
  readonly meanVisit_s: number;
}

/** At most so many states are told apart. */
export const MOST_STATES = 6;
/** Bins of the histogram for each e-fold of current. */
const BINS_PER_UNIT = 50;
/** Width of the smoothing kernel in e-folds: levels nearer than about 15 % are one state. */
const KERNEL = 0.05;
/** Below so many times the noise the scale is linear, above it logarithmic. */
const NOISE_MULTIPLE = 10;
/** A state's peak stands this many times above the saddle to its neighbour. */
const PEAK_TO_SADDLE = 3;
/** A state is held for at least this many samples in a row, at least once. */
const SHORTEST_HOLD = 3;
const SECONDS_PER_HOUR = 3600;

/**
 * Finds the 1 to 6 levels in a current log without being told how many.
 *
 * Currents are put on a scale y = asinh(I / (10·noise)): linear near the meter's noise, logarithmic above, so that 2 µA
 * of sleep, 6 mA of reception and 100 mA of transmission are equally well seen. On that scale a smoothed histogram of
 * samples is cut at its saddles: two peaks are two states when each stands three times above the saddle between them
 * (persistence of peaks, Edelsbrunner, Letscher & Zomorodian 2002), and a peak counts only if the current once stays
 * within it for three samples. Every sample then belongs to the peak on whose side it lies. Validated on synthetic logs
 * with known states only. Two states nearer than about 15 %, or than three times the noise, come out as one.
 */
export function findStates(time_s: Float64Array, current_mA: Float64Array): LoadState[] {
  const scale_mA = NOISE_MULTIPLE * noiseOf(current_mA);
  const y = Float64Array.from(current_mA, (value) => Math.asinh(value / scale_mA));
  let low = y[0];
  let high = y[0];
  for (const value of y) {
    if (value < low) low = value;
    if (value > high) high = value;
  }
  const origin = low - 4 * KERNEL;
  const bins = Math.ceil((high - low + 8 * KERNEL) * BINS_PER_UNIT) + 1;
  const binOf = Uint16Array.from(y, (value) => Math.min(bins - 1, Math.floor((value - origin) * BINS_PER_UNIT)));
  const counts = new Float64Array(bins);
  for (const bin of binOf) counts[bin]++;
  const labels = labelBins(smooth(counts), binOf);
  return describe(
    time_s,
    current_mA,
    Uint8Array.from(binOf, (bin) => labels[bin]),
  );
}

/**
 * Noise of the meter, mA: from the differences of neighbouring samples that both lie in the lower 30 %; not less than
 * a millionth of the range, and not less than half the meter's step where values repeat.
 */
function noiseOf(current_mA: Float64Array): number {
  const stride = Math.max(1, Math.floor(current_mA.length / 100_000));
  const picked = Float64Array.from({ length: Math.ceil(current_mA.length / stride) }, (_, i) => current_mA[i * stride]);
  picked.sort();
  const ceiling = picked[Math.floor(0.3 * (picked.length - 1))];
  const differences: number[] = [];
  for (let i = 0; i + 1 < current_mA.length; i += stride)
    if (current_mA[i] <= ceiling && current_mA[i + 1] <= ceiling)
      differences.push(Math.abs(current_mA[i + 1] - current_mA[i]));
  differences.sort((a, b) => a - b);
  const middle = differences[differences.length >> 1] ?? 0;
  let step = Number.POSITIVE_INFINITY;
  for (let i = 0; i < picked.length; i++) {
    // Values of a meter with steps are whole multiples of the step, so neither they nor their gaps are smaller.
    if (picked[i] !== 0) step = Math.min(step, Math.abs(picked[i]));
    if (i > 0 && picked[i] > picked[i - 1]) step = Math.min(step, picked[i] - picked[i - 1]);
  }
  const size = Math.max(Math.abs(picked[0]), Math.abs(picked[picked.length - 1]));
  // A difference of two normal errors has a median of 0.954 standard deviations of one.
  const sigma = middle / 0.954;
  return Math.max(sigma, Number.isFinite(step) ? step / 2 : 0, size * 1e-6, 1e-12);
}

/** Gaussian smoothing of the counts. */
function smooth(counts: Float64Array): Float64Array {
  const sigma = KERNEL * BINS_PER_UNIT;
  const reach = Math.ceil(4 * sigma);
  const kernel = Float64Array.from({ length: 2 * reach + 1 }, (_, k) => Math.exp(-0.5 * ((k - reach) / sigma) ** 2));
  const out = new Float64Array(counts.length);
  for (let b = 0; b < counts.length; b++) {
    if (counts[b] === 0) continue;
    for (let k = -reach; k <= reach; k++)
      if (b + k >= 0 && b + k < out.length) out[b + k] += counts[b] * kernel[k + reach];
  }
  return out;
}

/** Cuts the density at its saddles and numbers the states from the lowest level up; gives the state of each bin. */
function labelBins(density: Float64Array, binOf: Uint16Array): Uint8Array {
  let basins = basinsOf(density);
  for (;;) {
    const held = heldBasins(basins, binOf);
    const weakest = weakestOf(basins, held);
    if (weakest === -1) break;
    basins = basins.length === 1 ? basins : mergeBasin(basins, weakest);
  }
  const labels = new Uint8Array(density.length);
  basins.forEach((basin, state) => {
    labels.fill(state, basin.from, basin.to);
  });
  return labels;
}

/** A stretch of bins around one peak; `saddle` is the density at its upper border, to the next basin. */
interface Basin {
  readonly from: number;
  readonly to: number;
  readonly peak: number;
  readonly saddle: number;
}

function basinsOf(density: Float64Array): Basin[] {
  const basins: Basin[] = [];
  let from = 0;
  let peak = 0;
  let i = 0;
  const last = density.length - 1;
  while (i <= last) {
    while (i < last && density[i + 1] >= density[i]) i++;
    peak = density[i];
    while (i < last && density[i + 1] <= density[i]) i++;
    // A run of empty bins belongs half to each side.
    let start = i;
    while (start > from && density[start - 1] === density[i]) start--;
    const cut = i === last ? density.length : (start + i + 1) >> 1;
    if (peak > 0) basins.push({ from, to: cut, peak, saddle: i === last ? 0 : density[i] });
    from = cut;
    if (i === last) break;
  }
  return basins;
}

/** Which basins the current stays in for a while at least once. */
function heldBasins(basins: readonly Basin[], binOf: Uint16Array): boolean[] {
  const size = basins.length === 0 ? 0 : basins[basins.length - 1].to;
  const index = new Uint16Array(size);
  basins.forEach((basin, k) => {
    index.fill(k, basin.from, basin.to);
  });
  const held = basins.map(() => false);
  let run = 0;
  let before = -1;
  for (const bin of binOf) {
    const k = index[bin];
    run = k === before ? run + 1 : 1;
    before = k;
    if (run >= SHORTEST_HOLD) held[k] = true;
  }
  return held;
}

/** The basin to merge next: never held, or too flat, or one too many; -1 when all may stay. */
function weakestOf(basins: readonly Basin[], held: readonly boolean[]): number {
  if (basins.length < 2) return -1;
  let weakest = 0;
  let least = Number.POSITIVE_INFINITY;
  basins.forEach((basin, k) => {
    const saddle = Math.max(k > 0 ? basins[k - 1].saddle : 0, k < basins.length - 1 ? basin.saddle : 0);
    const ratio = saddle > 0 ? basin.peak / saddle : 1e9 * basin.peak;
    const strength = held[k] ? ratio : ratio * 1e-30;
    if (strength < least) {
      least = strength;
      weakest = k;
    }
  });
  return least < PEAK_TO_SADDLE || basins.length > MOST_STATES ? weakest : -1;
}

/**
 * Joins a basin to the neighbour across its higher saddle. One that stands apart from both (samples caught on the way
 * between two levels) goes to the higher level: an edge belongs to the event, and would spoil the sleep below.
 */
function mergeBasin(basins: readonly Basin[], k: number): Basin[] {
  const down = k > 0 ? basins[k - 1].saddle : -1;
  const up = k < basins.length - 1 ? basins[k].saddle : -1;
  const apart = Math.max(down, up) < 0.01 * basins[k].peak;
  const upwards = k < basins.length - 1 && (apart || up >= down);
  const first = upwards ? k : k - 1;
  const a = basins[first];
  const b = basins[first + 1];
  const joined = { from: a.from, to: b.to, peak: Math.max(a.peak, b.peak), saddle: b.saddle };
  return [...basins.slice(0, first), joined, ...basins.slice(first + 2)];
}

/** Sums of each state; a sample stands for half the time to each neighbour, so that all charges sum to the trapezoid's. */
function describe(time_s: Float64Array, current_mA: Float64Array, label: Uint8Array): LoadState[] {
  const states = Array.from({ length: Math.max(...new Set(label)) + 1 }, () => ({
    time_s: 0,
    charge_mAs: 0,
    visits: 0,
    from_mA: Number.POSITIVE_INFINITY,
    to_mA: Number.NEGATIVE_INFINITY,
    values_mA: [] as number[],
  }));
  const last = time_s.length - 1;
  for (let i = 0; i <= last; i++) {
    const state = states[label[i]];
    const width_s = 0.5 * (time_s[Math.min(i + 1, last)] - time_s[Math.max(i - 1, 0)]);
    state.time_s += width_s;
    state.charge_mAs += width_s * current_mA[i];
    state.values_mA.push(current_mA[i]);
    if (i === 0 || label[i - 1] !== label[i]) state.visits++;
    state.from_mA = Math.min(state.from_mA, current_mA[i]);
    state.to_mA = Math.max(state.to_mA, current_mA[i]);
  }
  const whole_s = time_s[last] - time_s[0];
  return states
    .filter((s) => s.values_mA.length > 0)
    .map((s) => ({
      level_mA: Float64Array.from(s.values_mA).sort()[s.values_mA.length >> 1],
      from_mA: s.from_mA,
      to_mA: s.to_mA,
      timeShare: s.time_s / whole_s,
      charge_mAh: s.charge_mAs / SECONDS_PER_HOUR,
      visits: s.visits,
      meanVisit_s: s.time_s / s.visits,
    }));
}

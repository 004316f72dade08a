import type { Random } from '../../../src/core/math/index.ts';

/** A level that the synthetic device holds; the device goes from one to the next at random. */
export interface Level {
  readonly current_mA: number;
  /** Mean length of a visit, s; lengths are exponential, at least four samples. */
  readonly visit_s: number;
  /** Weight with which it is chosen as the next level. */
  readonly weight: number;
}

export interface SyntheticLog {
  readonly time_s: Float64Array;
  readonly current_mA: Float64Array;
  /** Index of the level of each sample. */
  readonly level: Uint8Array;
}

/** A made-up current log with known levels; noise: `relative` of the level plus `zero_mA`. Not measured. */
export function syntheticLog(
  levels: readonly Level[],
  options: { samples: number; step_s: number; relative: number; zero_mA: number; random: Random },
): SyntheticLog {
  const { samples, step_s, random } = options;
  const time_s = new Float64Array(samples);
  const current_mA = new Float64Array(samples);
  const level = new Uint8Array(samples);
  let now = 0;
  let left = 0;
  for (let i = 0; i < samples; i++) {
    if (left <= 0) {
      const others = levels.map((l, k) => (k === now && levels.length > 1 ? 0 : l.weight));
      let pick = random.next() * others.reduce((a, b) => a + b, 0);
      now = 0;
      while (now < others.length - 1 && pick >= (others[now] ?? 0)) pick -= others[now++] ?? 0;
      left = Math.max(4, Math.round((-Math.log(1 - random.next()) * (levels[now]?.visit_s ?? 1)) / step_s));
    }
    left--;
    const current = levels[now]?.current_mA ?? 0;
    time_s[i] = i * step_s;
    level[i] = now;
    current_mA[i] = current * (1 + options.relative * random.normal()) + options.zero_mA * random.normal();
  }
  return { time_s, current_mA, level };
}

/**
 * Replaces `values[from..to)` by min(cap, f value) with the one factor f for which the weighted sum is `target`: the sum is
 * exact and no value passes its cap. When even all caps fall short of the target, the caps themselves are scaled (the sum
 * counts more than the caps) and false is returned. Values and caps must be positive where weights are.
 */
export function rescaleCapped(
  values: Float64Array,
  weights: ArrayLike<number>,
  caps: ArrayLike<number>,
  from: number,
  to: number,
  target: number,
): boolean {
  // f rises from round to round as more values reach their cap, so a capped value never comes free again.
  let factor = 0;
  for (let round = 0; round < 64; round++) {
    let capped = 0;
    let free = 0;
    for (let i = from; i < to; i++) {
      if (factor * values[i]! >= caps[i]!) capped += weights[i]! * caps[i]!;
      else free += weights[i]! * values[i]!;
    }
    if (free <= 0) return scaleCaps(values, weights, caps, from, to, target);
    const next = (target - capped) / free;
    if (round > 0 && next <= factor * (1 + 1e-12)) break;
    factor = next;
  }
  for (let i = from; i < to; i++) values[i] = Math.min(caps[i]!, factor * values[i]!);
  return true;
}

function scaleCaps(
  values: Float64Array,
  weights: ArrayLike<number>,
  caps: ArrayLike<number>,
  from: number,
  to: number,
  target: number,
): boolean {
  let sum = 0;
  for (let i = from; i < to; i++) sum += weights[i]! * caps[i]!;
  for (let i = from; i < to; i++) values[i] = sum > 0 ? (caps[i]! * target) / sum : 0;
  return false;
}

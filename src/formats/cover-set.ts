/** A choice of sets, and how good it is proved to be. */
export interface CoverChoice {
  /** Indexes of the chosen candidates, rising. */
  readonly chosen: readonly number[];
  /** Weight of the targets that the choice covers. */
  readonly covered: number;
  /** No choice covers more than this. */
  readonly bound: number;
  /** (bound - covered) / bound; 0: proved best. */
  readonly gap: number;
}

/**
 * Maximum coverage: chooses `n` of the candidates so that the weight of the targets covered by at least one is largest; among equals the
 * one with the largest sum of `merit` (0..1 a candidate).
 *
 * Integer program of Church & ReVelle 1974 (The maximal covering location problem, Papers in Regional Science 32; from memory), solved by a
 * general branch-and-cut solver: maximise the sum of w y and small merits, with y of a target at most the sum of x of the candidates that
 * cover it and n candidates in all. Compared with enumeration of all choices in test/formats/cover-set.test.ts. `limit_s` stops the
 * search; the gap tells what is open then. `wasm`: file of the solver's program, where it does not find it itself (in a bundle).
 *
 * @returns null when no `n` candidates are free of conflicts
 * @param conflicts pairs of candidates that may not both be chosen
 * @param covers for each candidate, the targets it covers
 * @param weights of the targets, whole numbers from 1
 */
export async function chooseCover(
  covers: readonly (readonly number[])[],
  weights: readonly number[],
  n: number,
  merit: readonly number[] = [],
  conflicts: readonly (readonly [number, number])[] = [],
  { limit_s = 60, wasm }: { readonly limit_s?: number; readonly wasm?: string | undefined } = {},
): Promise<CoverChoice | null> {
  if (!(Number.isInteger(n) && n >= 1 && n <= covers.length))
    throw new RangeError(`chooseCover: ${n} of ${covers.length}`);
  if (!weights.every((w) => Number.isInteger(w) && w >= 1))
    throw new RangeError('chooseCover: weights are whole numbers from 1');
  // All merits together stay below one step of the weight.
  const step = 0.5 / n;
  const coveredBy = weights.map(() => [] as number[]);
  covers.forEach((list, c) => {
    for (const t of list) coveredBy[t]!.push(c);
  });
  const terms = (items: readonly string[]) => (items.length === 0 ? '0 x0' : items.join('\n + '));
  const goal = [
    ...weights.map((w, t) => `${w} y${t}`),
    ...covers.map((_, c) => `${(step * Math.min(1, Math.max(0, merit[c] ?? 0))).toFixed(9)} x${c}`),
  ];
  const text = [
    'Maximize',
    ` covered: ${terms(goal)}`,
    'Subject To',
    ` number: ${terms(covers.map((_, c) => `x${c}`))} = ${n}`,
    ...coveredBy.map((list, t) => ` target${t}: y${t} ${list.map((c) => `- x${c}`).join('\n ')} <= 0`),
    ...conflicts.map(([c, d], k) => ` apart${k}: x${c} + x${d} <= 1`),
    'Bounds',
    ...weights.map((_, t) => ` 0 <= y${t} <= 1`),
    'Binaries',
    ...covers.map((_, c) => ` x${c}`),
    'End',
  ].join('\n');
  const solver = await import('highs');
  // Its types describe the CommonJS build, whose function stands one level deeper.
  const load = solver.default as unknown as typeof solver.default.default;
  const highs = await load(wasm === undefined ? {} : { locateFile: () => wasm });
  return highs.withModel({ format: 'lp', data: text }, (model) => {
    model.options.set({
      output_flag: false,
      time_limit: limit_s,
      random_seed: 1,
      mip_rel_gap: 0,
      mip_abs_gap: step / 1e4,
    });
    model.run();
    // A stop by the clock keeps the best choice found, if there is one.
    const status = model.getModelStatus();
    if (status !== highs.constants.modelStatus.optimal && Number(model.info.get('primal_solution_status')) !== 2)
      return null;
    const { colValue } = model.getSolution();
    const chosen = covers.flatMap((_, c) => (colValue[model.getColByName(`x${c}`)]! > 0.5 ? [c] : []));
    const reached = new Set(chosen.flatMap((c) => [...covers[c]!]));
    const covered = [...reached].reduce((sum, t) => sum + weights[t]!, 0);
    // Whole weights: the bound without the merits is the next whole number below.
    const found = Number(model.info.get('mip_dual_bound'));
    const bound = Math.max(covered, Math.floor(found + 1e-6));
    return { chosen, covered, bound, gap: bound > 0 ? (bound - covered) / bound : 0 };
  });
}

import { describe, expect, it } from 'vitest';
import { createRandom } from '../../src/core/math/index.ts';
import { chooseCover } from '../../src/formats/cover-set.ts';

/** Best weight over all choices of n candidates, and the best merit among those. */
function enumerate(covers: number[][], weights: number[], n: number, merit: number[], conflicts: [number, number][]) {
  let best = { covered: -1, merit: -1 };
  const chosen: number[] = [];
  const masks = covers.map((list) => list.reduce((m, t) => m | (1 << t), 0));
  const walk = (from: number, left: number, mask: number, sum: number) => {
    if (left === 0) {
      const covered = weights.reduce((s, w, t) => s + (mask & (1 << t) ? w : 0), 0);
      if (covered > best.covered || (covered === best.covered && sum > best.merit)) best = { covered, merit: sum };
      return;
    }
    for (let c = from; c <= covers.length - left; c++) {
      if (conflicts.some(([i, j]) => (c === i && chosen.includes(j)) || (c === j && chosen.includes(i)))) continue;
      chosen.push(c);
      walk(c + 1, left - 1, mask | masks[c]!, sum + merit[c]!);
      chosen.pop();
    }
  };
  walk(0, n, 0, 0);
  return best;
}

// Against enumeration of every choice, up to 20 candidates.
describe('best set of perches', () => {
  it('is the one that enumeration finds, and is told as proved', async () => {
    for (let seed = 1; seed <= 15; seed++) {
      const random = createRandom(seed);
      const candidates = 4 + random.below(17);
      const targets = 3 + random.below(22);
      const n = 1 + random.below(Math.min(4, candidates));
      const share = 0.05 + 0.4 * random.next();
      const covers = Array.from({ length: candidates }, () =>
        Array.from({ length: targets }, (_, t) => t).filter(() => random.next() < share),
      );
      const weights = Array.from({ length: targets }, () => 1 + random.below(seed % 2 === 0 ? 1 : 5));
      const merit = Array.from({ length: candidates }, () => random.next());
      const conflicts: [number, number][] = [];
      if (seed % 3 === 0)
        for (let i = 0; i < candidates; i++)
          for (let j = 0; j < i; j++) if (random.next() < 0.2) conflicts.push([j, i]);
      const best = enumerate(covers, weights, n, merit, conflicts);
      const found = await chooseCover(covers, weights, n, merit, conflicts);
      if (best.covered < 0 || found === null) {
        expect([best.covered, found]).toEqual([-1, null]);
        continue;
      }
      expect(found.chosen).toHaveLength(n);
      expect(found.covered).toBe(best.covered);
      expect(found.chosen.reduce((s, c) => s + merit[c]!, 0)).toBeCloseTo(best.merit, 3);
      expect(found.gap).toBe(0);
      expect(found.bound).toBe(best.covered);
    }
  });

  it('tells when no choice is free of conflicts', async () => {
    const all: [number, number][] = [
      [0, 1],
      [0, 2],
      [1, 2],
    ];
    expect(await chooseCover([[0], [1], [0, 1]], [1, 1], 2, [], all)).toBeNull();
  });

  it('holds where nothing covers anything', async () => {
    const found = await chooseCover([[], [], []], [1, 1], 2, [0.1, 0.9, 0.5]);
    expect(found).toEqual({ chosen: [1, 2], covered: 0, bound: 0, gap: 0 });
  });
});

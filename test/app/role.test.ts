import { describe, expect, it } from 'vitest';
import { adviseRole, paretoFront, type SeenLink } from '../../src/app/role.ts';

const clear: SeenLink = { sight: 'clear', margin_dB: 30 };
const weak: SeenLink = { sight: 'several edges', margin_dB: 2 };
const none: SeenLink = { sight: 'several edges', margin_dB: -20 };

// The rule itself: common practice, no source.
describe('role advice', () => {
  it('is leaf where there is nobody to forward to', () => {
    expect(adviseRole([none, none, none], () => clear)).toMatchObject({ role: 'leaf', heard: 0 });
    expect(adviseRole([clear, none, null], () => none)).toMatchObject({ role: 'leaf', heard: 1 });
  });

  it('is backbone only by clear sight that the others lack', () => {
    const own = [clear, clear, clear, clear];
    expect(adviseRole(own, () => none)).toMatchObject({ role: 'backbone', clear: 4, bridgedClear: 6 });
    expect(adviseRole(own, () => clear)).toMatchObject({ role: 'relay', bridgedClear: 0 });
    expect(adviseRole([clear, clear, none, none, none, none, none], () => none)).toMatchObject({ role: 'relay' });
    expect(adviseRole([weak, weak, weak, weak], () => none)).toMatchObject({ role: 'relay', clear: 0, bridged: 6 });
  });

  it('is relay else, with the reason', () => {
    expect(adviseRole([weak, weak, none], () => weak).reason).toContain('hear each other too');
    expect(adviseRole([weak, weak, none], () => none).reason).toContain('joins 1 pair');
    expect(adviseRole([clear], () => null).role).toBe('relay');
  });
});

describe('Pareto front', () => {
  it('keeps what nothing beats, equals among it', () => {
    expect(
      paretoFront([
        [1, 5],
        [2, 4],
        [1, 4],
        [2, 4],
        [Number.NaN, 6],
      ]),
    ).toEqual([0, 1, 3, 4]);
  });
});

import { clopperPearson, type Interval } from '../core/math/index.ts';
import { userError } from '../core/units/index.ts';

/** How rarely a node may be dark: the share of winters with a dark hour. */
export interface Target {
  readonly share: number;
  readonly text: string;
}

export const DEFAULT_TARGET = '1 dark winter in 20';

/** Reads `1 dark winter in 20`, `1 in 20`, `5 %` or `0.05`. */
export function readTarget(text: string): Target {
  const ratio =
    /^\s*(\d+(?:\.\d+)?)\s*(?:dark\s+)?(?:winters?|years?)?\s*(?:in|\/|of)\s*(\d+(?:\.\d+)?)\s*(?:winters?|years?)?\s*$/i.exec(
      text,
    );
  const per = /^\s*(\d+(?:\.\d+)?)\s*%\s*$/.exec(text);
  const plain = /^\s*(0?\.\d+)\s*$/.exec(text);
  const share = ratio ? Number(ratio[1]) / Number(ratio[2]) : per ? Number(per[1]) / 100 : plain ? Number(plain[1]) : 0;
  if (!(share > 0 && share < 1))
    throw userError(
      'target-unreadable',
      `the target '${text}' is not understood: write e.g. "${DEFAULT_TARGET}" or "5 %"; a target of never cannot be shown by any number of years`,
    );
  return {
    share,
    text: ratio
      ? `${ratio[1]} dark winter${ratio[1] === '1' ? '' : 's'} in ${ratio[2]}`
      : `${share * 100} % of winters dark`,
  };
}

/** Years without any dark one that are needed before the upper bound meets a share (two-sided 95 %). */
export function yearsNeeded(share: number): number {
  return Math.ceil(Math.log(0.025) / Math.log(1 - share));
}

export type State = 'stays up' | 'on the edge' | 'goes dark';

/** A design meets the target when its upper bound does, misses it when its lower bound does, and is on the edge between. */
export function stateOf(share: Interval, target: Target): State {
  if (share.high <= target.share) return 'stays up';
  return share.low > target.share ? 'goes dark' : 'on the edge';
}

/** The interval on `dark` dark years of `years`. */
export function shareOf(dark: number, years: number): Interval {
  return clopperPearson(dark, years);
}

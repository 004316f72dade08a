import { normalShareBelow } from '../math/index.ts';

/** One end of a link, as a sender and as a receiver. */
export interface LinkEnd {
  /** At the antenna connector of the radio. */
  readonly transmit_dBm: number;
  /** Cable, connectors and filter between radio and antenna. */
  readonly feederLoss_dB: number;
  /** From the measured sweep: power that the antenna sends back. */
  readonly mismatchLoss_dB: number;
  /** Gain towards the other end, the elevation pattern counted. */
  readonly gain_dBi: number;
  /** Weakest signal at the connector, external noise and a measured rise of the noise counted. */
  readonly sensitivity_dBm: number;
}

/** What lies between the ends; losses that depend on place or guess bring their spread along. */
export interface LinkBetween {
  readonly pathLoss_dB: number;
  readonly polarizationLoss_dB?: number;
  /** Entry into a building, clutter at an end and the like, the median. */
  readonly extraLoss_dB?: number;
  /** Set aside for fading with time. */
  readonly fadeMargin_dB?: number;
  /** Standard deviation of the model's error. */
  readonly modelSpread_dB: number;
  /** Standard deviations of what varies besides: place, building. */
  readonly otherSpreads_dB?: readonly number[];
}

export interface OneWay {
  readonly received_dBm: number;
  /** Received power over the sensitivity, the fade margin taken off. */
  readonly margin_dB: number;
  /** Chance that the link closes that way, from the margin and the spread. */
  readonly odds: number;
}

export interface LinkBudget {
  readonly there: OneWay;
  readonly back: OneWay;
  /** Spread of all, as one standard deviation. */
  readonly spread_dB: number;
  /** The weaker way: a link is as good as that. */
  readonly margin_dB: number;
  readonly odds: number;
}

/**
 * Link budget both ways, dB and dBm: what is sent, less all losses, against what is needed.
 *
 * The path is reciprocal, so both ways share one error: the odds of the link are those of the weaker way. Spreads add as squares and
 * the sum is taken as normal (usual for slow fading in dB). Plain sums; checked by hand.
 */
export function linkBudget(from: LinkEnd, to: LinkEnd, between: LinkBetween): LinkBudget {
  const { pathLoss_dB, polarizationLoss_dB = 0, extraLoss_dB = 0, fadeMargin_dB = 0 } = between;
  const spread_dB = Math.hypot(between.modelSpread_dB, ...(between.otherSpreads_dB ?? []));
  const loss_dB =
    pathLoss_dB +
    polarizationLoss_dB +
    extraLoss_dB +
    from.feederLoss_dB +
    from.mismatchLoss_dB +
    to.feederLoss_dB +
    to.mismatchLoss_dB -
    from.gain_dBi -
    to.gain_dBi;
  const way = (sender: LinkEnd, receiver: LinkEnd): OneWay => {
    const received_dBm = sender.transmit_dBm - loss_dB;
    const margin_dB = received_dBm - receiver.sensitivity_dBm - fadeMargin_dB;
    return { received_dBm, margin_dB, odds: oddsOf(margin_dB, spread_dB) };
  };
  const there = way(from, to);
  const back = way(to, from);
  const weaker = there.margin_dB <= back.margin_dB ? there : back;
  return { there, back, spread_dB, margin_dB: weaker.margin_dB, odds: weaker.odds };
}

/** Chance that a margin with a normal spread is not used up. */
export function oddsOf(margin_dB: number, spread_dB: number): number {
  if (spread_dB === 0) return margin_dB >= 0 ? 1 : 0;
  return normalShareBelow(margin_dB / spread_dB);
}

/** Error band of a kind of link: the usual excess of the true loss over the computed one, and its spread for a new link. */
export interface ErrorBand {
  readonly excess_dB: number;
  readonly spread_dB: number;
}

/** Weight of the prior band, in links, for its mean and for its spread (our choice: a handful of measurements outweighs it). */
const PRIOR_LINKS = { mean: 1, spread: 4 };

/**
 * Narrows (or widens) the error band of a kind of link by measured links of that kind.
 *
 * `excess_dB` holds, for each measured link, measured loss minus computed loss. Conjugate normal model with unknown mean and variance
 * (Gelman et al. 2013, Bayesian Data Analysis, sec. 3.3); the prior expects no excess and, for a new link, `prior_dB`. The answer is the
 * spread of the prediction for the next link, as the scale of its t distribution. With no measurement it is the prior itself.
 */
export function narrowBand(prior_dB: number, excess_dB: readonly number[]): ErrorBand {
  const { mean: k0, spread: v0 } = PRIOR_LINKS;
  const n = excess_dB.length;
  const variance0 = (prior_dB * prior_dB * k0) / (k0 + 1);
  const mean = n === 0 ? 0 : excess_dB.reduce((sum, x) => sum + x, 0) / n;
  const scatter = excess_dB.reduce((sum, x) => sum + (x - mean) ** 2, 0);
  const kn = k0 + n;
  const vn = v0 + n;
  const variance = (v0 * variance0 + scatter + ((k0 * n) / kn) * mean * mean) / vn; // BDA sec. 3.3
  return { excess_dB: (n * mean) / kn, spread_dB: Math.sqrt(variance * (1 + 1 / kn)) };
}

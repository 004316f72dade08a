/** Ground cover and measured links in sentences. */
import type { CoverOutcome } from './cover.ts';
import type { MeasuredBands } from './measured-bands.ts';
import type { MeasuredBand } from './path-measured.ts';
import { figure } from './words.ts';

export function coverText(cover: CoverOutcome): string {
  const rows = cover.classes
    .filter((c) => c.share > 0)
    .map((c) => {
      const loss = c.loss_dB === null ? '' : `, ${c.loss_dB} dB in it`;
      return `${c.class}${c.height_m > 0 ? ` ${c.height_m} m high` : ''}${loss} on ${figure(100 * c.share, 2)} %`;
    });
  return `Ground cover of ${cover.file}: ${rows.join('; ')} of the ground looked at.`;
}

const dB = (value: number) => value.toFixed(1);

export function measuredText(m: MeasuredBand): string {
  if (m.links === 0) return `Measured: no ${m.kind} link among them, so the error band stays at ${dB(m.prior_dB)} dB.`;
  const many = m.links === 1 ? `1 ${m.kind} link loses` : `${m.links} ${m.kind} links lose`;
  const side = m.excess_dB < 0 ? 'less' : 'more';
  const spread = m.sd_dB === null ? '' : `, standard deviation ${dB(m.sd_dB)} dB`;
  return `Measured: ${many} ${dB(Math.abs(m.excess_dB))} dB ${side} than computed (weighed with what was expected; their own mean ${dB(m.mean_dB ?? 0)} dB${spread}); the error band goes from ${dB(m.prior_dB)} to ${dB(m.spread_dB)} dB.`;
}

/** All that an answer tells of both. */
export const aroundTexts = (o: {
  readonly cover: CoverOutcome | null;
  readonly measured?: MeasuredBands | null;
}): string[] => [
  ...(o.cover === null ? [] : [coverText(o.cover)]),
  ...(o.measured ? [measuredText(o.measured.clear), measuredText(o.measured.obstructed)] : []),
];

import { type ErrorBand, narrowBand } from '../core/path/index.ts';
import { type MeasuredLink, readMeasuredLinks } from '../formats/measured-links.ts';
import type { LinkKind, Station } from './link.ts';
import type { LinkCase, LinkResult } from './path-link.ts';
import type { Ports } from './ports.ts';

/** The error band of a kind of link after measurement. */
export interface MeasuredBand extends ErrorBand {
  readonly kind: LinkKind;
  readonly prior_dB: number;
  /** Mean and standard deviation of the excess of the links, as measured; null where there are too few. */
  readonly mean_dB: number | null;
  readonly sd_dB: number | null;
  /** Links of that kind that were measured, and rows behind them. */
  readonly links: number;
  readonly rows: number;
}

/** Computes another link, whose ends are perch files or positions; undefined where that cannot be done. */
export type Elsewhere = (
  from: string,
  to: string,
) => Promise<{ readonly snr_dB: number; readonly kind: LinkKind } | undefined>;

/** Above this ratio receivers no longer tell the truth: they read less than there is (from memory). */
export const SATURATED_dB = 9;

/**
 * What measured links say about the error of the model for the kind of link at hand.
 *
 * A link counts once, by the mean of all its rows both ways; its excess is the computed ratio less the measured one.
 */
export async function measuredBand(
  ports: Ports,
  file: string,
  given: { readonly a?: string | undefined; readonly b?: string | undefined },
  link: LinkCase,
  now: LinkResult,
  notes: string[],
  elsewhere?: Elsewhere,
): Promise<MeasuredBand> {
  const { rows, notes: fileNotes } = readMeasuredLinks(await ports.readText(file), file);
  notes.push(...fileNotes);
  const names = [namesOf(link.a, given.a), namesOf(link.b, given.b)] as const;
  const byLink = new Map<string, number[]>();
  let saturated = 0;
  let unknown = 0;
  let otherKind = 0;
  const computed = new Map<string, Awaited<ReturnType<Elsewhere>>>();
  const expectedOf = async (
    row: MeasuredLink,
    from: number,
    to: number,
  ): Promise<number | 'other kind' | undefined> => {
    if (row.expectedSnr_dB !== undefined) return row.expectedSnr_dB;
    if (from !== to && from >= 0 && to >= 0) return from === 0 ? now.snrThere_dB : now.snrBack_dB;
    const key = `${row.from}>${row.to}`;
    if (!computed.has(key)) computed.set(key, await elsewhere?.(row.from, row.to));
    const found = computed.get(key);
    return found !== undefined && found.kind !== now.kind ? 'other kind' : found?.snr_dB;
  };
  for (const row of rows) {
    const ends = [row.from, row.to].map((name) => names.findIndex((list) => list.includes(name.toLowerCase())));
    const [from, to] = [ends[0]!, ends[1]!];
    const expected_dB = await expectedOf(row, from, to);
    if (expected_dB === undefined) unknown++;
    else if (expected_dB === 'other kind') otherKind++;
    else if (row.snr_dB >= SATURATED_dB && expected_dB > row.snr_dB) saturated++;
    else {
      // The two ends at hand go by several names.
      const key = [row.from, row.to]
        .map((name, i) => (ends[i]! >= 0 ? `#${ends[i]}` : name.toLowerCase()))
        .sort()
        .join('>');
      byLink.set(key, [...(byLink.get(key) ?? []), expected_dB - row.snr_dB]);
    }
  }
  const counted = (n: number) => `${n} row${n === 1 ? '' : 's'} of ${file} ${n === 1 ? 'is' : 'are'} passed over`;
  if (unknown > 0)
    notes.push(
      `${counted(unknown)}: neither ${link.a.name} > ${link.b.name} nor the way back, no expectedSnr_dB beside it, and no two perch files on the terrain.`,
    );
  if (otherKind > 0) notes.push(`${counted(otherKind)}: that link is not ${now.kind}.`);
  if (saturated > 0)
    notes.push(`${counted(saturated)}: above ${SATURATED_dB} dB a receiver tells less than there is (from memory).`);
  return bandOf(now.kind, link.spread_dB[now.kind], [...byLink.values()]);
}

/** The band of a kind from the excesses of its links, each with all its rows. */
export function bandOf(kind: LinkKind, prior_dB: number, links: readonly (readonly number[])[]): MeasuredBand {
  const excess = links.map((list) => list.reduce((sum, x) => sum + x, 0) / list.length);
  const n = excess.length;
  const mean_dB = n === 0 ? null : excess.reduce((sum, x) => sum + x, 0) / n;
  const square = mean_dB === null ? 0 : excess.reduce((sum, x) => sum + (x - mean_dB) ** 2, 0);
  return {
    ...narrowBand(prior_dB, excess),
    kind,
    prior_dB,
    mean_dB,
    sd_dB: n < 2 ? null : Math.sqrt(square / (n - 1)),
    links: n,
    rows: links.reduce((sum, list) => sum + list.length, 0),
  };
}

/** The names by which a file may call an end: its own, and that of its perch file with or without folder and ending. */
function namesOf(station: Station, given: string | undefined): string[] {
  const base = given?.split(/[\\/]/).at(-1);
  return [station.name, given, base, base?.replace(/\.(ya?ml|json)$/i, '')]
    .filter((name): name is string => name !== undefined)
    .map((name) => name.toLowerCase());
}

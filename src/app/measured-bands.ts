/** What measured links say about the error of the model, for all the links of a coverage: a band for each kind. */
import type { GridPlace } from '../core/reach/index.ts';
import { readMeasuredLinks } from '../formats/measured-links.ts';
import type { Ground } from './ground.ts';
import { beside, readPerchFile } from './inputs.ts';
import { type LinkKind, linkKind, MODEL_SPREAD_dB, type Station } from './link.ts';
import { linkOver, linkScale } from './margin.ts';
import { parsePosition } from './path-ends.ts';
import { bandOf, type MeasuredBand, SATURATED_dB } from './path-measured.ts';
import type { Ports } from './ports.ts';

export type MeasuredBands = Readonly<Record<LinkKind, MeasuredBand>>;

/** An end of a measured link on the ground at hand. */
export interface KnownEnd {
  readonly place: GridPlace;
  readonly station: Station;
}

/** Whom a file may name: by lower-case name. Perch files and positions are found besides, with `perch` and `hand` as their stations. */
export interface KnownEnds {
  readonly byName: ReadonlyMap<string, KnownEnd>;
  readonly perch: Station;
  readonly hand: Station;
}

/**
 * Bands by measured links, each computed over the ground at hand. A link counts once, by the mean of its rows both ways; its excess is the
 * computed ratio less the measured one. A row that brings `expectedSnr_dB` and whose ends are not known counts for both kinds.
 */
export async function measuredBands(
  ports: Ports,
  file: string,
  ground: Ground,
  ends: KnownEnds,
  effectiveRadius_km: number,
  notes: string[],
): Promise<MeasuredBands> {
  const { rows, notes: fileNotes } = readMeasuredLinks(await ports.readText(file), file);
  notes.push(...fileNotes);
  const known = new Map<string, KnownEnd | undefined>();
  const endOf = async (name: string) => {
    if (!known.has(name)) known.set(name, await findEnd(ports, file, name, ground, ends));
    return known.get(name);
  };
  const computed = new Map<string, { snr_dB: number; kind: LinkKind } | undefined>();
  const linkOf = async (from: string, to: string) => {
    const key = `${from}\n${to}`;
    if (!computed.has(key)) {
      const [a, b] = [await endOf(from), await endOf(to)];
      const apart = a && b ? Math.hypot(a.place.row - b.place.row, a.place.column - b.place.column) : 0;
      const link =
        a && b && apart >= 1
          ? linkOver(ground, a.place, b.place, linkScale(a.station, b.station, 0, effectiveRadius_km))
          : null;
      computed.set(key, link === null ? undefined : { snr_dB: link.snr_dB, kind: linkKind(link.sight) });
    }
    return computed.get(key);
  };
  const byKind = { clear: new Map<string, number[]>(), obstructed: new Map<string, number[]>() };
  let saturated = 0;
  let unknown = 0;
  for (const row of rows) {
    const link = await linkOf(row.from, row.to);
    const expected_dB = row.expectedSnr_dB ?? link?.snr_dB;
    if (expected_dB === undefined) unknown++;
    else if (row.snr_dB >= SATURATED_dB && expected_dB > row.snr_dB) saturated++;
    else {
      const key = [row.from, row.to]
        .map((name) => name.toLowerCase())
        .sort()
        .join('>');
      for (const kind of link === undefined ? (['clear', 'obstructed'] as const) : [link.kind])
        byKind[kind].set(key, [...(byKind[kind].get(key) ?? []), expected_dB - row.snr_dB]);
    }
  }
  const counted = (n: number) => `${n} row${n === 1 ? '' : 's'} of ${file} ${n === 1 ? 'is' : 'are'} passed over`;
  if (unknown > 0)
    notes.push(
      `${counted(unknown)}: its ends are not two of the places and perches at hand, nor perch files or positions on this ground, and no expectedSnr_dB stands beside it.`,
    );
  if (saturated > 0)
    notes.push(`${counted(saturated)}: above ${SATURATED_dB} dB a receiver tells less than there is (from memory).`);
  const band = (kind: LinkKind) => bandOf(kind, MODEL_SPREAD_dB[kind], [...byKind[kind].values()]);
  return { clear: band('clear'), obstructed: band('obstructed') };
}

async function findEnd(
  ports: Ports,
  file: string,
  name: string,
  ground: Ground,
  { byName, perch, hand }: KnownEnds,
): Promise<KnownEnd | undefined> {
  const named = byName.get(name.toLowerCase());
  if (named !== undefined) return named;
  const position = parsePosition(name);
  if (position !== undefined)
    return {
      place: ground.placeOf(position.latitude_deg, position.longitude_deg),
      station: { ...hand, height_m: position.height_m ?? hand.height_m },
    };
  if (!/\.(ya?ml|json)$/i.test(name)) return undefined;
  const found = await readPerchFile(ports, beside(file, name));
  const { latitude_deg, longitude_deg } = found.plan.place;
  return {
    place: ground.placeOf(latitude_deg, longitude_deg),
    station: { ...perch, name: found.plan.name, height_m: found.perch.height_m ?? perch.height_m },
  };
}

/** The names by which a file may call a perch: its own, and that of its file with or without folder and ending. */
export function namesOfPerch(name: string, given: string): string[] {
  const base = given.split(/[\\/]/).at(-1)!;
  return [name, given, base, base.replace(/\.(ya?ml|json)$/i, '')].map((n) => n.toLowerCase());
}

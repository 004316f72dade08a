/** The other perches of the workshop, each with its link to the one in hand, kit to kit. */
import { computed, effect, untracked } from '@preact/signals';
import { roughly_km } from '../../../app/roughly.ts';
import { writeYamlRecord } from '../../../formats/yaml-write.ts';
import type { RecordSummary } from '../../../server/api.ts';
import { cover, filesKey, onGround } from '../../state/around.ts';
import * as design from '../../state/design.ts';
import { terrain } from '../../state/ground.ts';
import { askLink, type FoundLink, type LinkEnds, links } from '../../state/links.ts';
import { type ReachSettings, radioKey, rawInHand, reachSettings, type Spot, spotNow } from '../../state/reach.ts';
import { loadRecord, perches } from '../../state/workshop.ts';
import type { MarkState } from './marks.ts';

/** Farther ones are not looked at; nor more than the nearest so many. */
export const FAR_km = 60;
const MOST = 40;
const REST_ms = 700;

export interface OtherPerch {
  readonly record: RecordSummary;
  readonly at: Spot;
  readonly away_km: number;
}

/** Others within reach of any radio of this kind, the nearest first. */
export const otherPerches = computed<readonly OtherPerch[]>(() => {
  const here = spotNow.value;
  const own = design.perchRecord.value?.id;
  if (here === null) return [];
  return perches.value
    .flatMap((record): OtherPerch[] => {
      if (record.id === own || record.place === undefined) return [];
      const away_km = roughly_km(here, record.place);
      return away_km <= FAR_km && away_km > 0.001 ? [{ record, at: record.place, away_km }] : [];
    })
    .sort((a, b) => a.away_km - b.away_km)
    .slice(0, MOST);
});

/** The text of a record in hand, with the changes. */
export function textInHand(kind: 'kit' | 'perch'): string {
  const record = kind === 'kit' ? design.kitRecord.value : design.perchRecord.value;
  if (record === null) return '';
  const changed = design.changes.value.some((c) => c.startsWith(`${kind}.`));
  return changed ? writeYamlRecord(rawInHand(kind), record.text) : record.text;
}

/** What all links from the perch in hand hang on. */
const hereKey = computed(() =>
  JSON.stringify([radioKey.value, onGround(reachSettings.value), cover.value === null ? '' : filesKey.value]),
);

/** What stands on the ground, as a link takes it. Wood is around a hand-held, not around another perch. */
export function groundOfLink(settings: ReachSettings, woods = true): Pick<LinkEnds, 'clutter_m' | 'cover' | 'woods_m'> {
  const { clutter_m = 0, woods_m } = onGround(settings);
  const file = cover.value;
  return {
    clutter_m,
    ...(file === null ? {} : { cover: file }),
    ...(woods && woods_m !== undefined ? { woods_m } : {}),
  };
}

export const linkKey = (far: string): string => `${hereKey.value} > ${far}`;
export const perchKey = (record: RecordSummary): string => linkKey(`${record.id}@${record.revision}`);

const ended = (key: string): FoundLink | undefined => {
  const found = links.value.get(key);
  return found && 'outcome' in found ? found : undefined;
};

/** The link to another perch, once it is known. */
export const linkTo = (record: RecordSummary): FoundLink | undefined => ended(perchKey(record));

export function stateOfLink(key: string): MarkState {
  const link = ended(key);
  if (link === undefined) return 'not judged';
  const { state } = link.outcome;
  return state === 'closes' ? 'reached' : state === 'on the edge' ? 'on the edge' : 'not reached';
}

/** Ends of the link to another perch: both have the kit in hand. */
async function endsTo({ record, at }: OtherPerch): Promise<LinkEnds> {
  const far = await loadRecord(record.id);
  const kit = textInHand('kit');
  return {
    from: spotNow.peek()!,
    to: at,
    perch: textInHand('perch'),
    kit,
    farKit: kit,
    far: { perch: far.text },
    ...groundOfLink(reachSettings.peek(), false),
  };
}

/** Asks for the link to a perch, once. */
export const askPerch = (other: OtherPerch) => askLink(perchKey(other.record), () => endsTo(other));

/** Looks at the links to the others whenever the hands rest. */
export function followOtherPerches(): () => void {
  let timer: ReturnType<typeof setTimeout> | undefined;
  const end = effect(() => {
    const list = otherPerches.value;
    hereKey.value;
    untracked(() => {
      clearTimeout(timer);
      if (terrain.peek()?.available !== true || radioKey.peek() === '') return;
      timer = setTimeout(() => {
        for (const other of list) askPerch(other);
      }, REST_ms);
    });
  });
  return () => {
    clearTimeout(timer);
    end();
  };
}

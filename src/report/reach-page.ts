/** The radio side of a perch: one self-contained HTML file. */

import type { Assumption, Caution } from '../core/energy/index.ts';
import type { Fonts } from './css.ts';
import { figureTwice, NARROW_px, type Page, pageLayout, section, WIDE_px } from './layout.ts';
import { type PanoramaInput, panorama, panoramaSentence } from './panorama.ts';
import { type ProfilePicture, profileChart } from './profile-chart.ts';
import { type MapPlace, type ReachMap, reachMapFigure } from './reach-map.ts';
import { REACH_STEPS, REACH_TEXT, type Step } from './sources.ts';
import { escapeText } from './svg.ts';
import { type Row, table } from './tables.ts';
import { formatNumber, formatPosition, percent } from './words.ts';
import { assumptionsSection, cautionsSection } from './year-tables.ts';

export interface PagePlace extends MapPlace {
  readonly distance_km: number;
  readonly azimuth_deg: number;
  readonly margin_dB: number;
  readonly odds: number;
  readonly sight: string;
  readonly dominant: string;
}

export interface ShareRow {
  readonly what: string;
  /** Of the ground within the radius, 0..1. */
  readonly share: number;
  readonly part?: boolean;
}

/** What the perch is good for among others. */
export interface PageRole {
  readonly role: string;
  readonly reason: string;
  readonly links: readonly {
    readonly name: string;
    readonly distance_km: number;
    readonly margin_dB: number;
    readonly odds: number;
    readonly sight: string;
  }[];
}

export interface ReachPageInput {
  readonly perch: string;
  readonly kit: string;
  /** Other end, in words. */
  readonly to: string;
  readonly latitude_deg: number;
  readonly longitude_deg: number;
  readonly ground_m: number;
  readonly height_m: number;
  readonly targetHeight_m: number;
  readonly setting: string;
  readonly frequency_MHz: number;
  readonly mostLoss_dB: { readonly there: number; readonly back: number };
  readonly farthest_km: number;
  readonly verdict: string;
  readonly map: Omit<ReachMap, 'places' | 'perch'>;
  readonly shares: readonly ShareRow[];
  /** In the order of the table and of the numbers on the map. */
  readonly places: readonly PagePlace[];
  /** Side views of some of them. */
  readonly profiles: readonly ProfilePicture[];
  readonly panorama: PanoramaInput;
  /** Null where no other perches were named. */
  readonly role: PageRole | null;
  /** One for each end; null where no region was named. */
  readonly limits: { readonly region: string; readonly lines: readonly LimitLine[] } | null;
  readonly notes: readonly string[];
  readonly assumptions: readonly Assumption[];
  readonly cautions: readonly Caution[];
  readonly generatedFrom: readonly string[];
  readonly fonts?: Fonts;
}

export interface LimitLine {
  readonly end: string;
  readonly text: string;
  readonly within: boolean;
}

/** Whom it does not reach, as the sentence under the verdict. */
export function missedSentence(places: readonly Pick<PagePlace, 'name' | 'reached'>[]): string {
  const missed = places.filter((p) => !p.reached).map((p) => p.name);
  if (places.length === 0) return 'No places were named: the ground alone is judged.';
  if (missed.length === 0) return 'All named places are reached.';
  return `Not reached: ${missed.join(', ')}.`;
}

const signed = (dB: number) => formatNumber(dB, 1);
/** Keeps a figure and its unit on one line. */
const bound = (text: string) => text.replace(/(\d) (?=(?:%|km²?|m|dB)(?![\w]))/g, '$1\u00a0');

function sharesTable(input: ReachPageInput): string {
  const rows: Row[] = input.shares.map(({ what, share, part }) => ({
    cells: [part ? `of it ${what}` : what, percent(share, share < 0.0995 ? 1 : 0).replace(' %', '')],
  }));
  return table(
    `Ground within ${input.map.radius_km} km, by area; ground that is not known is left out`,
    [{ head: 'ground' }, { head: 'share, %', figures: true }],
    rows,
  );
}

function placesTable(input: ReachPageInput): string {
  const rows: Row[] = input.places.map((p, i) => ({
    cells: [
      `${i + 1} ${p.name}`,
      formatNumber(p.distance_km, 1),
      formatNumber(p.azimuth_deg),
      signed(p.margin_dB),
      percent(p.odds).replace(' %', ''),
      p.sight,
      p.dominant,
      p.reached ? 'yes' : 'no',
    ],
  }));
  return table(
    'Not reached first, nearest first; then reached, weakest first; margin of the weaker way',
    [
      { head: 'place' },
      { head: 'distance, km', figures: true },
      { head: 'azimuth, °', figures: true },
      { head: 'margin, dB', figures: true },
      { head: 'odds, %', figures: true },
      { head: 'way' },
      { head: 'what dominates' },
      { head: 'reached' },
    ],
    rows,
  );
}

function roleSection({ role, perch }: ReachPageInput): string {
  if (role === null) return '';
  const rows: Row[] = role.links.map((l) => ({
    cells: [l.name, formatNumber(l.distance_km, 1), signed(l.margin_dB), percent(l.odds).replace(' %', ''), l.sight],
  }));
  return section(
    'role',
    'Role among the other perches',
    `${perch} would serve best as ${role.role}: ${role.reason}. Most nodes should be ordinary relays (common practice).`,
    rows.length === 0
      ? ''
      : table(
          'Links to the other perches, this kit at both ends',
          [
            { head: 'perch' },
            { head: 'distance, km', figures: true },
            { head: 'margin, dB', figures: true },
            { head: 'odds, %', figures: true },
            { head: 'way' },
          ],
          rows,
        ),
  );
}

const list = (items: readonly string[]) =>
  `<ul class="plain">${items.map((i) => `<li>${escapeText(i)}</li>`).join('')}</ul>`;

function limitsSection({ limits }: ReachPageInput): string {
  if (limits === null) return '';
  const over = limits.lines.filter((l) => !l.within).length;
  return section(
    'limits',
    `Legal limits, ${limits.region}`,
    over === 0
      ? 'Both ends keep a rule of the dated table; local law decides.'
      : 'As it stands this setting keeps no rule of the dated table: do not transmit with it before the local authority or a licence says otherwise.',
    list(limits.lines.map((l) => `${l.end}: ${l.text}`)),
  );
}

const steps = (all: readonly Step[]) =>
  `<ul>${all.map((s) => `<li>${escapeText(s.what)}: ${escapeText(s.source)}</li>`).join('')}</ul>`;

/**
 * Verdict, map, places with side views, panorama, role, limits, assumptions, cautions and method of one perch, to be laid
 * out as HTML or set on paper. Throws RangeError on a picture that is not base64.
 */
export function reachDocument(input: ReachPageInput): Page {
  const { perch, kit, to, places, profiles, fonts } = input;
  const small = { standalone: false } as const;
  const map = { ...input.map, perch, places };
  const main = [
    section(
      'map',
      'The ground that it reaches',
      bound(
        `Farthest ground reached: ${formatNumber(input.farthest_km, 1)} km. At most ${formatNumber(input.mostLoss_dB.there, 1)} dB may be lost on the way there and ${formatNumber(input.mostLoss_dB.back, 1)} dB on the way back; a link needs both.`,
      ),
      reachMapFigure(map, { wide: WIDE_px, narrow: NARROW_px }),
    ),
    section('shares', 'Shares of the ground', '', sharesTable(input)),
    places.length === 0 ? '' : section('places', 'Named places', '', placesTable(input)),
    profiles.length === 0
      ? ''
      : section(
          'profiles',
          'The ways there',
          [
            profiles.length < places.length
              ? `The ${profiles.length} of ${places.length} that decide: not reached and nearest first, then the weakest.`
              : '',
            'Loss in free space and over edges by delta-Bullington, as in the table; sunperch path takes ITU-R P.1812 in full, which may differ by some dB.',
          ]
            .filter((sentence) => sentence !== '')
            .join(' '),
          ...profiles.map(
            (p, i) =>
              `<div class="way"><h3>${escapeText(p.to.name)}</h3><p class="said">${escapeText(bound(p.sentence))}</p>${figureTwice(
                `profile-${i}`,
                (width, id) => profileChart(p, { ...small, id, width }),
              )}</div>`,
          ),
        ),
    section(
      'panorama',
      'What is seen from there',
      panoramaSentence(input.panorama),
      figureTwice('panorama-picture', (width, id) => panorama(input.panorama, { ...small, id, width })),
    ),
    roleSection(input),
    limitsSection(input),
    input.notes.length === 0 ? '' : section('notes', 'Not judged, and of the terrain', '', list(input.notes)),
  ];
  return {
    title: `${perch}: whom it reaches`,
    thing: [
      `${kit} at ${perch}`,
      `${formatPosition(input, 4)}, ground ${formatNumber(input.ground_m)} m`,
      `antenna ${formatNumber(input.height_m, 1)} m up`,
      `${input.setting}, ${input.frequency_MHz} MHz`,
      `to ${to}, ${formatNumber(input.targetHeight_m, 1)} m up`,
    ],
    verdict: bound(input.verdict),
    lead: missedSentence(places),
    main,
    aside: [assumptionsSection(input.assumptions), cautionsSection(input.cautions)],
    method: [`<p>${escapeText(REACH_TEXT)}</p>`, steps(REACH_STEPS)],
    generatedFrom: input.generatedFrom,
    ...(fonts === undefined ? {} : { fonts }),
  };
}

/** The same as an HTML file that needs nothing else: no script, no network; light and dark; A4, Letter and phones. */
export function reachPage(input: ReachPageInput): string {
  return pageLayout(reachDocument(input));
}

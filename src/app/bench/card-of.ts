/** What the quick-start card of a plan says for a region. */
import { userError } from '../../core/units/index.ts';
import {
  type PaperRequestOf,
  type QuickStart,
  settingOfVariant,
  type Variant,
  variantOf,
} from '../../records/bench/index.ts';
import { type Kit, winterTilt_deg } from '../../records/index.ts';
import { type LimitRow, limits } from '../limits.ts';
import { kitPower_W } from '../panels.ts';
import { makerOf, radioSetting } from './certificate-of.ts';
import { planIn } from './find.ts';
import type { PlanKit } from './kit-of-plan.ts';
import type { BenchState } from './state.ts';

/** A latitude about which many of the region's people live (common practice, no source): only to tilt the drawing's panel. */
const MIDDLES_deg = { US: 39, EU: 48, UK: 53, AU: -33, NZ: -41, JP: 36, IN: 22 } as const;
/** Gain of an antenna that the kit does not describe: a half-wave dipole, dBi. */
const DIPOLE_dBi = 2.15;
/** Lines on limits that a card of one page has room for. */
const MOST_RULES = 5;

/**
 * The card for a plan's kit in a region, with what is worth knowing before it is printed.
 *
 * @throws UserError when the workshop does not hold the kit, or the kit names no radio
 */
export function cardOf(
  state: BenchState,
  request: PaperRequestOf<'card'>,
  found: PlanKit | undefined,
): { readonly card: QuickStart; readonly notes: readonly string[] } {
  const { plan } = planIn(state, request.plan);
  if (found === undefined)
    throw userError(
      'no-kit',
      `the card needs panel, cells and radio of the kit ${plan.kit}, and the workshop does not hold it: save it first (sunperch workshop add)`,
      { field: 'plan' },
    );
  const { kit } = found;
  const { radio, antenna } = kit;
  if (radio === undefined)
    throw userError(
      'no-radio',
      `the card tells of the radio, and the kit ${plan.kit} has none: add radio (and antenna) to it`,
      { field: 'plan' },
    );
  const notes = revisionNotes(plan.kit, plan.kitRevision, found);
  const { region } = request;
  const latitude_deg = request.latitude_deg ?? MIDDLES_deg[region];
  const tilt_deg = request.tilt_deg ?? winterTilt_deg(latitude_deg);
  if (request.latitude_deg === undefined && request.tilt_deg === undefined)
    notes.push(`The panel's tilt is that for a latitude of ${latitude_deg}°; the place itself tells it better.`);
  if (antenna === undefined) notes.push(`The kit names no antenna: a gain of ${DIPOLE_dBi} dBi is taken.`);
  if (plan.maker === undefined) notes.push(NO_MAKER);
  else if (plan.maker.contact === undefined) notes.push('The plan names no contact, so the card tells no way to help.');
  const frequency_MHz = request.frequency_MHz ?? radio.frequency_MHz;
  const gain_dBi = antenna?.gain_dBi ?? DIPOLE_dBi;
  const rules = limits({
    region,
    frequency_MHz,
    bandwidth_kHz: radio.bandwidth_kHz,
    power_dBm: radio.power_dBm,
    gain_dBi,
    feederLoss_dB: antenna?.feederLoss_dB ?? 0,
  });
  if (rules.within === false) notes.push(rules.verdict);
  const judged = rules.rows.filter((row) => row.verdict !== 'not judged');
  const kept = [...judged.filter((r) => r.verdict === 'kept'), ...judged.filter((r) => r.verdict !== 'kept')];
  return {
    card: {
      kit: plan.name,
      revision: `revision ${plan.kitRevision}`,
      maker: makerOf(plan),
      contact: plan.maker?.contact ?? '',
      cells: { count: kit.cells.count, nominal_V: kit.cells.voltage_V, capacity_mAh: kit.cells.capacity_mAh },
      chargeStops_degC: kit.charger.cold_lockout ? kit.charger.chargeMin_degC : null,
      panelFeeds: kit.charger.power_path,
      panel_W: Math.round(100 * kitPower_W(kit)) / 100,
      panelFaces: latitude_deg < 0 ? 'north' : 'south',
      tilt_deg,
      cellsApart: request.cellsApart,
      radio: {
        region,
        frequency_MHz,
        setting: settingText(variantOf(plan, region), radio),
        power_dBm: radio.power_dBm,
        antennaGain_dBi: gain_dBi,
        limits: [rules.verdict, ...kept.slice(0, MOST_RULES).map(ruleText)],
        read: rules.readOn,
      },
    },
    notes,
  };
}

/** Name of the settings, the settings themselves, or both where a variant tells both. */
function settingText(variant: Variant | undefined, radio: NonNullable<Kit['radio']>): string {
  const name = variant?.settings;
  if (name === undefined) return radioSetting(radio);
  return settingOfVariant(variant) === undefined ? name : `${radioSetting(radio)} (${name})`;
}

/** Told where the plan names no maker. */
export const NO_MAKER = 'The plan names no maker: add maker with its name, address and contact to it.';

/** That the kit at hand is not of the revision that the plan builds. */
export const revisionNotes = (key: string, revision: string, { kit, sameRevision, number }: PlanKit): string[] =>
  sameRevision
    ? []
    : [
        `The plan builds revision ${revision} of ${key}; no kit in the workshop calls itself so, and its figures come from the newest there (${kit.revision === undefined ? `number ${number}` : `revision ${kit.revision}`}).`,
      ];

function ruleText(row: LimitRow): string {
  const power = (
    [
      ['conducted_dBm', 'at the connector'],
      ['eirp_dBm', 'e.i.r.p.'],
      ['erp_dBm', 'e.r.p.'],
    ] as const
  ).flatMap(([field, where]) => (row[field] === undefined ? [] : [`${Math.round(10 * row[field]) / 10} dBm ${where}`]));
  const asks = [
    ...(power.length === 0 ? [] : [`at most ${power.join(', ')}`]),
    ...(row.freeGain_dBi === undefined ? [] : [`antenna up to ${row.freeGain_dBi} dBi, less power above`]),
    ...(row.duty_pct === undefined ? [] : [`on the air at most ${row.duty_pct} % of the hour`]),
    ...(row.dwell === undefined ? [] : [row.dwell]),
  ];
  const sure = row.confirmation === 'partly' ? `partly confirmed: ${row.confirmed}` : row.confirmation;
  return `${row.from_MHz} to ${row.to_MHz} MHz, ${row.kind}: ${asks.length === 0 ? 'no limit known here' : asks.join('; ')} (${row.citation}; ${sure}).`;
}

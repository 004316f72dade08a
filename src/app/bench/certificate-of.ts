/** What the certificate of a unit says: every gate with every try; what failed stands there as what passed does. */
import {
  type Certificate,
  type CertificateGate,
  countingTry,
  type Gate,
  type GateTry,
  gateState,
  type Plan,
  settingOfVariant,
  UNIT_FIELDS,
  type UnitField,
  type UnitState,
  variantOf,
} from '../../records/bench/index.ts';
import type { Kit } from '../../records/index.ts';
import { batchIn, planOfUnit } from './find.ts';
import { type GateValue, gateUnit, guardText, limitText } from './gates.ts';
import type { BenchState } from './state.ts';

/** The radio setting as it is written everywhere: `SF8 / 125 kHz / 4:6`. */
export const radioSetting = ({ spreadingFactor, bandwidth_kHz, codingRate }: NonNullable<Kit['radio']>): string =>
  `SF${spreadingFactor} / ${bandwidth_kHz} kHz / ${codingRate.replace('/', ':')}`;

/** As papers name the maker where the plan does not. */
export const makerOf = (plan: Plan): string => plan.maker?.name ?? `the maker of ${plan.name}`;

/**
 * Certificate of a unit by the plan of its batch. Gates that are not required and were never measured are named among the
 * facts, not among the gates. Holds no key and no customer.
 */
export function certificateOf(state: BenchState, unit: UnitState, kit: Kit | undefined): Certificate {
  const plan = planOfUnit(state, unit);
  const batch = batchIn(state, unit.batch);
  const tried = (gate: Gate) => (unit.gates.get(gate.key)?.length ?? 0) > 0 || unit.overrides.has(gate.key);
  const shown = plan.gates.filter((gate) => gate.required || tried(gate));
  const leftOut = plan.gates.filter((gate) => !shown.includes(gate));
  return {
    serial: unit.serial,
    kit: plan.name,
    revision: `revision ${plan.kitRevision}`,
    batch: batch.name,
    maker: makerOf(plan),
    facts: [
      ['region', batch.region],
      ...radioFacts(plan, batch.region, kit),
      ...cellFacts(state, unit),
      ...measuredFacts(unit),
      ...(leftOut.length === 0
        ? []
        : [['not required, not measured', leftOut.map((gate) => gate.name).join(', ')] as const]),
    ],
    gates: shown.map((gate) => gateRow(unit, gate)),
    cautions: CAUTIONS,
  };
}

const CAUTIONS = [
  'Charging lithium-ion cells below 0 °C plates lithium: capacity is lost, and a cell may fail inside later.',
  'Another antenna, more power or another setting needs another look at the radio limits. Local law, codes and licensed practice decide; figures are estimates.',
];

function radioFacts(plan: Plan, region: string, kit: Kit | undefined): (readonly [string, string])[] {
  const facts: (readonly [string, string])[] = [];
  const variant = variantOf(plan, region);
  const settings = variant?.settings;
  if (settings !== undefined) facts.push(['settings of the region', settings]);
  if (kit?.radio !== undefined && (settings === undefined || settingOfVariant(variant) !== undefined))
    facts.push([
      'radio, by the design',
      `${radioSetting(kit.radio)}, ${kit.radio.frequency_MHz} MHz, ${kit.radio.power_dBm} dBm at the connector`,
    ]);
  return facts;
}

function cellFacts(state: BenchState, unit: UnitState): (readonly [string, string])[] {
  return unit.fitted
    .filter((f) => f.count > 0 && state.parts.get(f.part)?.is === 'cell')
    .map(({ part, lot, count }) => ['cells', `${count} × ${state.parts.get(part)!.name}, lot ${lot}`] as const);
}

function measuredFacts(unit: UnitState): (readonly [string, string])[] {
  return [...unit.measured].map(([field, { value, low, high, how, at }]) => {
    const [, name, measure = ''] = /^(.*?)(?:, ([^,]+))?$/.exec(UNIT_FIELDS[field as UnitField])!;
    const unitText = measure === '' ? '' : ` ${measure}`;
    const interval = low === undefined || high === undefined ? '' : ` (${low} to ${high})`;
    return [name!, `${value}${unitText}${interval}, ${how}, ${at.slice(0, 10)}`] as const;
  });
}

const withUnit = (gate: Gate, value: GateValue): string => {
  if (typeof value === 'boolean') return value ? 'yes' : 'no';
  const unit = gateUnit(gate);
  return unit === '' || typeof value === 'string' ? String(value) : `${value} ${unit}`;
};

function gateRow(unit: UnitState, gate: Gate): CertificateGate {
  const counts = countingTry(unit, gate.key);
  const state = gateState(unit, gate.key);
  const override = unit.overrides.get(gate.key);
  const earlier = (unit.gates.get(gate.key) ?? []).filter((t) => t !== counts);
  const band = gate.band === undefined ? '' : `, ${gate.band.from_MHz} to ${gate.band.to_MHz} MHz`;
  return {
    name: `${gate.name}${band}${gate.required ? '' : ' (not required)'}`,
    limits: `${limitText(gate)}${guardText(gate)}`,
    value: counts === undefined ? '' : withUncertainty(gate, counts.measured),
    verdict: state === 'open' ? 'not done' : state,
    instrument: counts?.measured.instrument ?? '',
    person: counts?.by ?? '',
    day: counts?.at.slice(0, 10) ?? '',
    ...(override === undefined ? {} : { override: { person: override.name, reason: override.reason } }),
    ...(earlier.length === 0 ? {} : { rework: earlier.map((t) => tryText(unit, gate, t)).join('; ') }),
  };
}

/** The value, with its own uncertainty where one was told with it. */
const withUncertainty = (gate: Gate, { value, uncertainty }: GateTry['measured']): string =>
  `${withUnit(gate, value)}${uncertainty === undefined ? '' : ` ± ${withUnit(gate, uncertainty)}`}`;

/** An earlier try, and what came after it. */
function tryText(unit: UnitState, gate: Gate, { at, by, measured, corrected, reopened }: GateTry): string {
  const rework = reopened ? unit.reworkedFor.find((r) => r.at >= at && r.gates.includes(gate.key)) : undefined;
  const then = corrected
    ? ', written down wrongly and put right'
    : rework !== undefined
      ? `, then rework: ${rework.reason}`
      : ', measured again';
  return `${withUncertainty(gate, measured)} on ${at.slice(0, 10)} by ${by}, ${measured.verdict}${then}`;
}

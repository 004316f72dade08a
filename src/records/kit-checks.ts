/** What must fit together in a kit. Each check reads what is there, so that it also speaks when other fields are wrong. */

import type { Chemistry, OcvPoint, OcvTable } from '../core/cells/index.ts';
import { NMC811, ocvTable, openCircuit_V, stateOfCharge } from '../core/cells/index.ts';
import { UserError } from '../core/units/index.ts';
import type { Finding } from './fields.ts';
import { loadFindings } from './load-checks.ts';
import type { RawMapping } from './loose.ts';
import { at, has, isMapping, mappingsAt, numberAt } from './loose.ts';
import { panelFindings } from './panel-checks.ts';

/** All findings over several fields of a kit. */
export function kitFindings(kit: unknown): readonly Finding[] {
  if (!isMapping(kit)) return [];
  const plain = at(kit, 'mode') === 'plain';
  const panels = mappingsAt(kit, 'panel');
  return [
    ...panels.flatMap(({ item, path }) => panelFindings(item, path, plain)),
    ...chargerFindings(kit),
    ...cutoffFindings(kit),
    ...cellsFindings(kit),
    ...thresholdFindings(kit),
    ...loadFindings(at(kit, 'load'), plain),
    ...linearFindings(kit),
    ...(plain ? plainFindings(kit) : []),
  ];
}

/** Which charger each of these fields belongs to; elsewhere it would have no effect, so it is a mistake. */
const ONLY_FOR: Readonly<Record<string, readonly string[]>> = {
  inputVoltage_V: ['linear', 'fixed-input'],
  vocFraction: ['voc-fraction'],
  dropout_V: ['linear'],
  trackingEfficiency: ['tracking'],
};

function chargerFindings(kit: RawMapping): Finding[] {
  const charger = at(kit, 'charger');
  if (!isMapping(charger)) return [];
  const findings: Finding[] = [];
  const say = (code: string, field: string, message: string) =>
    findings.push({ code, path: ['charger', field], message });
  const type = charger['type'];
  for (const [field, types] of Object.entries(ONLY_FOR)) {
    if (has(charger, field) && typeof type === 'string' && !types.includes(type))
      say(
        'not-for-this-charger',
        field,
        `${field} has no effect with type ${type}: it belongs to ${types.join(' and ')}`,
      );
  }
  if (type === 'fixed-input' && !has(charger, 'inputVoltage_V'))
    say(
      'input-voltage-missing',
      'inputVoltage_V',
      'inputVoltage_V is missing: the voltage at which the panel is held, near its vmp_V',
    );
  if (has(charger, 'ceiling_V') && has(charger, 'ceiling_soc'))
    say('ceiling-twice', 'ceiling_soc', 'both ceiling_V and ceiling_soc are given: keep one');
  const low = numberAt(charger, 'chargeMin_degC');
  const high = numberAt(charger, 'chargeMax_degC');
  if (low !== undefined && high !== undefined && low >= high)
    say(
      'charge-window',
      'chargeMax_degC',
      `chargeMax_degC is ${high}, not above chargeMin_degC ${low}: nothing would ever charge`,
    );
  const from = numberAt(charger, 'derateFrom_degC');
  const to = numberAt(charger, 'derateTo_degC');
  if ((from === undefined) !== (to === undefined)) {
    const given = from === undefined ? 'derateTo_degC' : 'derateFrom_degC';
    const other = from === undefined ? 'derateFrom_degC' : 'derateTo_degC';
    say('derating-half', given, `${given} is given without ${other}: the current falls from the one to the other`);
  } else if (from !== undefined && to !== undefined && from >= to)
    say('derating-order', 'derateTo_degC', `derateTo_degC is ${to}, not above derateFrom_degC ${from}`);
  const curve = charger['efficiency'];
  if (Array.isArray(curve)) {
    for (let i = 1; i < curve.length; i++) {
      const before = numberAt(curve, i - 1, 'power_W');
      const power = numberAt(curve, i, 'power_W');
      if (before !== undefined && power !== undefined && power <= before)
        findings.push({
          code: 'curve-order',
          path: ['charger', 'efficiency', i, 'power_W'],
          message: `power_W ${power} follows ${before}: it must rise from point to point`,
        });
    }
  }
  const input = numberAt(charger, 'inputVoltage_V');
  for (const { item, path } of mappingsAt(kit, 'panel')) {
    const vmp = numberAt(item, 'vmp_V');
    const voc = numberAt(item, 'voc_V') ?? (vmp === undefined ? undefined : 1.2 * vmp); // typical ratio, from memory
    const diode = numberAt(item, 'blockingDiode_V') ?? 0;
    if (type === 'fixed-input' && input !== undefined && voc !== undefined && input + diode >= voc)
      say(
        'input-above-open-circuit',
        'inputVoltage_V',
        `inputVoltage_V is ${input}: ${path.length > 1 ? `panel ${Number(path[1]) + 1}` : 'the panel'} gives at most ${round(voc - diode)} V with no current, so nothing would be harvested`,
      );
  }
  return findings;
}

function cutoffFindings(kit: RawMapping): Finding[] {
  const cutoff = at(kit, 'cutoff');
  if (!isMapping(cutoff)) return [];
  const findings: Finding[] = [];
  const say = (code: string, field: string | undefined, message: string) =>
    findings.push({ code, path: field === undefined ? ['cutoff'] : ['cutoff', field], message });
  const given = ['cutoff_V', 'reconnect_V', 'cutoff_soc', 'reconnect_soc'].filter((key) => has(cutoff, key));
  if (has(cutoff, 'none')) {
    for (const key of given)
      say('cutoff-and-none', key, `${key} stands beside none: a board without cut-off has no thresholds`);
    if (!has(cutoff, 'brownout_V'))
      say('missing', 'brownout_V', 'brownout_V is missing: the voltage at which the board fails, e.g. 3.0');
    if (!has(cutoff, 'restartsByItself'))
      say(
        'missing',
        'restartsByItself',
        'restartsByItself is missing: true if the board starts again without hands, else false',
      );
    const brownout = numberAt(cutoff, 'brownout_V');
    const restart = numberAt(cutoff, 'restart_V');
    if (brownout !== undefined && restart !== undefined && restart < brownout)
      say(
        'restart-below-brownout',
        'restart_V',
        `restart_V is ${restart}, below brownout_V ${brownout}: it would fail at once`,
      );
    return findings;
  }
  for (const key of ['brownout_V', 'restartsByItself', 'restart_V'])
    if (has(cutoff, key))
      say('only-with-none', key, `${key} belongs to a board without cut-off: add none: true, or delete it`);
  for (const [unit, mend] of [
    ['V', 'cutoff_V: 3.2, reconnect_V: 3.5'],
    ['soc', 'cutoff_soc: 0.1, reconnect_soc: 0.2'],
  ] as const) {
    const low = has(cutoff, `cutoff_${unit}`);
    const high = has(cutoff, `reconnect_${unit}`);
    if (low === high) continue;
    const present = low ? `cutoff_${unit}` : `reconnect_${unit}`;
    const absent = low ? `reconnect_${unit}` : `cutoff_${unit}`;
    say('cutoff-incomplete', present, `${present} is given without ${absent}: both in the same unit, e.g. ${mend}`);
  }
  if (given.length === 0)
    say(
      'cutoff-incomplete',
      undefined,
      'no threshold is given: cutoff_V and reconnect_V, or cutoff_soc and reconnect_soc, or none: true',
    );
  if (has(cutoff, 'cutoff_V') && has(cutoff, 'cutoff_soc'))
    say('cutoff-twice', 'cutoff_soc', 'both cutoff_V and cutoff_soc are given: keep one pair');
  for (const unit of ['V', 'soc']) {
    const low = numberAt(cutoff, `cutoff_${unit}`);
    const high = numberAt(cutoff, `reconnect_${unit}`);
    if (low === undefined || high === undefined || high > low) continue;
    const how = high === low ? 'the same as' : 'below';
    say(
      'reconnect-below-cutoff',
      `reconnect_${unit}`,
      `reconnect_${unit} is ${high}, ${how} cutoff_${unit} ${low}: the load must come back above the voltage at which it goes, or it would flutter`.replace(
        'the voltage at which',
        unit === 'V' ? 'the voltage at which' : 'the state of charge at which',
      ),
    );
  }
  return findings;
}

function cellsFindings(kit: RawMapping): Finding[] {
  const cells = at(kit, 'cells');
  if (!isMapping(cells)) return [];
  const isTable = cells['chemistry'] === 'table';
  const field = (message: string, code: string, key: string) => [{ code, path: ['cells', key], message }];
  if (isTable && !has(cells, 'table'))
    return field(
      'table is missing: chemistry is table, so give [{soc: 0, voltage_V: …}, …, {soc: 1, voltage_V: …}]',
      'missing',
      'table',
    );
  if (!isTable && has(cells, 'table'))
    return field('table has no effect without chemistry: table beside it', 'table-without-chemistry', 'table');
  const table = tableOf(kit);
  return table instanceof UserError
    ? table.problems.map(({ code, message, place }) => ({
        code,
        message,
        path: ['cells', 'table', ...[...(place?.field ?? '').matchAll(/\[(\d+)\]/g)].map((match) => Number(match[1]))],
      }))
    : [];
}

/** The open-circuit table of the kit; undefined when it cannot be told, a UserError when the user's own is faulty. */
function tableOf(kit: RawMapping): OcvTable | UserError | undefined {
  const chemistry = at(kit, 'cells', 'chemistry') ?? 'nmc811';
  const points = at(kit, 'cells', 'table');
  if (chemistry === 'nmc111' || chemistry === 'nmc811') return ocvTable(chemistry as Chemistry);
  if (chemistry !== 'table' || !Array.isArray(points)) return undefined;
  const whole = points.every((p) => numberAt(p, 'soc') !== undefined && numberAt(p, 'voltage_V') !== undefined);
  if (!whole) return undefined;
  try {
    return ocvTable('table', points as OcvPoint[]);
  } catch (problem) {
    if (problem instanceof UserError) return problem;
    throw problem;
  }
}

/** Ceiling against reconnect and cut-off, in volts or in states of charge; of unlike units through the table of the cells. */
function thresholdFindings(kit: RawMapping): Finding[] {
  const found = tableOf(kit);
  const table = found instanceof UserError ? undefined : found;
  const ceiling = threshold(kit, 'charger', 'ceiling');
  if (ceiling === undefined) return [];
  for (const name of ['reconnect', 'cutoff']) {
    const lower = threshold(kit, 'cutoff', name);
    if (lower === undefined) continue;
    const alike = ceiling.unit === lower.unit;
    if (!alike && table === undefined) continue;
    const inSoc = (t: Threshold) => (t.unit === 'soc' || table === undefined ? t.value : stateOfCharge(table, t.value));
    const fits = alike ? ceiling.value > lower.value : inSoc(ceiling) > inSoc(lower);
    if (fits) continue;
    const key = `ceiling_${ceiling.unit}`;
    const other = `${name}_${lower.unit}`;
    const message = `${key} is ${ceiling.value}, not above ${other} ${lower.value}: ${
      name === 'reconnect' ? 'the load could never come back' : 'the load would be off for ever'
    }`;
    return [{ code: 'ceiling-below-reconnect', path: ['charger', key], message }];
  }
  const brownout = numberAt(kit, 'cutoff', 'brownout_V');
  if (brownout !== undefined && ceiling.unit === 'V' && ceiling.value <= brownout)
    return [
      {
        code: 'ceiling-below-reconnect',
        path: ['charger', 'ceiling_V'],
        message: `ceiling_V is ${ceiling.value}, not above brownout_V ${brownout}: the board could never run`,
      },
    ];
  const top = table?.voltage_V.at(-1);
  if (top !== undefined && ceiling.unit === 'V' && ceiling.value > top + 0.25)
    return [
      {
        code: 'ceiling-above-full',
        path: ['charger', 'ceiling_V'],
        message: `ceiling_V is ${ceiling.value}: these cells are full at ${round(top)} V; charging them higher is a hazard`,
      },
    ];
  return [];
}

interface Threshold {
  readonly value: number;
  readonly unit: 'V' | 'soc';
}

function threshold(kit: RawMapping, group: string, name: string): Threshold | undefined {
  for (const unit of ['V', 'soc'] as const) {
    const value = numberAt(kit, group, `${name}_${unit}`);
    if (value !== undefined) return { value, unit };
  }
  return undefined;
}

/** A linear charger passes current only while the panel stands above the cells; at maximum power that must hold up to the ceiling. */
function linearFindings(kit: RawMapping): Finding[] {
  if (at(kit, 'charger', 'type') !== 'linear') return [];
  const dropout = numberAt(kit, 'charger', 'dropout_V') ?? 0.2;
  const ceiling = threshold(kit, 'charger', 'ceiling') ?? { value: 4.2, unit: 'V' };
  const found = tableOf(kit);
  const table = found === undefined || found instanceof UserError ? NMC811 : found;
  const full = ceiling.unit === 'V' ? ceiling.value : openCircuit_V(table, ceiling.value);
  return mappingsAt(kit, 'panel').flatMap(({ item, path }) => {
    const vmp = numberAt(item, 'vmp_V');
    const diode = numberAt(item, 'blockingDiode_V') ?? 0;
    const need = full + dropout + diode;
    if (vmp === undefined || vmp >= need - 1e-9) return [];
    const parts = `cells at the ceiling ${round(full)} V + dropout ${dropout} V${diode > 0 ? ` + diode ${diode} V` : ''}`;
    return [
      {
        code: 'vmp-too-low-for-linear',
        path: [...path, 'vmp_V'],
        message: `vmp_V is ${vmp}: a linear charger needs at least ${round(need)} V (${parts}); take a panel of higher voltage or a charger that steps up`,
      },
    ];
  });
}

/** Plain mode has few inputs; what it cannot use is told rather than ignored. */
function plainFindings(kit: RawMapping): Finding[] {
  const findings: Finding[] = [];
  const charger = at(kit, 'charger');
  if (isMapping(charger)) {
    if (typeof charger['type'] === 'string' && charger['type'] !== 'flat')
      findings.push(
        plainly(['charger', 'type'], `type is ${charger['type']}: plain mode knows flat only; or set mode: full`),
      );
    if (Array.isArray(charger['efficiency']))
      findings.push(plainly(['charger', 'efficiency'], 'efficiency is a curve: plain mode takes one number'));
    if (has(charger, 'ceiling_V'))
      findings.push(plainly(['charger', 'ceiling_V'], 'ceiling_V in plain mode: give ceiling_soc, e.g. 0.9'));
  }
  const cutoff = at(kit, 'cutoff');
  if (isMapping(cutoff)) {
    for (const key of ['cutoff_V', 'reconnect_V', 'none'])
      if (has(cutoff, key))
        findings.push(
          plainly(['cutoff', key], `${key} in plain mode: give cutoff_soc and reconnect_soc, e.g. 0.1 and 0.2`),
        );
  }
  return findings;
}

const plainly = (path: string[], message: string): Finding => ({ code: 'not-in-plain-mode', path, message });
const round = (value: number) => Math.round(value * 100) / 100;

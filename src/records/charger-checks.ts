/** What must fit together in the charger, and between it and the panels. */
import type { Finding } from './fields.ts';
import type { RawMapping } from './loose.ts';
import { at, has, isMapping, mappingsAt, numberAt } from './loose.ts';

/** Which charger each of these fields belongs to; elsewhere it would have no effect, so it is a mistake. */
const ONLY_FOR: Readonly<Record<string, readonly string[]>> = {
  inputVoltage_V: ['linear', 'fixed-input'],
  vocFraction: ['voc-fraction'],
  dropout_V: ['linear'],
  trackingEfficiency: ['tracking'],
};

/** Findings within the charger, and of its input against each panel. */
export function chargerFindings(kit: RawMapping): Finding[] {
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

const round = (value: number) => Math.round(value * 100) / 100;

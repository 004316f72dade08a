/** What must fit together within the load. */
import type { Finding } from './fields.ts';
import { at, has, isMapping, numberAt } from './loose.ts';

/** Power up to which the transceiver itself decides the current; the typical currents of `core/load` end there. */
const STRONGEST_dBm = 22;

/** Findings within the load. */
export function loadFindings(load: unknown, plain: boolean): Finding[] {
  if (!isMapping(load)) return [];
  const findings: Finding[] = [];
  const say = (code: string, path: (string | number)[], message: string) =>
    findings.push({ code, path: ['load', ...path], message });
  const composed = ['parts', 'transmit', 'regulator'].filter((key) => has(load, key));
  const average = has(load, 'average_mA');
  if (average && composed.length > 0)
    say(
      'load-twice',
      [composed[0] ?? ''],
      `average_mA stands beside ${composed.join(', ')}: give the average, or compose the load`,
    );
  if (!average && !has(load, 'parts') && !has(load, 'transmit'))
    say('load-missing', [], 'average_mA is missing: the average current, or transmit and parts of a composed load');
  if (!average && plain) say('not-in-plain-mode', [], 'average_mA is missing: plain mode takes the average current');
  if (has(load, 'voltage_V') && !average)
    say(
      'load-voltage',
      ['voltage_V'],
      'voltage_V belongs to average_mA: a composed load has its voltages in the regulator',
    );
  const parts = load['parts'];
  if (Array.isArray(parts)) {
    parts.forEach((part, i) => {
      if (has(part, 'duty') && has(part, 'seconds_per_h'))
        say('duty-twice', ['parts', i, 'seconds_per_h'], 'both duty and seconds_per_h are given: keep one');
    });
    if (parts.length === 0 && !has(load, 'transmit'))
      say('load-missing', ['parts'], 'parts is empty: the load draws nothing');
  }
  const transmit = load['transmit'];
  if (isMapping(transmit) && !has(transmit, 'current_mA') && !has(transmit, 'power_dBm'))
    say(
      'transmit-incomplete',
      ['transmit'],
      'current_mA is missing: the current during transmission, or power_dBm for a typical one',
    );
  const power = numberAt(transmit, 'power_dBm');
  if (power !== undefined && power > STRONGEST_dBm && !has(transmit, 'current_mA'))
    say(
      'transmit-incomplete',
      ['transmit', 'power_dBm'],
      `power_dBm is ${power}: above ${STRONGEST_dBm} dBm an amplifier decides the current; give current_mA`,
    );
  const peak = numberAt(load, 'transmitPeak_mA');
  const mean = numberAt(load, 'average_mA');
  if (peak !== undefined && mean !== undefined && peak < mean)
    say(
      'peak-below-average',
      ['transmitPeak_mA'],
      `transmitPeak_mA is ${peak}, below average_mA ${mean}: the pulse is the whole current at that moment`,
    );
  if (at(load, 'regulator', 'type') === 'linear' && has(load, 'regulator', 'efficiency'))
    say(
      'regulator-efficiency',
      ['regulator', 'efficiency'],
      'efficiency has no effect with type linear: its output current is its input current',
    );
  return findings;
}

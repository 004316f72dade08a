/** What must fit together in the cut-off. */
import type { Finding } from './fields.ts';
import type { RawMapping } from './loose.ts';
import { at, has, isMapping, numberAt } from './loose.ts';

/** Findings within the cut-off. */
export function cutoffFindings(kit: RawMapping): Finding[] {
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

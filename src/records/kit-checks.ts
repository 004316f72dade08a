/** What must fit together in a kit. Each check reads what is there, so that it also speaks when other fields are wrong. */
import { cellsFindings } from './cell-checks.ts';
import { chargerFindings } from './charger-checks.ts';
import { cutoffFindings } from './cutoff-checks.ts';
import type { Finding } from './fields.ts';
import { radioFindings } from './kit-radio.ts';
import { loadFindings } from './load-checks.ts';
import type { RawMapping } from './loose.ts';
import { at, has, isMapping, mappingsAt } from './loose.ts';
import { panelFindings } from './panel-checks.ts';
import { linearFindings, thresholdFindings } from './threshold-checks.ts';

/** All findings over several fields of a kit. */
export function kitFindings(kit: unknown): readonly Finding[] {
  if (!isMapping(kit)) return [];
  const plain = at(kit, 'mode') === 'plain';
  const wattsSuffice = plain || at(kit, 'charger', 'type') === 'flat';
  const panels = mappingsAt(kit, 'panel');
  return [
    ...panels.flatMap(({ item, path }) => panelFindings(item, path, wattsSuffice)),
    ...chargerFindings(kit),
    ...cutoffFindings(kit),
    ...cellsFindings(kit),
    ...thresholdFindings(kit),
    ...loadFindings(at(kit, 'load'), plain),
    ...linearFindings(kit),
    ...radioFindings(kit),
    ...(plain ? plainFindings(kit) : []),
  ];
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

/** What must fit together within one panel. */
import type { Finding } from './fields.ts';
import type { RawMapping } from './loose.ts';
import { has, numberAt } from './loose.ts';

const FOUR = ['voc_V', 'isc_A', 'vmp_V', 'imp_A'] as const;
/** Allowed difference between the stated power and Vmp x Imp: rounding on data sheets, no more. */
const POWER_AGREEMENT = 0.1;

/** Findings within one panel; `wattsSuffice` in plain mode and with a flat charger, which know no voltage. */
export function panelFindings(panel: RawMapping, path: (string | number)[], wattsSuffice: boolean): Finding[] {
  const findings: Finding[] = [];
  const say = (code: string, field: string | undefined, message: string) =>
    findings.push({ code, path: field === undefined ? path : [...path, field], message });
  const missing = FOUR.filter((key) => !has(panel, key));
  const hasPower = has(panel, 'power_W');
  const detailed = has(panel, 'voc_V') || has(panel, 'isc_A') || has(panel, 'imp_A');
  if (wattsSuffice) {
    if (!hasPower && (missing.includes('vmp_V') || missing.includes('imp_A')))
      say('panel-incomplete', undefined, 'power_W is missing: the watts of the panel');
  } else if (detailed && missing.length > 0) {
    say(
      'panel-incomplete',
      undefined,
      `${missing.join(' and ')} ${missing.length > 1 ? 'are' : 'is'} missing: give voc_V, isc_A, vmp_V and imp_A together, or power_W and vmp_V alone`,
    );
  } else if (!detailed && !(hasPower && has(panel, 'vmp_V'))) {
    const lacks = hasPower ? 'vmp_V is' : has(panel, 'vmp_V') ? 'power_W is' : 'power_W and vmp_V are';
    say(
      'panel-incomplete',
      undefined,
      `${lacks} missing: give power_W and vmp_V (6 for most small panels), or voc_V, isc_A, vmp_V and imp_A, or part`,
    );
  }
  const [voc, isc, vmp, imp] = FOUR.map((key) => numberAt(panel, key));
  const power = numberAt(panel, 'power_W');
  if (voc !== undefined && vmp !== undefined && vmp >= voc)
    say('vmp-not-below-voc', 'vmp_V', `vmp_V is ${vmp}, not below voc_V ${voc}: are the two exchanged?`);
  if (isc !== undefined && imp !== undefined && imp >= isc)
    say('imp-not-below-isc', 'imp_A', `imp_A is ${imp}, not below isc_A ${isc}: are the two exchanged?`);
  if (power !== undefined && vmp !== undefined && imp !== undefined) {
    const product = vmp * imp;
    if (Math.abs(power - product) > POWER_AGREEMENT * Math.max(power, product))
      say(
        'power-disagrees',
        'power_W',
        `power_W is ${power}, but vmp_V x imp_A is ${Number(product.toPrecision(3))}: mend one of the three`,
      );
  }
  if (has(panel, 'tilt_deg') && has(panel, 'tiltOffset_deg'))
    say('tilt-twice', 'tiltOffset_deg', 'both tilt_deg and tiltOffset_deg are given: keep one');
  return findings;
}

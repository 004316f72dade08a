/** What is wrong with the variants of a plan: regions twice, half a radio, lines and gates that are not there. */
import type { Finding } from '../fields.ts';
import { radioFindings } from '../kit-radio.ts';
import { isMapping, mappingsAt, numberAt, type RawMapping } from '../loose.ts';
import { gateFindings } from './gate.ts';
import { mostPower_dBm } from './region-radio.ts';
import { REGIONS } from './units.ts';
import { RADIO_SETTING } from './variant.ts';

export function variantFindings(plan: unknown): Finding[] {
  const findings: Finding[] = [];
  const bill = new Set(
    [
      ...mappingsAt(plan, 'bom'),
      ...mappingsAt(plan, 'subassemblies').flatMap(({ item }) => mappingsAt(item, 'bom')),
    ].map(({ item }) => item['part']),
  );
  const gates = new Map(mappingsAt(plan, 'gates').map(({ item }) => [item['key'], item]));
  const steps = new Set(mappingsAt(plan, 'steps').map(({ item }) => item['key']));
  const seen = new Set<unknown>();
  for (const { item, path } of mappingsAt(plan, 'variants')) {
    const say = (code: string, field: readonly (string | number)[], message: string) =>
      findings.push({ code, path: [...path, ...field], message });
    const { region } = item;
    if (seen.has(region)) say('key-twice', ['region'], `${region} stands twice in variants: one variant a region`);
    seen.add(region);
    const lines = mappingsAt(item, 'bom');
    const own = new Set(bill);
    for (const { item: line, path: at } of lines) {
      const { replaces, part, step } = line;
      if (replaces !== undefined && !bill.has(replaces))
        say('no-such-line', [...at, 'replaces'], `no line of the bill is ${replaces}: there is nothing to replace`);
      if (step !== undefined && !steps.has(step))
        say('no-such-step', [...at, 'step'], `there is no step ${step} in this plan`);
      if (replaces !== undefined) own.delete(replaces);
      own.add(part);
    }
    for (const field of ['radio', 'antenna'] as const) {
      const told = item[field];
      // A part that stands alone is how plans of before told it; their bill was not held against it.
      if (!isMapping(told) || Object.keys(told).length < 2 || told['part'] === undefined) continue;
      if (!own.has(told['part']))
        say(
          'no-such-line',
          [field, 'part'],
          `${told['part']} stands in no line of the bill of ${region}: add it to bom of this variant, with the line that it replaces`,
        );
    }
    if (isMapping(item['radio'])) {
      const radio = item['radio'];
      const missing = RADIO_SETTING.filter((field) => radio[field] === undefined);
      if (missing.length > 0 && missing.length < RADIO_SETTING.length)
        say('half-radio', ['radio'], `a radio is told wholly or not at all: ${missing.join(', ')} is missing`);
      for (const finding of radioFindings({ radio })) findings.push({ ...finding, path: [...path, ...finding.path] });
    }
    for (const { item: limit, path: at } of mappingsAt(item, 'gates')) {
      const gate = gates.get(limit['key']);
      if (gate === undefined) say('no-such-gate', [...at, 'key'], `there is no gate ${limit['key']} in this plan`);
      else findings.push(...gateFindings({ ...gate, ...limit }, [...path, ...at]));
    }
    findings.push(...powerFindings(item, path, [...gates.values()]));
  }
  return findings;
}

/** A power gate that nothing can pass any more once the rules of the region are held to. */
function powerFindings(
  variant: RawMapping,
  path: readonly (string | number)[],
  gates: readonly RawMapping[],
): Finding[] {
  const { region } = variant;
  const frequency_MHz = numberAt(variant, 'radio', 'frequency_MHz');
  const bandwidth_kHz = numberAt(variant, 'radio', 'bandwidth_kHz');
  const known = REGIONS.find((one) => one === region);
  if (known === undefined || frequency_MHz === undefined || bandwidth_kHz === undefined) return [];
  const gain_dBi = numberAt(variant, 'antenna', 'gain_dBi');
  const feederLoss_dB = numberAt(variant, 'antenna', 'feederLoss_dB');
  const most = mostPower_dBm(
    known,
    { frequency_MHz, bandwidth_kHz },
    { ...(gain_dBi === undefined ? {} : { gain_dBi }), ...(feederLoss_dB === undefined ? {} : { feederLoss_dB }) },
  );
  if (most === undefined) return [];
  return gates.flatMap((gate): Finding[] => {
    if (gate['measures'] !== 'transmit power') return [];
    const own = mappingsAt(variant, 'gates').find(({ item }) => item['key'] === gate['key'])?.item ?? {};
    const merged = { ...gate, ...own };
    const low = numberAt(merged, 'low');
    const margin = 2 * (numberAt(merged, 'uncertainty') ?? 0);
    if (own['high'] !== undefined || low === undefined || low + margin <= most) return [];
    return [
      {
        code: 'shut-gate',
        path: [...path, 'radio'],
        message: `the rules of ${region} known here allow at most ${most} dBm at the connector with this antenna, and the gate ${gate['name'] ?? gate['key']} asks for ${low}${margin > 0 ? `, drawn in by ${margin / 2} on both sides` : ''}: give the variant its own limits in gates`,
      },
    ];
  });
}

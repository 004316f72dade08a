/** The net: which kit stands at which perch, and the radio setting that they share. Its one schema. */
import * as z from 'zod';
import type { Finding } from './fields.ts';
import { crossChecks, label } from './fields.ts';
import { radioFindings, radioSchema } from './kit-radio.ts';
import { mappingsAt } from './loose.ts';

/** Far above what one channel carries. */
const MAX_MEMBERS = 5000;

const keyOf = (what: string) =>
  z
    .string()
    .min(1, { error: `the key of a ${what} has at least one letter` })
    .describe(`Key of the ${what} in the workshop`);

export const netSchema = z
  .strictObject({
    $schema: z.string().optional().describe('JSON Schema of this file, for editors'),
    name: label().describe('Name of the net'),
    radio: radioSchema
      .pick({ frequency_MHz: true, spreadingFactor: true, bandwidth_kHz: true, codingRate: true })
      .optional()
      .describe("Radio setting that all share; absent: each kit's own"),
    members: z
      .array(z.strictObject({ perch: keyOf('perch'), kit: keyOf('kit') }))
      .min(1, { error: 'a net has at least one member' })
      .max(MAX_MEMBERS, { error: `a net has at most ${MAX_MEMBERS.toLocaleString('en')} members` })
      .describe('Which kit stands at which perch, as list of {perch, kit}'),
  })
  .check(crossChecks(netFindings))
  .describe('A net: perches with kits that share a radio setting');

export type Net = z.output<typeof netSchema>;

/** The setting as in a kit; and one node stands at a perch: the same perch twice is a slip. */
export function netFindings(net: unknown): Finding[] {
  const first = new Map<unknown, number>();
  const findings = radioFindings(net);
  mappingsAt(net, 'members').forEach(({ item, path }, i) => {
    const { perch } = item;
    if (typeof perch !== 'string') return;
    const before = first.get(perch);
    if (before === undefined) first.set(perch, i);
    else
      findings.push({
        code: 'perch-twice',
        path: [...path, 'perch'],
        message: `perch ${perch} stands twice: it is member ${before + 1} already; delete one of the two`,
      });
  });
  return findings;
}

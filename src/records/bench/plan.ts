/** The build plan of a kit revision: what goes in, in which steps, and which gates a unit must pass. */
import * as z from 'zod';
import { countOf, crossChecks, type Finding, label, within } from '../fields.ts';
import { mappingsAt } from '../loose.ts';
import { SERIAL_MARK } from './code-text.ts';
import { gateFindings, gateSchema } from './gate.ts';
import { variantSchema } from './variant.ts';
import { variantFindings } from './variant-checks.ts';
import { count, currency, key, minor, percent, remark } from './words.ts';

const useSchema = z.strictObject({
  part: key('part'),
  count: count('the number in a unit'),
  scrap_pct: percent('a scrap allowance').default(0),
  alternates: z.array(key('part')).max(10).default([]).describe('Parts that may stand in, in order of preference'),
  use: label().optional().describe('Where it goes'),
});

export const stepSchema = z.strictObject({
  key: key('step'),
  name: label(),
  tool: label().optional().describe('Tool or jig'),
  drawing: z.string().max(500).optional().describe('Drawing or photo: a file name or an address'),
  caution: remark('a caution', 500).optional(),
  time_min: within('the time of a step in minutes', 0, 10_000),
  parts: z.array(key('part')).max(50).default([]).describe('Parts that are fitted in this step'),
  gates: z.array(key('gate')).max(30).default([]).describe('Gates that are measured in this step'),
});

export const planFields = z.strictObject({
  kind: z.literal('plan-saved'),
  name: label(),
  kit: z.string().min(1).describe('Key of the kit in the workshop'),
  kitRevision: z
    .preprocess((value) => (typeof value === 'number' ? String(value) : value), label())
    .describe('Revision of the kit, as its maker counts: a number or a text'),
  bom: z.array(useSchema).max(300).default([]).describe('Bill of materials of a unit'),
  subassemblies: z
    .array(
      z.strictObject({
        key: key('sub-assembly'),
        name: label(),
        count: countOf('the number of a sub-assembly', 1, 1000),
        bom: z.array(useSchema).min(1).max(300),
      }),
    )
    .max(50)
    .default([]),
  steps: z.array(stepSchema).max(100).default([]),
  gates: z.array(gateSchema).max(100).default([]),
  labour: z
    .strictObject({
      currency: currency(),
      rate_minor_h: minor('the price of an hour'),
      learningRate: within('a learning rate', 0.5, 1)
        .default(1)
        .describe('Time of the 2n-th unit over that of the n-th (Wright 1936); 1: no learning'),
    })
    .optional(),
  variants: z
    .array(variantSchema)
    .max(20)
    .default([])
    .describe('What differs by region; a batch is opened for one of them'),
  labelUrl: z
    .string()
    .max(300)
    .regex(/^https?:\/\/\S+$/, { error: 'an address on labels begins with https:// or http:// and has no spaces' })
    .refine((text) => text.includes(SERIAL_MARK), {
      error: 'the address on labels has {serial} in it: without it every unit would carry the same code',
    })
    .optional()
    .describe("Address that the code on a unit's label leads to; {serial} stands for the serial"),
  maker: z
    .strictObject({
      name: label(),
      address: z.array(label()).max(6).default([]).describe('Lines of the address, for cartons and packing lists'),
      contact: label().optional().describe('Where a customer finds help, for the quick-start card'),
    })
    .optional()
    .describe('Who makes it, as papers name them'),
});
export const planSaved = planFields.check(crossChecks(planFindings));
export type Plan = z.output<typeof planSaved>;

/** Keys that stand twice, steps that name gates which are not there, limits that shut out every value. */
export function planFindings(plan: unknown): Finding[] {
  const findings: Finding[] = [];
  const seen = { gates: new Set<unknown>(), steps: new Set<unknown>() };
  for (const list of ['gates', 'steps'] as const)
    for (const { item, path } of mappingsAt(plan, list)) {
      if (seen[list].has(item['key']))
        findings.push({
          code: 'key-twice',
          path: [...path, 'key'],
          message: `${item['key']} stands twice in ${list}: give one of the two another key`,
        });
      seen[list].add(item['key']);
    }
  for (const { item, path } of mappingsAt(plan, 'steps'))
    for (const gate of Array.isArray(item['gates']) ? item['gates'] : [])
      if (!seen.gates.has(gate))
        findings.push({
          code: 'no-such-gate',
          path: [...path, 'gates'],
          message: `there is no gate ${gate} in this plan`,
        });
  for (const { item, path } of mappingsAt(plan, 'gates')) findings.push(...gateFindings(item, path));
  findings.push(...variantFindings(plan));
  return findings;
}

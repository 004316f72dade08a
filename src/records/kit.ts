/** The kit: the repeatable design of a node. Its one schema, shared by command line, server and browser. */
import * as z from 'zod';
import { crossChecks, label, within } from './fields.ts';
import { kitFindings } from './kit-checks.ts';
import { loadSchema } from './kit-load.ts';
import type { Panel } from './kit-panel.ts';
import { panelSchema } from './kit-panel.ts';
import { cellsSchema, chargerSchema, cutoffSchema } from './kit-power.ts';
import { antennaSchema, radioSchema } from './kit-radio.ts';

export const MAX_PANELS = 6;

export const kitSchema = z
  .strictObject({
    $schema: z.string().optional().describe('JSON Schema of this file, for editors'),
    name: label().describe('Name of the kit'),
    revision: z
      .union([label(), z.number()])
      .optional()
      .describe('Revision of the kit: letter, number or date as the maker counts'),
    mode: z
      .enum(['plain', 'full'])
      .describe(
        'full: every effect; plain: constant cell voltage, flat charger efficiency, thresholds as states of charge, no losses',
      )
      .default('full'),
    panel: z
      .union([
        panelSchema,
        z
          .array(panelSchema)
          .min(1, { error: 'a kit has at least one panel' })
          .max(MAX_PANELS, { error: `a kit has at most ${MAX_PANELS} panels` }),
      ])
      .describe('One panel, or a list of up to six'),
    charger: chargerSchema,
    cutoff: cutoffSchema,
    cells: cellsSchema,
    load: loadSchema,
    radio: radioSchema.optional(),
    antenna: antennaSchema.optional(),
    enclosure: z
      .strictObject({
        solarGain_K: within('the warming of a box', 0, 60)
          .optional()
          .describe('Warming of the cells above the air in full sun (1000 W/m2), kelvin'),
      })
      .optional()
      .describe('The housing'),
  })
  .check(crossChecks(kitFindings))
  .describe('A kit: the repeatable design of a solar-powered radio node');

export type Kit = z.output<typeof kitSchema>;

/** The panels as a list, whether the kit names one or several. */
export function panelsOf(kit: Kit): readonly Panel[] {
  return Array.isArray(kit.panel) ? kit.panel : [kit.panel];
}

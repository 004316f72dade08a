/** What differs by region in a plan: radio, antenna, lines of the bill, limits of gates, settings. */
import * as z from 'zod';
import { label, within } from '../fields.ts';
import { antennaSchema, radioSchema } from '../kit-radio.ts';
import { gateSchema } from './gate.ts';
import { REGIONS } from './units.ts';
import { count, key, percent } from './words.ts';

const radio = radioSchema.shape;
export const variantRadio = z.strictObject({
  part: key('part').optional().describe('Line of the bill that is the radio board'),
  frequency_MHz: radio.frequency_MHz.optional(),
  spreadingFactor: radio.spreadingFactor.optional(),
  bandwidth_kHz: radio.bandwidth_kHz.optional(),
  codingRate: radio.codingRate.optional(),
  power_dBm: radio.power_dBm.optional(),
  transmitCurrent_mA: within('a current', 0, 5000)
    .optional()
    .describe(
      'Current while it sends, as the kit tells its own, mA; left out: as the kit’s, or typical of another power',
    ),
});

export const variantAntenna = z.strictObject({
  part: key('part').optional().describe('Line of the bill that is the antenna'),
  gain_dBi: antennaSchema.shape.gain_dBi.optional(),
  feederLoss_dB: antennaSchema.shape.feederLoss_dB,
  band: gateSchema.shape.band.describe('Band that it is made for'),
});

const variantLine = z.strictObject({
  replaces: key('part').optional().describe('Line of the bill in whose place this one stands; left out: one more line'),
  part: key('part'),
  count: count('the number in a unit').optional().describe('Left out: as the line that it replaces, else 1'),
  scrap_pct: percent('a scrap allowance').optional(),
  alternates: z.array(key('part')).max(10).optional(),
  use: label().optional().describe('Where it goes'),
  step: key('step').optional().describe('Step in which one more line is fitted'),
});

const variantGate = z.strictObject({
  key: key('gate').describe('Gate of the plan whose limits differ'),
  low: gateSchema.shape.low,
  high: gateSchema.shape.high,
  uncertainty: gateSchema.shape.uncertainty,
  band: gateSchema.shape.band,
  equals: gateSchema.shape.equals,
});

export const variantSchema = z.strictObject({
  region: z.enum(REGIONS).describe('Region whose radio rules hold'),
  alsoFor: z
    .array(z.enum(REGIONS))
    .max(7)
    .optional()
    .describe('Other regions whose orders units of this variant may serve as they are, by the maker’s word'),
  radio: z
    .union([key('part'), variantRadio])
    .optional()
    .describe('The radio as it is set for the region; a text names its part alone'),
  antenna: z
    .union([key('part'), variantAntenna])
    .optional()
    .describe('The antenna of the region; a text names its part alone'),
  bom: z.array(variantLine).max(50).optional().describe('Lines of the bill that differ'),
  gates: z.array(variantGate).max(100).optional().describe('Limits that differ'),
  settings: label().optional().describe('Name of the settings, as labels and cards tell it'),
});
export type Variant = z.output<typeof variantSchema>;
export type VariantRadio = z.output<typeof variantRadio>;
export type VariantAntenna = z.output<typeof variantAntenna>;

/** Radio and antenna as mappings: plans of before name the part alone. */
export const radioOf = ({ radio }: Variant): VariantRadio =>
  typeof radio === 'string' ? { part: radio } : (radio ?? {});
export const antennaOf = ({ antenna }: Variant): VariantAntenna =>
  typeof antenna === 'string' ? { part: antenna } : (antenna ?? {});

/** The five that say what is sent; a variant tells all of them or none. */
export const RADIO_SETTING = ['frequency_MHz', 'spreadingFactor', 'bandwidth_kHz', 'codingRate', 'power_dBm'] as const;
export type RadioSettingOf = Required<
  Pick<{ [K in keyof VariantRadio]-?: NonNullable<VariantRadio[K]> }, (typeof RADIO_SETTING)[number]>
>;

/** The radio of a variant where it is told wholly. */
export function settingOfVariant(variant: Variant | undefined): RadioSettingOf | undefined {
  if (variant === undefined) return undefined;
  const told = radioOf(variant);
  return RADIO_SETTING.every((field) => told[field] !== undefined) ? (told as RadioSettingOf) : undefined;
}

/** What a customer of the region gets: the variant of the plan, if it has one. */
export const variantOf = (plan: { readonly variants: readonly Variant[] }, region: string): Variant | undefined =>
  plan.variants.find((v) => v.region === region);

/** Radio and antenna of a kit: what a link budget needs. Both may be absent; the energy model does not read them. */
import * as z from 'zod';
import { BANDWIDTHS_kHz } from '../core/airtime/index.ts';
import type { Finding } from './fields.ts';
import { countOf, label, within } from './fields.ts';
import { numberAt } from './loose.ts';

export const CODING_RATES = ['4/5', '4/6', '4/7', '4/8'] as const;

const bandwidth_kHz = within('a bandwidth', 7.8, 500, (value) =>
  value >= 7800 ? `in kilohertz: ${value} Hz is ${value / 1000}` : undefined,
);

export const radioSchema = z
  .strictObject({
    name: label().optional().describe('What the radio is called in the results'),
    frequency_MHz: within('a frequency of this kind of radio', 100, 1000, (value) =>
      value > 1e6 ? `in megahertz: ${value} Hz is ${value / 1e6}` : undefined,
    ).describe('Carrier frequency, MHz'),
    spreadingFactor: countOf('a spreading factor', 5, 12).describe('Spreading factor of the modulation, 5 to 12'),
    bandwidth_kHz: bandwidth_kHz.describe('Bandwidth, kHz: 7.8 to 500 in the steps of the modulation'),
    codingRate: z.enum(CODING_RATES).describe('Coding rate: 4/5, 4/6, 4/7 or 4/8'),
    power_dBm: within('a transmit power', -20, 36).describe('Power at the antenna connector, dBm'),
    noiseFigure_dB: within('a noise figure', 0, 30)
      .optional()
      .describe('Noise figure of the receiver alone, dB; absent: 6'),
    filterLoss_dB: within('the loss of a filter', 0, 20)
      .optional()
      .describe('Insertion loss of a filter between radio and antenna, both ways, dB; absent: no filter'),
    filterRejection_dB: within('the rejection of a filter', 0, 120)
      .optional()
      .describe('What the filter takes off a strong transmitter nearby on another frequency, dB; absent: nothing'),
    blocking_dB: within('a blocking immunity', 20, 150)
      .optional()
      .describe(
        'How far above the weakest receivable signal a transmitter on another frequency may be before 3 dB are lost, dB; absent: 80',
      ),
    noiseRise_dB: within('a rise of the noise', 0, 60)
      .optional()
      .describe(
        "Measured noise above the receiver's own at this place, dB; takes the place of the perch's environment",
      ),
  })
  .describe('Radio setting, power and receiver');

export type Radio = z.output<typeof radioSchema>;

export const ANTENNA_PATTERNS = ['stick', 'isotropic'] as const;
export const POLARIZATIONS = ['vertical', 'horizontal', 'circular'] as const;

export const antennaSchema = z
  .strictObject({
    name: label().optional().describe('What the antenna is called in the results'),
    gain_dBi: within('the gain of an antenna', -20, 20).describe('Gain at its best direction over isotropic, dBi'),
    pattern: z
      .enum(ANTENNA_PATTERNS)
      .optional()
      .describe(
        'stick: upright rod, its gain falls away from the horizon; isotropic: the same all around; absent: stick',
      ),
    polarization: z.enum(POLARIZATIONS).optional().describe('Polarization of the wave it sends; absent: vertical'),
    feederLoss_dB: within('the loss of a feeder', 0, 30)
      .optional()
      .describe('Loss of cable and connectors, dB; absent: 0.5'),
    sweep: z
      .string()
      .min(1, { error: 'the name of a file is wanted' })
      .optional()
      .describe('Measured reflection, a Touchstone one-port file (.s1p) relative to this file; used in place of vswr'),
    vswr: within('a standing-wave ratio', 1, 50)
      .optional()
      .describe('Standing-wave ratio at the carrier, 1 or more; absent, with no sweep either: no loss by mismatch'),
  })
  .describe('Antenna and its feeder');

export type Antenna = z.output<typeof antennaSchema>;

/** A bandwidth that the modulation does not know. */
export function radioFindings(kit: unknown): Finding[] {
  const value = numberAt(kit, 'radio', 'bandwidth_kHz');
  if (value === undefined || value < 7.8 || value > 500) return [];
  if (BANDWIDTHS_kHz.some((b) => Math.abs(value - b) <= 0.01 * b)) return [];
  const known = BANDWIDTHS_kHz.map((b) => Math.round(b * 10) / 10).join(', ');
  const message = `bandwidth_kHz is ${value}: the modulation knows ${known} kHz`;
  return [{ code: 'unknown-bandwidth', path: ['radio', 'bandwidth_kHz'], message }];
}

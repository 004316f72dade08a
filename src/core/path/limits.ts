/** Where a limit was taken from, and how sure that is. */
export type Confirmation = 'confirmed' | 'partly' | 'from memory';

/** One rule of one region for one stretch of band. What a rule does not say is left out. */
export interface Limit {
  readonly region: Region;
  /** Law text with its section. */
  readonly citation: string;
  readonly from_MHz: number;
  readonly to_MHz: number;
  /** What kind of transmitter it is for, in a few words. */
  readonly kind: string;
  readonly conducted_dBm?: number;
  readonly eirp_dBm?: number;
  readonly erp_dBm?: number;
  /** Antenna gain up to which the conducted limit holds; each dB above takes one off. */
  readonly freeGain_dBi?: number;
  readonly duty_pct?: number;
  readonly leastBandwidth_kHz?: number;
  readonly mostBandwidth_kHz?: number;
  /** As `mostBandwidth_kHz`, itself excluded. */
  readonly bandwidthBelow_kHz?: number;
  readonly density_dBm_3kHz?: number;
  /** Least number of channels that the transmitter hops over. */
  readonly leastChannels?: number;
  /** Longest stay on one channel, in words. */
  readonly dwell?: string;
  /** What else it asks or allows, in words. */
  readonly note?: string;
  readonly confirmation: Confirmation;
  /** What of it was confirmed, where it is partly. */
  readonly confirmed?: string;
}

export const REGIONS = ['US', 'EU', 'UK', 'AU', 'NZ', 'JP', 'IN'] as const;
export type Region = (typeof REGIONS)[number];

/** Day on which the sources of the table were last read. */
export const LIMITS_READ_ON = '2026-11-25';

/** Stands beside each output that rests on the table. */
export const LIMITS_CAUTION = `Read on ${LIMITS_READ_ON}; rules change, and local law decides. Rows not confirmed are marked so.`;

/** Effective radiated power is told against a half-wave dipole, which has this gain over an isotropic antenna, dB. */
export const DIPOLE_GAIN_dBi = 2.15;

const mW = (power_mW: number) => 10 * Math.log10(power_mW);

const EU: readonly Omit<Limit, 'region'>[] = [
  {
    citation: 'EN 300 220-2 V3.2.1 band K; ERC/REC 70-03 annex 1',
    from_MHz: 863,
    to_MHz: 865,
    kind: 'non-specific short-range device',
    erp_dBm: mW(25),
    duty_pct: 0.1,
    confirmation: 'partly',
    confirmed: 'duty cycle; power from memory',
  },
  {
    citation: 'ERC/REC 70-03 annex 1',
    from_MHz: 865,
    to_MHz: 868,
    kind: 'non-specific short-range device',
    erp_dBm: mW(25),
    duty_pct: 1,
    note: 'four channels of 200 kHz allow 500 mW with adaptive power control, 2.5 % of the hour, 10 % for network access points',
    confirmation: 'from memory',
  },
  {
    citation: 'Decision (EU) 2017/1483 as in a national table',
    from_MHz: 868,
    to_MHz: 868.6,
    kind: 'non-specific short-range device',
    erp_dBm: mW(25),
    duty_pct: 1,
    confirmation: 'confirmed',
  },
  {
    citation: 'Decision (EU) 2017/1483 as in a national table; EN 300 220-2 band N',
    from_MHz: 868.7,
    to_MHz: 869.2,
    kind: 'non-specific short-range device',
    erp_dBm: mW(25),
    duty_pct: 0.1,
    confirmation: 'confirmed',
  },
  {
    citation: 'Decision (EU) 2017/1483 as in a national table',
    from_MHz: 869.4,
    to_MHz: 869.65,
    kind: 'non-specific short-range device',
    erp_dBm: mW(500),
    duty_pct: 10,
    note: 'channels of 25 kHz, or the whole band as one',
    confirmation: 'confirmed',
  },
  {
    citation: 'ERC/REC 70-03 annex 1',
    from_MHz: 869.7,
    to_MHz: 870,
    kind: 'non-specific short-range device',
    erp_dBm: mW(25),
    duty_pct: 1,
    confirmation: 'partly',
    confirmed: 'power; duty cycle from memory',
  },
  {
    citation: 'ERC/REC 70-03 annex 1',
    from_MHz: 869.7,
    to_MHz: 870,
    kind: 'non-specific short-range device, weak',
    erp_dBm: mW(5),
    confirmation: 'partly',
    confirmed: 'power; freedom from a duty cycle from memory',
  },
];

/** The table, region by region; facts as read, see `confirmation` of each row. */
export const LIMITS: readonly Limit[] = [
  {
    region: 'US',
    citation: '47 CFR 15.247(a)(1)(i), (b)(2)',
    from_MHz: 902,
    to_MHz: 928,
    kind: 'frequency hopping over 50 channels or more, 20 dB bandwidth below 250 kHz',
    conducted_dBm: 30,
    freeGain_dBi: 6,
    bandwidthBelow_kHz: 250,
    leastChannels: 50,
    dwell: '0.4 s within 20 s',
    confirmation: 'confirmed',
  },
  {
    region: 'US',
    citation: '47 CFR 15.247(a)(1)(i), (b)(2)',
    from_MHz: 902,
    to_MHz: 928,
    kind: 'frequency hopping over 25 to 49 channels, 20 dB bandwidth 250 to 500 kHz',
    conducted_dBm: mW(250),
    freeGain_dBi: 6,
    leastBandwidth_kHz: 250,
    mostBandwidth_kHz: 500,
    leastChannels: 25,
    dwell: '0.4 s within 10 s',
    confirmation: 'confirmed',
  },
  {
    region: 'US',
    citation: '47 CFR 15.247(a)(2), (b)(3), (e)',
    from_MHz: 902,
    to_MHz: 928,
    kind: 'digital modulation, 6 dB bandwidth 500 kHz or more',
    conducted_dBm: 30,
    freeGain_dBi: 6,
    leastBandwidth_kHz: 500,
    density_dBm_3kHz: 8,
    confirmation: 'confirmed',
  },
  {
    region: 'US',
    citation: '47 CFR 15.247(f)',
    from_MHz: 902,
    to_MHz: 928,
    kind: 'hybrid of hopping and digital modulation',
    conducted_dBm: 30,
    freeGain_dBi: 6,
    density_dBm_3kHz: 8,
    leastChannels: 2,
    dwell: '0.4 s within 0.4 s times the number of channels',
    confirmation: 'partly',
    confirmed: 'dwell and density; the power limits of (b) apply to it from memory',
  },
  {
    region: 'US',
    citation: '47 CFR 15.249(a)',
    from_MHz: 902,
    to_MHz: 928,
    kind: 'any modulation, low power: 50 mV/m at 3 m',
    // e.i.r.p. = (E·d)²/30 in free space: (0.05·3)²/30 = 0.75 mW.
    eirp_dBm: mW(0.75),
    confirmation: 'partly',
    confirmed: 'as a secondary source gives it',
  },
  ...EU.map((row): Limit => ({ region: 'EU', ...row })),
  // The United Kingdom keeps the European table (interface requirement IR 2030): from memory, row by row.
  ...EU.map(
    ({ confirmed: _, ...row }): Limit => ({
      region: 'UK',
      ...row,
      citation: `IR 2030, as ${row.citation}`,
      confirmation: 'from memory',
    }),
  ),
  {
    region: 'AU',
    citation: 'Radiocommunications (Low Interference Potential Devices) Class Licence 2015',
    from_MHz: 915,
    to_MHz: 928,
    kind: 'frequency hopping over 20 channels or more',
    eirp_dBm: 30,
    leastChannels: 20,
    confirmation: 'from memory',
  },
  {
    region: 'AU',
    citation: 'Radiocommunications (Low Interference Potential Devices) Class Licence 2015',
    from_MHz: 915,
    to_MHz: 928,
    kind: 'digital modulation, 6 dB bandwidth 500 kHz or more',
    eirp_dBm: 30,
    leastBandwidth_kHz: 500,
    density_dBm_3kHz: mW(25),
    confirmation: 'from memory',
  },
  {
    region: 'NZ',
    citation: 'General User Radio Licence for Short Range Devices, summary of the regulator',
    from_MHz: 915,
    to_MHz: 921,
    kind: 'short-range device',
    eirp_dBm: 30,
    note: '920-921.5 MHz: a transmitter of 1 W with up to 4 W e.i.r.p. where it hops or is digital',
    confirmation: 'confirmed',
  },
  {
    region: 'NZ',
    citation: 'General User Radio Licence for Short Range Devices',
    from_MHz: 921,
    to_MHz: 928,
    kind: 'short-range device, hopping or digital',
    conducted_dBm: 30,
    eirp_dBm: mW(4000),
    confirmation: 'from memory',
  },
  {
    region: 'JP',
    citation: 'ARIB STD-T108 v1.5, parts 2 and 3',
    from_MHz: 915.9,
    to_MHz: 929.7,
    kind: 'low power, 20 mW',
    conducted_dBm: 13,
    eirp_dBm: 16,
    note: 'unit channels of 200 kHz; carrier sense at -80 dBm, limits of sending time and a tenth of the hour: from memory',
    confirmation: 'partly',
    confirmed: 'band and 20 mW; antenna of 3 dBi and carrier sense from memory',
  },
  {
    region: 'JP',
    citation: 'ARIB STD-T108 v1.5, part 1',
    from_MHz: 920.5,
    to_MHz: 923.5,
    kind: 'land mobile, licensed or registered',
    conducted_dBm: mW(250),
    confirmation: 'partly',
    confirmed: 'band; 250 mW from memory',
  },
  {
    region: 'IN',
    citation: 'G.S.R. 168(E) of 2005',
    from_MHz: 865,
    to_MHz: 867,
    kind: 'low power equipment',
    conducted_dBm: 30,
    erp_dBm: mW(4000),
    mostBandwidth_kHz: 200,
    note: 'superseded by G.S.R. 853(E) of 2021, 865-868 MHz, whose table was not read: look for a duty cycle there',
    confirmation: 'confirmed',
  },
];

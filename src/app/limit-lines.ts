/** Legal limits of a region for the ends of a link, a line an end. */
import { limitHint } from './limits.ts';
import type { Station } from './link.ts';

export interface LimitLines {
  readonly region: string;
  readonly lines: readonly { readonly end: string; readonly text: string; readonly within: boolean }[];
}

export function limitLines(region: string, ends: readonly Station[]): LimitLines {
  return {
    region,
    lines: ends.map((s) => ({
      end: s.name,
      ...limitHint(region, {
        frequency_MHz: s.frequency_MHz,
        bandwidth_kHz: s.setting.bandwidth_kHz,
        conducted_dBm: s.power_dBm,
        gain_dBi: s.gain_dBi,
        feederLoss_dB: s.feederLoss_dB,
        ...(s.transmit.airtime_s_per_h === undefined ? {} : { duty_pct: s.transmit.airtime_s_per_h / 36 }),
      }),
    })),
  };
}
